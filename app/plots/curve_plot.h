#pragma once

#include "app/plots/curve_series.h"
#include "app/plots/plot_base.h"

#include <memory>

namespace halfcell::app {

/// Curves on one panel with rows of words under its axis. Up and Down go to the next curve, Left and Right walk its points.
class CurvePlot : public PlotBase {
    Q_OBJECT
public:
    explicit CurvePlot(QWidget* parent = nullptr);
    ~CurvePlot() override;

    void setSeries(CurveSeries series);
    [[nodiscard]] const CurveSeries& series() const { return m_series; }
    [[nodiscard]] PlotTable table() const override;

protected:
    void restyle() override;
    [[nodiscard]] int stopCount() const override { return static_cast<int>(m_stops.size()); }
    [[nodiscard]] QString readoutAt(int stop) const override;
    [[nodiscard]] QString composeSummary() const override { return m_series.summary; }
    void showStop(std::optional<int> stop) override;
    [[nodiscard]] std::optional<int> stopAt(const QPointF& pixel) const override;
    [[nodiscard]] QString figureAt(int stop) const override;
    bool takeKey(QKeyEvent& event) override;
    [[nodiscard]] bool wantsKey(const QKeyEvent& event) const override;

private:
    struct Pieces;
    struct Stop {
        std::size_t curve = 0, point = 0;
    };
    [[nodiscard]] const CurvePoint& pointOf(int stop) const;
    [[nodiscard]] QString shown(double y) const;
    void fillCurves();
    void fillRows();

    CurveSeries m_series;
    std::vector<Stop> m_stops;
    std::unique_ptr<Pieces> m_pieces;
};

}  // namespace halfcell::app
