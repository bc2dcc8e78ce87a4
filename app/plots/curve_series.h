#pragma once

#include <QString>

#include <optional>
#include <utility>
#include <vector>

/// What a plot of curves draws: survival in steps, cumulative incidence, a reliability diagram. Prepared outside.
namespace halfcell::app {

struct CurvePoint {
    double x = 0.0, y = 0.0;
    std::optional<double> lower = {}, upper = {};  ///< its band
    QString words = {};                            ///< what the readout adds: "31 in view, 2 ended"
    QString figure = {};                           ///< key for Ctrl+E
    bool operator==(const CurvePoint&) const = default;
};

struct Curve {
    enum class Shape { Steps, Marks };  ///< Steps: from the left at the value of the point before; Marks: joined by a line
    QString name = {};                  ///< at the curve's end
    Shape shape = Shape::Steps;
    double start = 1.0;  ///< value left of the first step
    std::vector<CurvePoint> points = {};
    std::vector<double> ticks = {};  ///< small upright ticks on the curve: lives that went on (censored)
    double until = 0.0;              ///< steps are drawn as far as this
    bool operator==(const Curve&) const = default;
};

/// A row of words under the x axis, in line with it ("in view").
struct CurveRow {
    QString name = {};
    std::vector<std::pair<double, QString>> words = {};
    bool operator==(const CurveRow&) const = default;
};

struct CurveSeries {
    QString title = {};              ///< "still in service, share, against months in the process"
    QString xName = {}, yName = {};  ///< columns of the file: `age_months`, `in_service`
    QString xWord = {}, yUnit = {};  ///< of the readout: "months", "%"
    double yScale = 1.0;             ///< values are shown times this
    int yDecimals = 0;
    double xTo = 1.0, yFrom = 0.0, yTo = 1.0;  ///< what is in view; x begins at 0
    bool diagonal = false;                     ///< a dashed line from corner to corner: what was said came true
    std::vector<Curve> curves = {};
    std::vector<CurveRow> rows = {};
    QString summary = {};  ///< the sentence for readers
    bool operator==(const CurveSeries&) const = default;
};

}  // namespace halfcell::app
