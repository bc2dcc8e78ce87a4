#include "core/overview/overview.h"

#include <algorithm>
#include <thread>

namespace halfcell::core {

std::optional<std::size_t> Overview::indexOf(std::string_view serial) const
{
    const auto histories = plant->histories();
    const auto it =
        std::ranges::lower_bound(histories, serial, {}, [](const SensorHistory& h) { return std::string_view(h.sensor->serial); });
    if (it == histories.end() || it->sensor->serial != serial)
        return std::nullopt;
    return static_cast<std::size_t>(it - histories.begin());
}

const Assessment* Overview::assessment(std::string_view serial) const
{
    const auto index = indexOf(serial);
    return index ? &assessments[*index] : nullptr;
}

std::vector<DueTask> Overview::due(std::int64_t untilDay) const
{
    return dueTasks(*plant, assessments, figures, rules, untilDay);
}

Overview overviewOf(Records records, RuleSet rules, const Instant& asOf, bool withWorking, unsigned threads,
                    const std::function<bool(std::string_view)>& judged)
{
    Overview overview{.plant = std::make_unique<const Plant>(Plant::asKnown(std::move(records), asOf)),
                      .standards = {},
                      .rules = std::move(rules),
                      .figures = {},
                      .assessments = {}};
    const Plant& plant = *overview.plant;
    overview.standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const auto histories = plant.histories();
    const std::size_t n = histories.size();
    overview.figures.resize(n);
    overview.assessments.resize(n);
    const auto workOut = [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            if (judged && !judged(histories[i].sensor->serial))
                continue;
            overview.figures[i] = figuresOfHistory(plant, histories[i], overview.standards, overview.rules, withWorking);
            overview.assessments[i] = assess(plant, histories[i], overview.figures[i], overview.standards, overview.rules);
        }
    };
    const std::size_t parts = std::clamp<std::size_t>(threads, 1, std::max<std::size_t>(n, 1));
    std::vector<std::jthread> pool;
    for (std::size_t p = 1; p < parts; ++p)
        pool.emplace_back(workOut, n * p / parts, n * (p + 1) / parts);
    workOut(0, n / parts);
    pool.clear();
    return overview;
}

}  // namespace halfcell::core
