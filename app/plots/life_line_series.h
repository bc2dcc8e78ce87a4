#pragma once

#include "core/fleet/keys.h"

#include <QString>

#include <cstdint>
#include <optional>
#include <vector>

/// What a life line draws. Prepared outside (core and presenters); the plot computes no fit, limit or smoothing.
/// Plain values; times are seconds since 1970-01-01T00:00:00Z.
namespace halfcell::app {

/// One computed figure of one phase of one visit.
struct PhasePoint {
    std::int64_t utc = 0;
    core::Phase phase = core::Phase::AsLeft;
    double value = 0.0;                      ///< in the panel's unit
    std::optional<double> expanded = {};     ///< 95 % uncertainty (k = 2)
    bool joined = true;                      ///< as left only: a thin line comes from the as-left before it; false after a
                                             ///< move to another place or a renewal
    bool superseded = false;                 ///< replaced by a correction: crossed, never joined
    bool leftOut = false;                    ///< not in the fit: a small cross on the axis
    QString reason = {};                     ///< why it was left out or corrected
    QString visit = {};                      ///< key of its visit
    QString figure = {};                     ///< key of the figure whose working Ctrl+E opens
    bool operator==(const PhasePoint&) const = default;
};

/// On which side of a limit the bad values lie.
enum class BadSide { Below, Above };
/// How a limit is drawn: maintenance dashed, use plain and hatched from the bad side.
enum class LimitKind { Maintenance, Use };
struct PlotLimit {
    double value = 0.0;
    BadSide bad = BadSide::Below;
    LimitKind kind = LimitKind::Use;
    QString name = {};   ///< after the value at the right end: "use", "maintenance"
    bool hatched = true; ///< false where another limit of the same side is hatched already
    bool operator==(const PlotLimit&) const = default;
};

/// The outlook at one moment: quantiles of the next reading.
struct FanPoint {
    std::int64_t utc = 0;
    double p10 = 0, p25 = 0, p50 = 0, p75 = 0, p90 = 0;
    bool operator==(const FanPoint&) const = default;
};

enum class PanelScale {
    Efficiency,   ///< 60 to 103 unless data lie outside: then the axis grows and says so
    Symmetric,    ///< about 0, at least as wide as the limits
    LogAbove100,  ///< from 0, linear to 100, logarithmic above (response in seconds)
    Free          ///< as the data and limits lie
};

/// One of the stacked panels.
struct LifeLinePanel {
    QString key = {};    ///< for tables: efficiency_pct, offset_mv, t90_s
    QString title = {};  ///< "Efficiency"
    QString unit = {};   ///< "%"
    PanelScale scale = PanelScale::Free;
    int decimals = 1;
    bool sign = false;   ///< + written before positive values
    std::vector<PhasePoint> points = {};  ///< ascending in time; phases of a visit in their order
    std::vector<PlotLimit> limits = {};
    std::vector<FanPoint> fan = {};       ///< ascending; starts at now, ends where the outlook abstains
    std::vector<PhasePoint> ghost = {};   ///< what was drawn before figures were restated; dotted until Esc
    bool operator==(const LifeLinePanel&) const = default;
};

/// One step on the Did strip.
struct DidStep {
    QString letter = {};   ///< as on paper: D, A, F, B ...
    QString words = {};    ///< "detergent"
    bool renewed = false;  ///< a part was renewed or regenerated: boxed
    bool operator==(const DidStep&) const = default;
};
struct DidMark {
    std::int64_t utc = 0;
    std::vector<DidStep> steps = {};  ///< in order
    bool operator==(const DidMark&) const = default;
};

/// One bar on the Where strip.
struct PlacementBar {
    std::int64_t from = 0;
    std::optional<std::int64_t> to = {};  ///< absent: still there
    QString place = {};                   ///< "AE-3107 Neutralisation tank 2", "shelf"
    bool shelf = false;                   ///< shelf, soak, bench, quarantine: hatched
    bool operator==(const PlacementBar&) const = default;
};

/// What the readout says of a visit beside its figures.
struct VisitWords {
    QString visit = {};
    std::int64_t utc = 0;
    QString person = {};
    QString lots = {};   ///< "B7-2231, B10-0874"
    QString note = {};   ///< "detergent, acid: gained 4.5 %"
    bool operator==(const VisitWords&) const = default;
};

struct LifeLineSeries {
    QString sensor = {};                         ///< serial
    std::vector<LifeLinePanel> panels = {};      ///< derived figures, 1 to 4
    std::vector<LifeLinePanel> rawPanels = {};   ///< mV per standard for key R; may be empty
    std::vector<DidMark> did = {};               ///< ascending
    std::vector<PlacementBar> where = {};        ///< ascending
    std::vector<VisitWords> visits = {};
    std::int64_t now = 0;
    QString summary = {};                        ///< the sentence for readers; composed from the points if empty
    QString restated = {};                       ///< "2 figures restated by correction #18 203" while ghosts are given
    bool operator==(const LifeLineSeries&) const = default;
};

}  // namespace halfcell::app
