#pragma once

#include <QWidget>

#include <vector>

class QPushButton;
class QScrollArea;
class QVBoxLayout;

namespace halfcell::app::bench {

class BeforePanel;
class BenchPresenter;
class LadderView;
class NoteLine;
class ReadingsPanel;
class SensorPanel;

/// The page of one visit: what to know before touching it at the left, the form in the middle, what the readings say at the
/// right. Narrow windows fold the left column to one line; still narrower ones show one region at a time, F6 goes on.
/// GUI thread only.
class VisitPage : public QWidget {
    Q_OBJECT
public:
    explicit VisitPage(BenchPresenter& presenter, QWidget* parent = nullptr);

    void takeFocus();
    /// The regions in the order of F6: form, readings, left column. Makes the next one visible and focused.
    void nextRegion(int direction);
    [[nodiscard]] QWidget* ladder() const;
    /// Where F6 puts the focus, in order; only what is on the page now.
    [[nodiscard]] QList<QWidget*> regions() const;

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool event(QEvent* event) override;

private:
    enum Region { kForm, kReadings, kLeft, kRegions };
    void layOut();
    void buildNotLogged(QVBoxLayout* column);
    void showNotLogged();
    void openKit();
    [[nodiscard]] bool isMine(const QKeyEvent& key) const;
    void show(Region region);

    BenchPresenter& m_presenter;
    QScrollArea* m_left = nullptr;
    BeforePanel* m_before = nullptr;
    SensorPanel* m_sensor = nullptr;
    LadderView* m_ladder = nullptr;
    QScrollArea* m_right = nullptr;
    ReadingsPanel* m_readings = nullptr;
    QPushButton* m_folded = nullptr;
    QWidget* m_notLogged = nullptr;  ///< under the form: the book could not take the visit, and what to do
    NoteLine* m_notLoggedWords = nullptr;
    Region m_region = kForm;
};

}  // namespace halfcell::app::bench
