#pragma once

#include "core/outlook/outlook.h"
#include "core/suspects/shared_shifts.h"

#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

/// Quantities looked at for shared shifts.
enum class ShiftOf { OffsetMv, EfficiencyPct };
[[nodiscard]] std::string_view shiftOfKey(ShiftOf s);

struct Suspects {
    struct Found {
        ShiftOf quantity = ShiftOf::OffsetMv;
        SharedShift shift;
    };
    std::vector<Found> found;      ///< in order of q
    std::size_t readings[2] = {};  ///< with a forecast: offsets, efficiencies
    std::size_t tests[2] = {};
    std::string abstained[2];
};

/// Innovations of clean readings of the last `weeks` before the book's moment (all before for 0), by lot, meter, person and day.
/// Offsets go with the bottle nearest to pH 7 (ORP: the first), efficiencies with the other one. `people` false leaves people out:
/// figures about persons need their consent.
[[nodiscard]] Suspects suspectsOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const outlook::BookOutlook& book,
                                  double weeks = 0.0, bool people = true);

/// The innovations themselves, for tests and views.
[[nodiscard]] std::vector<SharedReading> sharedReadings(const Plant& plant, std::span<const std::vector<VisitFigures>> figures,
                                                        const outlook::BookOutlook& book, ShiftOf quantity, double weeks, bool people);

}  // namespace halfcell::core
