#pragma once

#include "app/plots/gauge_series.h"
#include "app/plots/slope_series.h"

#include <QWidget>

class QLabel;
class QVBoxLayout;

namespace halfcell::app {
class Magnifier;
class SlopePlot;
class TwoRungGauge;
}  // namespace halfcell::app

namespace halfcell::app::bench {

class BenchPresenter;
class NoteLine;
struct LiveReadings;
struct SensorInHand;
class SettleView;

/// What the readings say: slope line (small), magnifier (main), settle clock, findings, fitness here. ORP has the two-rung
/// gauge instead of both lines. GUI thread only.
class ReadingsPanel : public QWidget {
    Q_OBJECT
public:
    explicit ReadingsPanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();
    [[nodiscard]] QString findingsText() const;
    /// What the round says, and the evidence under it; empty while it says nothing.
    [[nodiscard]] QString commonText() const;
    [[nodiscard]] QString evidenceText() const;
    [[nodiscard]] QString fitnessText() const;

private:
    void showFindings();
    void showCommon();

    BenchPresenter& m_presenter;
    SlopePlot* m_slope = nullptr;
    Magnifier* m_magnifier = nullptr;
    TwoRungGauge* m_gauge = nullptr;
    SettleView* m_settle;
    NoteLine* m_common;
    QLabel* m_evidence;
    QLabel* m_sentence;
    QLabel* m_next = nullptr;
    QLabel* m_findings;
    QLabel* m_fitness;
};

/// The readings of a visit as the slope line and the magnifier draw them.
[[nodiscard]] SlopeSeries slopeSeriesOf(const LiveReadings& live, const SensorInHand& hand);
/// The same of an ORP visit for the gauge.
[[nodiscard]] GaugeSeries gaugeSeriesOf(const LiveReadings& live, const SensorInHand& hand);

}  // namespace halfcell::app::bench
