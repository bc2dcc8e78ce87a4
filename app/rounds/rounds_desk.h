#pragma once

#include "app/rounds/rounds_presenter.h"

#include <QWidget>

#include <filesystem>
#include <functional>
#include <optional>

class QLabel;
class QScrollArea;
class QTableView;

namespace halfcell::app {

class BoardView;
class DueModel;

/// The Rounds desk: what is due and why, the week's board, the kit, the printable sheet. GUI thread only.
class RoundsDesk : public QWidget {
    Q_OBJECT
public:
    using AskTarget = std::function<std::optional<std::filesystem::path>(QWidget*)>;
    RoundsDesk(Shop& shop, AskTarget askSheet, QWidget* parent = nullptr);

    [[nodiscard]] const QString& sentence() const { return m_presenter.sentence(); }
    [[nodiscard]] RoundsPresenter& presenter() { return m_presenter; }
    /// Writes the week's sheets as PDF (asks where).
    void print();

Q_SIGNALS:
    void sentenceChanged();
    /// A sensor's record is asked for.
    void recordAsked(const QString& serial);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void applyMetrics();
    void showPlan();
    /// Columns by what stands in them; a line that needs two has two.
    void fitDue();
    /// The kit takes a third of the column at most; the board keeps room for five blocks.
    void fitKit();

    Shop& m_shop;
    AskTarget m_askSheet;
    RoundsPresenter m_presenter;
    DueModel* m_dueModel = nullptr;
    QTableView* m_dueView = nullptr;
    BoardView* m_board = nullptr;
    QLabel* m_readout = nullptr;
    QLabel* m_note = nullptr;
    QLabel* m_kit = nullptr;
    QWidget* m_right = nullptr;
    QScrollArea* m_boardScroll = nullptr;
    QScrollArea* m_kitScroll = nullptr;
    bool m_fitting = false;
};

}  // namespace halfcell::app
