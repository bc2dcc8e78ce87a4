// The life line: points, limits and strips out of a dossier. No figure is computed here.
#include "app/panels/plain_words.h"
#include "app/record/phase_figure.h"
#include "app/record/record_page.h"
#include "app/record/say.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

bool renews(const core::Action& action, const core::RuleSet& rules)
{
    return !rules.action(action.action).renews.empty() || action.action == core::ActionKey::RegenerateGlass ||
           action.action == core::ActionKey::Replace;
}

/// Moments after which an as-left mark is not joined to the one before: moves to another place and renewals.
std::vector<std::int64_t> breaks(const Dossier& dossier)
{
    std::vector<std::int64_t> list;
    const core::Placement* before = nullptr;
    for (const core::Placement* p : dossier.history->placements) {
        // Shelf and soak between two stays at the same point do not break the line.
        if (isStore(p->place))
            continue;
        if (before != nullptr && before->place != p->place)
            list.push_back(p->from.utcSeconds);
        before = p;
    }
    for (const core::Visit* visit : dossier.history->visits)
        for (const core::Action& action : visit->actions)
            if (renews(action, dossier.rules))
                list.push_back(action.when.utcSeconds);
    for (const core::PartRecord* part : dossier.history->parts)
        list.push_back(part->from.utcSeconds);
    std::ranges::sort(list);
    return list;
}

QString correctionReason(const Dossier& dossier, const core::Visit& visit)
{
    QStringList reasons;
    for (const core::AppliedCorrection& c : dossier.plant->applied())
        if (c.visit == visit.visit)
            reasons.append(RecordSay::tr("%1 → %2, %3 %4")
                               .arg(screenWords(c.old_value), screenWords(c.new_value), plain(c.person), fullDate(c.recorded)));
    return reasons.join(u"; "_s);
}

std::vector<PhasePoint> pointsOf(const Dossier& dossier, const FirstWritten* before, std::string_view key)
{
    const auto broken = breaks(dossier);
    std::vector<PhasePoint> points;
    std::int64_t lastLeft = 0;
    for (const core::VisitFigures& f : dossier.figures) {
        const QString visit = f.visit != nullptr ? plain(f.visit->visit) : legacyKey(f);
        for (const core::PhaseFigures& phase : f.phases) {
            const Figure figure = phaseFigure(phase, key);
            const core::PhaseFigures* was = f.visit != nullptr && before != nullptr ? before->phase(f.visit->visit, phase.phase) : nullptr;
            if (was != nullptr) {
                const Figure old = phaseFigure(*was, key);
                if (old.value && old.value != figure.value)
                    points.push_back({.utc = f.when.utcSeconds,
                                      .phase = phase.phase,
                                      .value = *old.value,
                                      .joined = false,
                                      .superseded = true,
                                      .reason = correctionReason(dossier, *f.visit),
                                      .visit = visit,
                                      .figure = plain(key)});
            }
            if (!figure.value)
                continue;
            PhasePoint point{.utc = f.when.utcSeconds,
                             .phase = phase.phase,
                             .value = *figure.value,
                             .expanded = figure.expanded,
                             .visit = visit,
                             .figure = plain(key)};
            if (phase.phase == core::Phase::AsLeft) {
                const auto next = std::ranges::upper_bound(broken, lastLeft);
                point.joined = lastLeft != 0 && (next == broken.end() || *next > f.when.utcSeconds);
                lastLeft = f.when.utcSeconds;
            }
            points.push_back(std::move(point));
        }
    }
    return points;
}

LifeLinePanel panelOf(const Dossier& dossier, const FirstWritten* before, std::string_view key, const core::LimitProfile& limits)
{
    LifeLinePanel panel;
    panel.key = plain(key);
    panel.title = figureName(key);
    panel.points = pointsOf(dossier, before, key);
    const QString use = RecordSay::tr("use"), maintenance = RecordSay::tr("maintenance");
    const auto limit = [&](const core::Limit& l, BadSide bad, LimitKind kind, double sign, bool hatched) {
        if (std::isfinite(l.value) && l.value != 0.0)
            panel.limits.push_back({.value = sign * l.value,
                                    .bad = bad,
                                    .kind = kind,
                                    .name = kind == LimitKind::Use ? use : maintenance,
                                    .hatched = hatched});
    };
    const auto bothSides = [&](const core::Limit& maintain, const core::Limit& useLimit) {
        const bool hasUse = std::isfinite(useLimit.value) && useLimit.value != 0.0;
        for (const double sign : {1.0, -1.0}) {
            const BadSide bad = sign > 0 ? BadSide::Above : BadSide::Below;
            limit(useLimit, bad, LimitKind::Use, sign, true);
            limit(maintain, bad, LimitKind::Maintenance, sign, !hasUse);
        }
    };
    if (key == "efficiency_pct") {
        panel.unit = u"%"_s;
        panel.scale = PanelScale::Efficiency;
        limit(limits.efficiency_use_pct, BadSide::Below, LimitKind::Use, 1.0, true);
        limit(limits.efficiency_maintenance_pct, BadSide::Below, LimitKind::Maintenance, 1.0, false);
    } else if (key == "span_pct") {
        panel.unit = u"%"_s;
        panel.scale = PanelScale::Free;
        panel.decimals = 0;
        limit(limits.orp_span_use_pct, BadSide::Below, LimitKind::Use, 1.0, true);
        limit(limits.orp_span_maintenance_pct, BadSide::Below, LimitKind::Maintenance, 1.0, false);
    } else if (key == "offset_mv") {
        panel.unit = u"mV"_s;
        panel.scale = PanelScale::Symmetric;
        panel.sign = true;
        const bool orp = dossier.history->model != nullptr && dossier.history->model->kind == core::SensorKind::Orp;
        if (orp)
            bothSides(limits.orp_offset_maintenance_mv, limits.orp_offset_use_mv);
        else
            bothSides(limits.offset_maintenance_mv, limits.offset_use_mv);
    } else {
        panel.unit = u"s"_s;
        panel.scale = PanelScale::LogAbove100;
        panel.decimals = 0;
        limit(limits.t90_maintenance_s, BadSide::Above, LimitKind::Maintenance, 1.0, true);
    }
    return panel;
}

