#pragma once

#include "core/fleet/plant.h"
#include "core/rules/assess.h"
#include "core/upkeep/due.h"

#include <functional>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// The whole shop as it stood at a moment: records as known, figures of every visit, the judgement of every sensor. The
/// command line, the desktop's planning desks and the stored latest state all read it, so they cannot disagree.
/// Movable, not copyable; immutable after `overviewOf`; any thread.
struct Overview {
    std::unique_ptr<const Plant> plant;
    StandardsBook standards;
    RuleSet rules;
    std::vector<std::vector<VisitFigures>> figures;  ///< parallel to plant->histories()
    std::vector<Assessment> assessments;             ///< parallel to plant->histories()

    /// Index into figures and assessments; nullopt for an unknown serial.
    [[nodiscard]] std::optional<std::size_t> indexOf(std::string_view serial) const;
    [[nodiscard]] const Assessment* assessment(std::string_view serial) const;
    /// The task list up to a day (inclusive).
    [[nodiscard]] std::vector<DueTask> due(std::int64_t untilDay) const;
};

/// Works out the overview. Sensors are split over `threads` in equal ranges with one result slot each, so the number of
/// threads never changes a byte. `withWorking` keeps every figure's working (slower, larger). `judged`: the
/// sensors to work out, all if empty; the others are there only for their round (no figures, an empty assessment).
[[nodiscard]] Overview overviewOf(Records records, RuleSet rules, const Instant& asOf, bool withWorking = false, unsigned threads = 1,
                                  const std::function<bool(std::string_view)>& judged = {});

}  // namespace halfcell::core
