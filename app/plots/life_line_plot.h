#pragma once

#include "app/plots/life_line_series.h"
#include "app/plots/plot_base.h"

#include <array>
#include <memory>
#include <vector>

class QCPAxisRect;

namespace halfcell::app {

/// How one sensor has lived: stacked panels (efficiency, offset, response) on one time axis, strips Did and Where, the
/// now-rule, the outlook's fan. The cursor walks visits; the readout names every figure of the visit.
///
/// Keys beside those of PlotBase: Up, Down the panel whose working Ctrl+E opens; 1 2 3 as found, after cleaning, as
/// left on and off, M the next one; R raw millivolts or derived; 0 the desk's fixed scale on and off; Esc lets the
/// ghost of restated figures go. A dragged span zooms. GUI thread only.
class LifeLinePlot : public PlotBase {
    Q_OBJECT
public:
    explicit LifeLinePlot(QWidget* parent = nullptr);
    ~LifeLinePlot() override;

    void setSeries(LifeLineSeries series);
    [[nodiscard]] const LifeLineSeries& series() const { return m_series; }
    /// Only the first panel, no strips, no readout: the peek of the Register.
    void setCompact(bool compact);

    [[nodiscard]] PlotTable table() const override;
    /// High enough that three tick labels of every panel stand apart.
    [[nodiscard]] QSize minimumSizeHint() const override;
    /// Labels that stand at the axis of a panel now.
    [[nodiscard]] QStringList tickLabels(std::size_t panel) const;

    /// Phases drawn now.
    [[nodiscard]] bool phaseShown(core::Phase phase) const { return m_shown[static_cast<std::size_t>(phase)]; }
    void setPhaseShown(core::Phase phase, bool shown);
    [[nodiscard]] bool rawShown() const { return m_raw; }
    void setRawShown(bool raw);
    /// Panels keep their resting range although data lie outside it: sensors compare when paging. Marks outside stand as
    /// arrow heads at the edge, and the title counts them.
    [[nodiscard]] bool fixedScale() const { return m_fixedScale; }
    void setFixedScale(bool fixed);
    [[nodiscard]] int currentPanel() const { return m_panel; }
    /// The span of time in view, seconds UTC.
    [[nodiscard]] std::pair<qint64, qint64> span() const { return {m_from, m_to}; }
    void setSpan(qint64 from, qint64 to);

Q_SIGNALS:
    void rawToggled(bool raw);
    void fixedScaleToggled(bool fixed);

protected:
    void restyle() override;
    [[nodiscard]] int stopCount() const override { return static_cast<int>(m_stops.size()); }
    [[nodiscard]] QString readoutAt(int stop) const override;
    [[nodiscard]] QString composeSummary() const override;
    void showStop(std::optional<int> stop) override;
    [[nodiscard]] std::optional<int> stopAt(const QPointF& pixel) const override;
    [[nodiscard]] QString visitAt(int stop) const override;
    [[nodiscard]] QString figureAt(int stop) const override;
    void zoomBy(double factor) override;
    bool zoomAll() override;
    bool takeKey(QKeyEvent& event) override;
    [[nodiscard]] bool wantsKey(const QKeyEvent& event) const override;
    void resizeEvent(QResizeEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Stop {
        qint64 utc = 0;
        QString visit;
    };
    struct Pieces;

    [[nodiscard]] const std::vector<LifeLinePanel>& panels() const;
    [[nodiscard]] bool drawn(const PhasePoint& point) const;
    [[nodiscard]] bool atStop(const PhasePoint& point, const Stop& stop) const;
    void collectStops();
    void wholeSpan();
    void build();
    void fill();
    void fillPanel(std::size_t index);
    void fillTicks(std::size_t index);
    /// Px of the canvas that no panel can have: titles, strips, time axis.
    [[nodiscard]] double heightBesidePanels() const;
    void applySpan();
    void applyTicks();

    LifeLineSeries m_series;
    std::vector<Stop> m_stops;
    std::unique_ptr<Pieces> m_pieces;
    std::array<bool, 3> m_shown{true, true, true};
    qint64 m_from = 0, m_to = 1;        // in view
    qint64 m_allFrom = 0, m_allTo = 1;  // everything
    int m_panel = 0;
    bool m_raw = false;
    bool m_fixedScale = false;
    bool m_compact = false;
    bool m_ghostGone = false;
};

}  // namespace halfcell::app
