#pragma once

#include "app/plots/plot_base.h"
#include "app/plots/slope_series.h"

#include <memory>

namespace halfcell::app {

/// What the slope line and the magnifier share: one panel over pH, the readings of a visit, the cursor that walks them.
class ReadingsPlot : public PlotBase {
    Q_OBJECT
public:
    ~ReadingsPlot() override;

    void setSeries(SlopeSeries series);
    [[nodiscard]] const SlopeSeries& series() const { return m_series; }
    [[nodiscard]] PlotTable table() const override;

protected:
    ReadingsPlot(QWidget* parent, bool magnified);

    void restyle() override;
    [[nodiscard]] int stopCount() const override { return static_cast<int>(m_series.points.size()); }
    [[nodiscard]] QString readoutAt(int stop) const override;
    [[nodiscard]] QString composeSummary() const override;
    void showStop(std::optional<int> stop) override;
    [[nodiscard]] std::optional<int> stopAt(const QPointF& pixel) const override;
    [[nodiscard]] QString figureAt(int stop) const override;

private:
    struct Pieces;

    [[nodiscard]] double shownValue(const SlopePoint& point) const;
    [[nodiscard]] double lineAt(const SlopeLine& line, double ph) const;
    void fill();
    void fillMarks();
    void fillLines(double left, double right, double low, double high);

    SlopeSeries m_series;
    bool m_magnified;
    std::unique_ptr<Pieces> m_pieces;
};

/// Millivolts against the pH of the standard: ideal dashed, one line a phase, names at the lines' ends.
class SlopePlot : public ReadingsPlot {
    Q_OBJECT
public:
    explicit SlopePlot(QWidget* parent = nullptr);
};

/// Millivolts minus the ideal line, about ten times larger: height is offset, tilt is lost efficiency. Values stand
/// beside their marks.
class Magnifier : public ReadingsPlot {
    Q_OBJECT
public:
    explicit Magnifier(QWidget* parent = nullptr);
};

}  // namespace halfcell::app