/// Millivolts as read, one panel for each of the standards most used.
std::vector<LifeLinePanel> rawPanels(const Dossier& dossier)
{
    constexpr std::size_t kMostPanels = 3;
    std::map<std::string, std::vector<PhasePoint>> byStandard;
    for (const core::Visit* visit : dossier.history->visits)
        for (const core::Reading& reading : visit->readings)
            if (reading.mv)
                byStandard[reading.standard].push_back({.utc = visit->when.utcSeconds,
                                                        .phase = reading.phase,
                                                        .value = *reading.mv,
                                                        .joined = false,
                                                        .visit = plain(visit->visit)});
    std::vector<std::pair<std::string, std::vector<PhasePoint>>> most(byStandard.begin(), byStandard.end());
    std::ranges::stable_sort(most, [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
    if (most.size() > kMostPanels)
        most.resize(kMostPanels);
    std::ranges::sort(most, {}, [](const auto& entry) { return entry.first; });
    std::vector<LifeLinePanel> panels;
    for (auto& [standard, points] : most)
        panels.push_back({.key = u"mv_"_s + plain(standard),
                          .title = RecordSay::tr("%1, as read").arg(standardWords(standard)),
                          .unit = u"mV"_s,
                          .scale = PanelScale::Free,
                          .decimals = 0,
                          .sign = true,
                          .points = std::move(points)});
    return panels;
}

VisitWords wordsOfVisit(const Dossier& dossier, const core::VisitFigures& f)
{
    const core::Visit& visit = *f.visit;
    VisitWords words{.visit = plain(visit.visit), .utc = visit.when.utcSeconds, .person = plain(visit.person.value_or(std::string()))};
    std::vector<QString> lots;
    for (const core::Reading& reading : visit.readings)
        if (reading.lot && std::ranges::find(lots, plain(*reading.lot)) == lots.end())
            lots.push_back(plain(*reading.lot));
    words.lots = QStringList(lots.begin(), lots.end()).join(u", "_s);
    words.note = didWords(visit, dossier.rules).words;
    if (const QString gain = gainWords(f); !gain.isEmpty())
        words.note += (words.note.isEmpty() ? QString() : u": "_s) + gain;
    return words;
}

QString placeLabel(const Dossier& dossier, const std::string& place)
{
    const core::Point* point = dossier.plant->point(place);
    return point != nullptr && point->description ? plain(place) + u' ' + plain(*point->description) : placeWord(place);
}

}  // namespace

LifeLineSeries lifeLine(const Dossier& dossier, const FirstWritten* before, const core::Instant& now)
{
    LifeLineSeries line;
    line.sensor = plain(dossier.history->sensor->serial);
    line.now = now.utcSeconds;
    const core::SensorKind kind = dossier.history->model != nullptr ? dossier.history->model->kind : core::SensorKind::Ph;
    const core::LimitProfile& limits = dossier.rules.profileFor(dossier.history->model, dossier.point);
    for (const std::string_view key : shownFigures(kind))
        line.panels.push_back(panelOf(dossier, before, key, limits));
    line.rawPanels = rawPanels(dossier);
    for (const core::VisitFigures& f : dossier.figures)
        if (f.visit != nullptr)
            line.visits.push_back(wordsOfVisit(dossier, f));
    for (const core::Visit* visit : dossier.history->visits) {
        if (visit->actions.empty())
            continue;
        DidMark mark{.utc = visit->when.utcSeconds};
        for (const core::Action& action : visit->actions)
            mark.steps.push_back({.letter = QString(QLatin1Char(dossier.rules.action(action.action).letter)),
                                  .words = plain(core::wordsOf(action.action)),
                                  .renewed = renews(action, dossier.rules)});
        line.did.push_back(std::move(mark));
    }
    for (const core::Placement* p : dossier.history->placements)
        line.where.push_back({.from = p->from.utcSeconds,
                              .to = p->to ? std::optional(p->to->utcSeconds) : std::nullopt,
                              .place = placeLabel(dossier, p->place),
                              .shelf = isStore(p->place)});
    return line;
}

}  // namespace halfcell::app
