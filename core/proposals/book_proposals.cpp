#include "core/proposals/book_proposals.h"

#include "core/upkeep/drift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace halfcell::core {
namespace {

constexpr double kLeastDays = 3.0;  // a result sooner than that says nothing about an interval of weeks (our choice)
constexpr double kDecided = 0.95;   // a result surer than that is counted whole (our choice)
constexpr double kDaysPerWeek = 7.0;

double below(double z)
{
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

/// Chance that the true error lies within the tolerance.
double chanceIn(const Shift& shift, double tolerance)
{
    if (!(shift.u > 0.0))
        return std::abs(shift.size) <= tolerance ? 1.0 : 0.0;
    const double p = below((tolerance - shift.size) / shift.u) - below((-tolerance - shift.size) / shift.u);
    return p >= kDecided ? 1.0 : p <= 1.0 - kDecided ? 0.0 : p;
}

/// A text as TOML writes it.
std::string quoted(std::string_view text)
{
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\')
            out += '\\';
        out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    }
    return out + '"';
}

struct Group {
    const Model* model = nullptr;
    std::string loopClass;
    std::set<std::string> sensors;
    std::map<long, IntervalCount> byWeeks;
    std::size_t results = 0, leftOut = 0, withFound = 0, withoutFound = 0;
    std::optional<double> legal_days;
};

}  // namespace

double reliabilityTarget(std::string_view loopClass)
{
    if (loopClass == "control")
        return 0.85;
    if (loopClass == "alarm" || loopClass == "quality")
        return 0.90;
    if (loopClass == "permit")
        return 0.95;
    if (loopClass == "interlock")
        return 0.99;
    return 0.80;
}

std::vector<BookProposal> proposalsOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules)
{
    using Key = std::pair<std::string, std::string>;
    std::map<Key, Group> groups;
    const auto histories = plant.histories();
    for (std::size_t i = 0; i < histories.size() && i < figures.size(); ++i) {
        const Model* model = histories[i].model;
        const std::string design = model && model->reference ? std::string(keyOf(*model->reference)) : std::string();
        const auto pointOf = [&](const VisitFigures& v) -> const Point* {
            return v.visit && v.visit->tag ? plant.point(*v.visit->tag) : nullptr;
        };
        const auto groupOf = [&](const Point& point) -> Group& {
            Group& g = groups[{point.application.value_or(""), design}];
            const std::string loopClass = point.loop_class ? std::string(keyOf(*point.loop_class)) : std::string("unknown");
            if (g.loopClass.empty() || reliabilityTarget(loopClass) > reliabilityTarget(g.loopClass))
                g.loopClass = loopClass;
            if (model)
                g.model = model;
            if (point.legal_floor_days && *point.legal_floor_days > 0.0)
                g.legal_days = std::min(g.legal_days.value_or(*point.legal_floor_days), *point.legal_floor_days);
            return g;
        };
        for (const VisitFigures& v : figures[i])
            if (const Point* point = pointOf(v))
                ++(v.phase(Phase::AsFound) ? groupOf(*point).withFound : groupOf(*point).withoutFound);
        // The shift depends on the pH it is asked at: once for every middle that the sensor's points have.
        std::map<double, std::vector<Shift>> byPh;
        for (std::size_t v = 0; v < figures[i].size(); ++v) {
            const Point* point = pointOf(figures[i][v]);
            if (!point)
                continue;
            const double ph = point->ph_low && point->ph_high ? 0.5 * (*point->ph_low + *point->ph_high) : 7.0;
            const auto [it, fresh] = byPh.try_emplace(ph);
            if (fresh)
                it->second = asFoundShifts(figures[i], ph);
            const auto shift = std::ranges::find(it->second, v, &Shift::visit);
            if (shift == it->second.end())
                continue;
            Group& group = groupOf(*point);
            const SensorKind kind = model ? model->kind : SensorKind::Ph;
            const auto tolerance = kind == SensorKind::Ph ? point->tolerance_ph : point->tolerance_mv;
            const bool cleaned = figures[i][v].visit->cleaned_before.value_or(false);
            if (!tolerance || !(*tolerance > 0.0) || cleaned || shift->days < kLeastDays) {
                ++group.leftOut;
                continue;
            }
            const double in = chanceIn(*shift, *tolerance);
            const long weeks = std::max(1L, std::lround(shift->days / kDaysPerWeek));
            IntervalCount& count = group.byWeeks[weeks];
            count.weeks = static_cast<double>(weeks);
            count.in += in;
            count.out += 1.0 - in;
            ++group.results;
            group.sensors.insert(histories[i].sensor->serial);
        }
    }
    std::vector<BookProposal> proposals;
    for (const auto& [key, group] : groups) {
        const auto& [application, design] = key;
        const auto rule = rules.taskRule(TaskKind::Calibrate, application, group.model);
        if (!rule || rule->interval_days <= 0.0)
            continue;
        BookProposal p;
        p.application = application;
        p.design = design;
        p.loopClass = group.loopClass;
        p.sensors = group.sensors.size();
        p.results = group.results;
        p.leftOut = group.leftOut;
        p.withoutFound = group.withoutFound;
        p.target = reliabilityTarget(group.loopClass);
        p.current_days = rule->interval_days;
        p.legal_days = group.legal_days;
        p.source = rule->source;
        std::vector<IntervalCount> counts;
        for (const auto& [weeks, count] : group.byWeeks)
            counts.push_back(count);
        ProposalRequest request{.current = p.current_days / kDaysPerWeek, .target = p.target, .legal = {}, .seen = 0.0, .costs = {}};
        if (group.legal_days)
            request.legal = *group.legal_days / kDaysPerWeek;
        if (const std::size_t visits = group.withFound + group.withoutFound; visits > 0)
            request.seen = static_cast<double>(group.withFound) / static_cast<double>(visits);
        p.proposal = proposeInterval(counts, request);
        p.proposed_days = p.proposal.proposed == request.current ? p.current_days : std::floor(p.proposal.proposed * kDaysPerWeek + 1e-9);
        proposals.push_back(std::move(p));
    }
    return proposals;
}

std::string ruleTextOf(std::span<const BookProposal> proposals)
{
    std::map<std::string, std::vector<const BookProposal*>> byApplication;
    for (const BookProposal& p : proposals)
        if (p.proposed_days != p.current_days)
            byApplication[p.application.empty() ? "*" : p.application].push_back(&p);
    std::string text;
    for (const auto& [application, members] : byApplication) {
        text += fmt::format("[intervals.{}]\ncalibrate = [\n", quoted(application));
        // The line of all other designs stays as it is.
        if (std::ranges::none_of(members, [](const BookProposal* p) { return p->design.empty(); }))
            text += fmt::format("    {{ days = {:.0f}, source = {} }},\n", members.front()->current_days, quoted(members.front()->source));
        for (const BookProposal* p : members) {
            double in = 0.0, out = 0.0;
            for (const IntervalCount& c : p->proposal.evidence) {
                in += c.in;
                out += c.out;
            }
            text +=
                fmt::format("    {{ days = {:.0f}, {}source = \"own as-found results: {:.0f} in tolerance, {:.0f} out\" }},\n",
                            p->proposed_days, p->design.empty() ? std::string() : fmt::format("design = {}, ", quoted(p->design)), in, out);
        }
        text += "]\n";
    }
    return text;
}

}  // namespace halfcell::core
