#pragma once

#include "core/diagnosis/advice.h"
#include "core/diagnosis/prior.h"
#include "core/diagnosis/round.h"
#include "core/quantity/result.h"

/// The rule data of the diagnosis in one piece, as a rule set holds it.
namespace halfcell::core::diagnosis {

/// One kind of sensor.
struct KindTables {
    Network network;
    AdviceTables advice;
};

struct Tables {
    KindTables ph, orp;
    PriorTables prior;
    RoundTables round;
    [[nodiscard]] const KindTables& of(SensorKind kind) const { return kind == SensorKind::Orp ? orp : ph; }
};

/// Smallest likelihood a table may hold: no single reading rules a cause out.
inline constexpr double kLeastLikelihood = 0.01;

/// Whether the tables hold together: every likelihood line adds up to 1 and nowhere falls below 0.01, edges ascend and fit
/// the bands, weights and costs are not negative, every cause has a weight and a cure's chances lie between 0 and 1.
/// Errc::BadInput with the table's name in `field` and what to mend.
[[nodiscard]] Result<void> consistent(const Tables& tables);

}  // namespace halfcell::core::diagnosis
