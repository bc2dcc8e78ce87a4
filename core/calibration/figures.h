#pragma once

#include "core/calibration/line_fit.h"
#include "core/calibration/settling.h"
#include "core/electrochemistry/reference_electrode.h"
#include "core/electrochemistry/standards.h"
#include "core/fleet/records.h"
#include "core/working/working.h"

#include <optional>
#include <string>
#include <vector>

namespace halfcell::core {

/// Defaults of the uncertainty budget (rule data; values of the shipped rule set).
struct BudgetDefaults {
    double u_reading_mv = 0.4;         ///< handheld meter
    double u_settling_first_mv = 0.3;  ///< first standard of a phase
    double u_settling_later_mv = 0.6;  ///< from the second standard on
    double u_thermometer_k = 0.5;
    double u_thermometer_carried_k = 1.0;  ///< carried, sensor's own or not stated
    double u_thermometer_guessed_k = 2.0;
    double u_zero_mv = 1.5;
    double u_zero_after_acid_mv = 4.0;
    double u_junction_clean_ph = 0.05, u_junction_dirty_ph = 0.12, u_junction_pure_ph = 0.20;
    double u_ideal_slope_pct = 5.0;  ///< slope taken as ideal when nothing better is known
};

/// A remark of the calculation about its own input; becomes a finding of the same code.
struct FigureIssue {
    FindingCode code = FindingCode::Healthy;
    std::string because;                 ///< the reading concerned, in words
    std::optional<std::size_t> reading;  ///< index into PhaseFigures::used or the visit's readings
};

/// One reading as used, with what it was compared with.
struct UsedReading {
    std::size_t index = 0;  ///< into Visit::readings
    std::string standard;
    double e_mv = 0.0;
    double temp_c = 25.0;
    double standardValue = 0.0;              ///< pH, or expected mV for ORP
    double remainder_mv = 0.0;               ///< |dE| * 10^(-wait/t90): what was still to come
    double residual_mv = 0.0;                ///< reading minus line (pH) or minus expected (ORP)
    std::string source;                      ///< of the standard's value
    std::optional<double> hydrogen_mv = {};  ///< ORP: the reading on the hydrogen scale, by the filling's table
};

/// How one reading settled and, where it was taken too soon or its series was noted, what it would have become. A prediction is
/// shown and never takes the place of the reading: no figure of the phase is made of it.
struct Settling {
    std::size_t index = 0;  ///< into Visit::readings
    std::string standard;
    double read_mv = 0.0;
    std::optional<double> wait_s;
    std::optional<double> t90_s, u_t90_s;            ///< of the series, else as typed (a stop-watch's 15 %)
    bool fromSeries = false;                         ///< the fit of a settle series, else the wait against t90
    std::size_t points = 0;                          ///< of the series
    std::optional<double> settled_mv, u_settled_mv;  ///< predicted
    std::optional<double> toCome_mv;                 ///< settled minus read
    std::optional<double> missing_pct;               ///< of the whole step, still to come when it was read
    std::optional<double> scatter_mv;                ///< of the series about its curve
    std::string whyNot;                              ///< why nothing is predicted; empty otherwise
    bool tooSoon = false;                            ///< more than 1 mV still to come
};

/// Everything computed from the readings of one phase of a visit. All numbers full precision; u are standard
/// uncertainties. Missing figures have a reason in `missing`.
struct PhaseFigures {
    Phase phase = Phase::AsFound;
    SensorKind kind = SensorKind::Ph;
    Instant when;                ///< of the phase's first reading
    bool legacy = false;         ///< typed figures without millivolts
    std::optional<LineFit> fit;  ///< pH, two usable standards or more
    std::optional<double> efficiency_pct, u_efficiency_pct;
    std::optional<double> slope_mv_per_ph;         ///< at 25 degC
    std::optional<double> offset_mv, u_offset_mv;  ///< mV at pH 7; ORP: mean of read - expected
    std::optional<double> zero_point_ph;           ///< pH of 0 mV at 25 degC
    std::optional<double> residual_mv;             ///< middle reading minus line, three points and more
    std::optional<double> acid_leg_pct, alkaline_leg_pct;
    std::optional<double> span_pct;  ///< ORP: read over expected difference of two standards
    std::optional<double> u_span_pct;
    std::optional<double> t90_s;                      ///< slowest: as recorded, else of a reading's settle series
    std::optional<double> u_t90_s;                    ///< where the slowest comes from a settle series
    std::vector<Settling> settling;                   ///< readings with a settle series or taken too soon
    std::optional<double> least_wait_ratio;           ///< smallest wait/t90 where both are known
    std::optional<double> span_between_standards_mv;  ///< |difference| of the outermost readings, for a dead sensor
    std::optional<double> u_at_process_ph;
    std::optional<double> u_junction_ph;
    std::optional<double> extrapolated_ph;  ///< how far the process pH lies outside the standards
    std::vector<UsedReading> used;
    std::vector<FigureIssue> issues;                           ///< temperature_missing, outside_table, standards_too_close, ...
    std::vector<std::pair<std::string, std::string>> missing;  ///< figure key, reason
    std::vector<Working> working;                              ///< one per figure computed
};

/// What the calculation needs beside the readings.
struct FigureContext {
    const StandardsBook* standards = nullptr;
    SensorKind kind = SensorKind::Ph;
    std::string reference_fill = {};                 ///< ORP
    std::optional<double> orp_baseline_mv = {};      ///< ORP with a differential reference: its own first reading
    std::string orp_baseline_standard = {};          ///< standard of that reading; empty: taken as this phase's first standard
    std::optional<double> orp_baseline_temp_c = {};  ///< its temperature; absent: that of this phase's first reading
    BudgetDefaults budget = {};
    std::optional<double> process_ph = {}, process_temp_c = {};
    std::optional<GrabQuality> grab_quality = {};
    std::optional<double> lastSlopeFraction = {};  ///< of the last fit, for one-point offsets
    bool acidBefore = false;                       ///< an acid step within 6 h before these readings
    /// Own standard uncertainty of a reading where one was stated, by index into Visit::readings (shorter is fine); replaces
    /// reading and settling of the budget for that reading.
    std::vector<std::optional<double>> u_reading_mv = {};
};

/// Figures of one phase. Never fails: what cannot be computed is absent, with its reason in `missing` and `issues`.
/// Repeated dips of a standard: each counts as a reading. Readings without millivolts are skipped.
[[nodiscard]] PhaseFigures figuresOf(const Visit& visit, Phase phase, const FigureContext& context, bool withWorking = true);

/// Figures of a legacy record.
[[nodiscard]] PhaseFigures figuresOf(const Legacy& legacy, SensorKind kind);

/// What to key into an analyser by hand after an adjustment, in the forms analysers ask for (common practice).
struct KeyIn {
    double slope_mv_per_ph_25c = 0.0;  ///< efficiency * 59.16
    double efficiency_pct = 0.0;
    double offset_mv = 0.0;      ///< mV at pH 7
    double zero_point_ph = 7.0;  ///< pH of 0 mV at 25 degC
    double offset_ph = 0.0;      ///< zero_point - 7
};
[[nodiscard]] std::optional<KeyIn> keyInFigures(const PhaseFigures& figures);

}  // namespace halfcell::core
