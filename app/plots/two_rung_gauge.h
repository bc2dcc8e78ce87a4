#pragma once

#include "app/plots/gauge_series.h"
#include "app/plots/plot_base.h"

#include <memory>

namespace halfcell::app {

/// ORP: expected and read potential of each standard on one millivolt rule, joined by strokes. Parallel strokes speak
/// for the reference, strokes closing in for filmed metal. No efficiency is drawn or named here. GUI thread only.
class TwoRungGauge : public PlotBase {
    Q_OBJECT
public:
    explicit TwoRungGauge(QWidget* parent = nullptr);
    ~TwoRungGauge() override;

    void setSeries(GaugeSeries series);
    [[nodiscard]] const GaugeSeries& series() const { return m_series; }
    [[nodiscard]] PlotTable table() const override;

protected:
    void restyle() override;
    [[nodiscard]] int stopCount() const override { return static_cast<int>(m_stops.size()); }
    [[nodiscard]] QString readoutAt(int stop) const override;
    [[nodiscard]] QString composeSummary() const override;
    void showStop(std::optional<int> stop) override;
    [[nodiscard]] std::optional<int> stopAt(const QPointF& pixel) const override;
    [[nodiscard]] QString figureAt(int stop) const override;

private:
    struct Pieces;
    struct Stop {
        std::size_t rung = 0;
        std::size_t reading = 0;
    };

    [[nodiscard]] double columnOf(core::Phase phase) const;
    [[nodiscard]] const RungReading& at(const Stop& stop) const { return m_series.rungs[stop.rung].readings[stop.reading]; }
    void fill();

    GaugeSeries m_series;
    std::vector<Stop> m_stops;
    std::vector<core::Phase> m_columns;
    std::unique_ptr<Pieces> m_pieces;
};

}  // namespace halfcell::app
