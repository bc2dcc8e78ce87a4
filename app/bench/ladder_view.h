#pragma once

#include "app/bench/bench_model.h"

#include <QScrollArea>

#include <array>
#include <vector>

class QCheckBox;
class QHBoxLayout;
class QLabel;
class QPushButton;
class QVBoxLayout;

namespace halfcell::app::bench {

class BenchPresenter;
class CautionBox;
class DidRow;
class DipRow;
class EntryField;
class KeyStrip;
class NoteLine;
class PhaseHead;
class RemovalBox;
class StandardPicker;
class TestPanel;

/// The form itself, in the order of the paper sheet. Shows what the presenter holds, gives it every key, and puts the focus
/// where the next key acts. GUI thread only.
class LadderView : public QScrollArea {
    Q_OBJECT
public:
    explicit LadderView(BenchPresenter& presenter, QWidget* parent = nullptr);

    /// The widget of a stop; nullptr if it is not on the form.
    [[nodiscard]] QWidget* widgetOf(const Stop& stop) const;
    void takeFocus();
    [[nodiscard]] QSize minimumSizeHint() const override;

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    struct Block {
        PhaseHead* head = nullptr;
        QWidget* body = nullptr;
        QVBoxLayout* rows = nullptr;
        std::vector<DipRow*> dips;
    };

    void build();
    QWidget* holdRow();
    QWidget* coatingRow();
    QWidget* closingRow();
    Block makeBlock(core::Phase phase, const QString& title, QVBoxLayout* column);
    void refresh();
    void refreshRows();
    void keepFocus();
    void refreshBlock(core::Phase phase);
    void refreshClosing();
    void follow();
    void openPicker(core::Phase phase, std::size_t dip);
    /// A row whose height changes under the hand.
    void keepInView(QWidget* row);
    void placeBox();
    [[nodiscard]] Block& block(core::Phase phase);
    [[nodiscard]] QString saidAt(const Stop& stop) const;
    [[nodiscard]] bool asksAt(const Stop& stop) const;

    BenchPresenter& m_presenter;
    QWidget* m_serialRow = nullptr;
    EntryField* m_serial = nullptr;
    QWidget* m_hold = nullptr;
    EntryField* m_manual = nullptr;
    EntryField* m_loop = nullptr;
    EntryField* m_grab = nullptr;
    EntryField* m_grabTemp = nullptr;
    EntryField* m_waterPh = nullptr;
    QLabel* m_gap = nullptr;
    NoteLine* m_holdNote = nullptr;
    KeyStrip* m_coating = nullptr;
    KeyStrip* m_look = nullptr;
    NoteLine* m_coatingNote = nullptr;
    Block m_found, m_clean, m_left;
    DidRow* m_did = nullptr;
    NoteLine* m_didNote = nullptr;
    KeyStrip* m_leftChoice = nullptr;
    QLabel* m_leftChange = nullptr;
    NoteLine* m_keyIn = nullptr;
    QCheckBox* m_keyed = nullptr;
    NoteLine* m_leftNote = nullptr;
    NoteLine* m_advice = nullptr;
    EntryField* m_auto = nullptr;
    QWidget* m_autoPart = nullptr;
    EntryField* m_remark = nullptr;
    EntryField* m_approve = nullptr;
    QWidget* m_approvePart = nullptr;
    QPushButton* m_log = nullptr;
    NoteLine* m_closingNote = nullptr;
    CautionBox* m_caution = nullptr;
    RemovalBox* m_removal = nullptr;
    StandardPicker* m_picker = nullptr;
    TestPanel* m_tests = nullptr;
    QVBoxLayout* m_column = nullptr;
    bool m_following = false;
};

}  // namespace halfcell::app::bench
