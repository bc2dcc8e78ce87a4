#pragma once

#include "app/frame/frame.h"
#include "app/frame/scan_watch.h"

#include <QWidget>

class QStackedLayout;

namespace halfcell::app::bench {

class BenchPresenter;
class StartPage;
class VisitPage;

/// The Bench desk: today's work and a field to scan, or the form of the visit that is open. Give it to ScanWatch::keep, so
/// that no scan leaves anything on the form. GUI thread only.
class BenchDesk : public QWidget, public ScanRestorable {
    Q_OBJECT
public:
    explicit BenchDesk(BenchPresenter& presenter, QWidget* parent = nullptr);

    [[nodiscard]] BenchPresenter& presenter() const { return m_presenter; }
    /// Puts the focus where the next key acts.
    void takeFocus();
    [[nodiscard]] VisitPage* visitPage() const { return m_visit; }
    /// What the frame asks of a desk.
    [[nodiscard]] DeskEntry entry();

    [[nodiscard]] QVariant stateBeforeScan() const override;
    void restoreAfterScan(const QVariant& state) override;

Q_SIGNALS:
    void sentenceChanged();      ///< Frame::refreshSentence

private:
    void turnPage();

    BenchPresenter& m_presenter;
    QStackedLayout* m_pages;
    StartPage* m_start;
    VisitPage* m_visit = nullptr;
};

}  // namespace halfcell::app::bench
