#pragma once

#include "core/calibration/figures.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// The readings of one phase made ready for the figures: order, own uncertainty, what was still to come. Internal to
/// core/calibration.
namespace halfcell::core::calibration {

/// One reading with millivolts.
struct TakenReading {
    std::size_t index = 0;  ///< into Visit::readings
    const Reading* reading = nullptr;
    std::string lot;        ///< empty when not recorded
    std::string reference;  ///< "as_found/ph7.00/1"
    double e_mv = 0.0;
    std::optional<double> temp_c;
    double u_t_k = 0.0;
    std::optional<double> wait_s, t90_s;      ///< own response time, else the slowest of the phase
    std::optional<Result<SettleFit>> series;  ///< of its settle series, where there is one
    double step_mv = 0.0;                     ///< from the reading before
    double remainder_mv = 0.0;                ///< step * 10^(-wait/t90)
    double u_meter_mv = 0.0, u_settling_mv = 0.0;
    bool stated = false;    ///< u_meter_mv was stated for this reading and holds settling too
    double u_own_mv = 0.0;  ///< all of it: meter, settling and remainder/sqrt(3)
};

/// The readings of the phase in the order they were taken; fills time, response and the issues read_too_soon and
/// temperature_missing of the figures. Readings without millivolts are left out.
[[nodiscard]] std::vector<TakenReading> takeReadings(const Visit& visit, Phase phase, const FigureContext& context,
                                                     const StandardsBook& standards, PhaseFigures& figures);

/// How the readings settled: what their series or their waits say. Adds what is predicted to the issues read_too_soon.
void noteSettling(const std::vector<TakenReading>& taken, const StandardsBook& standards, PhaseFigures& figures);
/// The workings of it, one step per reading, as figure `settling`.
void workSettling(const StandardsBook& standards, PhaseFigures& figures);

/// Number of the group (standard, lot) in `groups`, added when new: one error per lot, where the lot is not known one per
/// standard.
[[nodiscard]] int groupOf(std::vector<std::pair<std::string, std::string>>& groups, const TakenReading& taken);

/// Notes why a reading could not be compared with its standard.
void noteRefusal(PhaseFigures& figures, const TakenReading& taken, const Error& error, const StandardsBook& standards);

/// Notes why figures are missing, each figure once.
void noteMissing(PhaseFigures& figures, std::initializer_list<const char*> keys, const std::string& reason);

void figuresOfPh(std::vector<TakenReading> taken, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures,
                 bool withWorking);
void figuresOfOrp(std::vector<TakenReading> taken, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures,
                  bool withWorking);

}  // namespace halfcell::core::calibration
