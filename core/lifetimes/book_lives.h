#pragma once

#include "core/fleet/plant.h"
#include "core/lifetimes/interval_weibull.h"
#include "core/lifetimes/life_record.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// What ends are counted together (our choice): glass (slope, slow), reference (offset, junction, poisoned), breakage (broken),
/// electrical (wet, cable, temperature element, erratic), planned (pre-emptive, rotation), unknown (unknown, lost).
enum class EndCause { Glass = 1, Reference, Breakage, Electrical, Planned, Unknown };
[[nodiscard]] EndCause endCauseOf(RemovalReason reason);
[[nodiscard]] std::string_view endCauseKey(EndCause cause);

/// One stretch of service of one sensor in one application. Ages are days in the process; bench and shelf do not count. A sensor
/// moved to another application leaves censored and enters there at its age (late entry).
struct BookLife {
    std::string serial, model, application, site;
    double entry_days = 0.0, exit_days = 0.0;
    bool removed = false;  ///< ended here, not moved on
    std::optional<RemovalReason> reason;
    std::optional<double> aliveAt_days;  ///< sudden ends: last seen working at this age, if more than a tenth of it before
};
[[nodiscard]] std::vector<BookLife> livesOf(const Plant& plant);

/// For "how long could it": planned removals are censored. `cause` is set for cumulative incidence.
[[nodiscard]] LifeRecord recordOf(const BookLife& life, bool plannedIsEnd = false);
[[nodiscard]] IntervalLife intervalOf(const BookLife& life);

}  // namespace halfcell::core
