#include "core/lifetimes/life_groups.h"

#include "core/fleet/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace halfcell::core {
namespace {

constexpr double kLeastEndsForPlainShape = 10.0;
constexpr std::size_t kLeastEndAges = 3;

constexpr std::array<std::pair<LivesBy, std::string_view>, 4> kLivesBy = {
    {{LivesBy::Model, "model"}, {LivesBy::Application, "application"}, {LivesBy::Site, "site"}, {LivesBy::Design, "design"}}};

double endedOf(const LifeGroup& group)
{
    double ended = 0.0;
    for (const LifeRecord& r : group.records)
        ended += r.failed ? r.weight : 0.0;
    return ended;
}

std::string partOf(const Plant& plant, const BookLife& life, LivesBy by)
{
    switch (by) {
    case LivesBy::Model: return life.model;
    case LivesBy::Application: return life.application;
    case LivesBy::Site: return life.site;
    case LivesBy::Design: break;
    }
    const Model* model = plant.model(life.model);
    return model && model->reference ? std::string(keyOf(*model->reference)) : std::string();
}

void fitWeibullOf(const LifeGroup& group, bool usualLives, LifeSummary& summary)
{
    std::set<double> ages;
    for (const LifeRecord& r : group.records)
        if (r.failed)
            ages.insert(r.exit);
    if (ages.size() < kLeastEndAges) {
        summary.fitMissing = fmt::format("{} different ages at an end: a Weibull fit needs three", ages.size());
        return;
    }
    const std::optional<ShapePrior> prior =
        summary.ended < kLeastEndsForPlainShape && usualLives ? std::optional(ShapePrior{}) : std::nullopt;
    const bool intervals = std::ranges::any_of(group.intervals, [](const IntervalLife& l) { return l.upper && *l.upper != l.lower; });
    const auto fit = intervals ? fitWeibullIntervals(group.intervals, 0.95, prior) : fitWeibull(group.records, 0.95, prior);
    if (!fit) {
        summary.fitMissing = fit.error().detail;
        return;
    }
    summary.fit = *fit;
    summary.shapePrior = prior.has_value();
    const auto profile = intervals ? profileLimits(std::span<const IntervalLife>(group.intervals), *fit, prior)
                                   : profileLimits(std::span<const LifeRecord>(group.records), *fit, prior);
    if (profile)
        summary.profile = *profile;
}

}  // namespace

std::string_view livesByKey(LivesBy by)
{
    return std::ranges::find(kLivesBy, by, &std::pair<LivesBy, std::string_view>::first)->second;
}

std::optional<LivesBy> livesByOf(std::string_view key)
{
    const auto at = std::ranges::find(kLivesBy, key, &std::pair<LivesBy, std::string_view>::second);
    return at == kLivesBy.end() ? std::nullopt : std::optional(at->first);
}

std::vector<LifeGroup> lifeGroupsOf(const Plant& plant, std::span<const LivesBy> by)
{
    std::map<std::vector<std::string>, LifeGroup> groups;
    for (const BookLife& life : livesOf(plant)) {
        std::vector<std::string> key;
        for (const LivesBy what : by)
            key.push_back(partOf(plant, life, what));
        LifeGroup& group = groups[key];
        const LifeRecord record = recordOf(life);
        if (record.failed)
            group.causes[record.cause] = std::string(endCauseKey(static_cast<EndCause>(record.cause)));
        group.records.push_back(record);
        group.intervals.push_back(intervalOf(life));
    }
    std::vector<LifeGroup> list;
    for (auto& [key, group] : groups) {
        for (std::size_t i = 0; i < by.size(); ++i) {
            group.key.emplace_back(livesByKey(by[i]), key[i].empty() ? std::nullopt : std::optional(key[i]));
            group.name += (group.name.empty() ? "" : ", ") + (key[i].empty() ? std::string("not recorded") : key[i]);
        }
        if (group.name.empty())
            group.name = "all";
        list.push_back(std::move(group));
    }
    return list;
}

Result<LifeSummary> summaryOf(const LifeGroup& group, bool usualLives)
{
    LifeSummary summary;
    for (const LifeRecord& r : group.records)
        summary.lives += r.weight;
    summary.ended = endedOf(group);
    auto curve = kaplanMeier(group.records);
    if (!curve)
        return std::unexpected(curve.error());
    summary.curve = std::move(*curve);
    if (summary.lives < kCurveLeastLives || summary.ended < 1.0)
        summary.curveMissing =
            fmt::format("{:g} lives with {:g} ended: a curve needs five lives and one end", summary.lives, summary.ended);
    else if (summary.ended < kMedianLeastEnds)
        summary.medianMissing = fmt::format("{:g} ended: a median is shown from five on", summary.ended);
    else if (!summary.curve.median)
        summary.medianMissing = "not reached: more than half are still in service";
    if (summary.curveMissing.empty())
        if (auto incidence = cumulativeIncidence(group.records))
            summary.incidence = std::move(*incidence);
    fitWeibullOf(group, usualLives, summary);
    return summary;
}

std::optional<LogRank> comparisonOf(std::span<const LifeGroup> groups)
{
    std::vector<LifeRecord> all;
    std::vector<int> labels;
    int label = 0;
    for (const LifeGroup& group : groups) {
        if (endedOf(group) < kMedianLeastEnds)
            continue;
        for (const LifeRecord& r : group.records) {
            all.push_back(r);
            labels.push_back(label);
        }
        ++label;
    }
    if (label < 2)
        return std::nullopt;
    auto test = logRank(all, labels);
    return test ? std::optional(std::move(*test)) : std::nullopt;
}

}  // namespace halfcell::core
