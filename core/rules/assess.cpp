#include "core/rules/assess.h"

#include "core/rules/diagnosing.h"

#include <algorithm>

/// The doors of the room: a sensor, a visit, or a set of readings without a book.
namespace halfcell::core {

namespace {

using namespace judging;

void findAll(const Case& c, Findings& f)
{
    findEntries(c, f);
    findResponse(c, f);
    if (c.kind == SensorKind::Orp) {
        findOrp(c, f);
        findReference(c, f);
    } else {
        findGlass(c, f);
        findReference(c, f);
    }
    findSurroundings(c, f);
}

Assessment weighAndConclude(const Case& c, Findings& f, const std::optional<std::string>& hold)
{
    const auto diagnosed = diagnose(c);
    if (diagnosed)
        applyDiagnosis(c, *diagnosed, f);
    auto a = conclude(c, f, hold, diagnosed ? &*diagnosed : nullptr);
    if (diagnosed)
        a.diagnosis = reportOf(c, *diagnosed);
    return a;
}

const Point* pointAt(const Plant& plant, const SensorHistory& history, const Instant& when)
{
    const auto* placement = history.placementAt(when);
    return placement ? plant.point(placement->place) : nullptr;
}

Assessment judge(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures, const Instant& until,
                 const StandardsBook& standards, const RuleSet& rules)
{
    Case c;
    c.rules = &rules;
    c.standards = &standards;
    c.plant = &plant;
    c.history = &history;
    if (history.model)
        c.model = *history.model;
    c.kind = c.model.kind;
    c.referenceFill = c.model.reference_fill ? *c.model.reference_fill : std::string();
    c.until = until;
    const VisitFigures* now = nullptr;
    for (const auto& v : figures)
        if (!v.phases.empty()) {
            if (now)
                c.past.push_back(now);
            now = &v;
        }

    const auto* here = pointAt(plant, history, until);
    const auto fill = [&](Assessment a) {
        a.serial = history.sensor ? history.sensor->serial : std::string();
        a.kind = c.kind;
        if (here) {
            a.tag = here->tag;
            a.site = here->site;
        }
        return a;
    };
    c.profile = &rules.profileFor(history.model, here);
    if (!now) {
        Assessment never;
        never.neverMeasured = true;
        never.profile = c.profile->name;
        never.sentence = c.kind == SensorKind::Orp
                             ? "Never measured here. The first readings make its baseline: put it in two redox standards."
                             : "Never measured here. The first readings make its baseline: put it in pH 7 and a second standard.";
        return fill(std::move(never));
    }
    c.visit = now->visit;
    c.when = now->when;
    c.state = now->lastState();
    c.asFound = now->phase(Phase::AsFound);
    for (const auto& phase : now->phases)
        c.phases.push_back(&phase);
    // What the sensor was in when it was read, which may not be where it is now.
    c.point = c.visit && c.visit->tag ? plant.point(*c.visit->tag) : nullptr;
    if (!c.point)
        c.point = pointAt(plant, history, c.when);
    if (!here)
        c.profile = &rules.profileFor(history.model, c.point);
    prepare(c);
    Findings f(c);
    findAll(c, f);
    return fill(weighAndConclude(c, f, openHold(plant, history, here)));
}

}  // namespace

Assessment assess(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures, const StandardsBook& standards,
                  const RuleSet& rules)
{
    return judge(plant, history, figures, plant.asOf(), standards, rules);
}

Assessment assessVisit(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures, std::size_t visitIndex,
                       const StandardsBook& standards, const RuleSet& rules)
{
    if (visitIndex >= figures.size())
        return assess(plant, history, figures, standards, rules);
    return judge(plant, history, figures.subspan(0, visitIndex + 1), figures[visitIndex].when, standards, rules);
}

Assessment assessSet(const Visit& set, Phase phase, SensorKind kind, std::string_view referenceFill, const PhaseFigures& figures,
                     const StandardsBook& standards, const RuleSet& rules)
{
    Case c;
    c.rules = &rules;
    c.standards = &standards;
    c.profile = &rules.profile("default");
    c.model.kind = kind;
    if (kind == SensorKind::Orp)
        c.model.sensing = Sensing::Platinum;
    if (referenceFill == kDifferentialFill)
        c.model.reference = ReferenceDesign::DifferentialBridge;
    c.kind = kind;
    c.referenceFill = referenceFill;
    c.visit = &set;
    c.state = &figures;
    c.phases = {&figures};
    c.asFound = phase == Phase::AsFound ? &figures : nullptr;
    c.when = c.until = figures.when;
    prepare(c);
    Findings f(c);
    findAll(c, f);
    auto a = weighAndConclude(c, f, std::nullopt);
    a.serial = set.serial;
    return a;
}

}  // namespace halfcell::core
