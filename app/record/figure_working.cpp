#include "app/record/figure_working.h"
#include "app/record/say.h"

#include "app/panels/plain_words.h"
#include "app/record/phase_figure.h"
#include "app/style/marks.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr double kDaysPerMonth = 365.25 / 12.0;

QString stampOf(const Dossier& dossier)
{
    return RecordSay::tr("engine %1, rules %2").arg(plain(db::kEngineVersion), plain(dossier.rules.id()));
}

/// Response is not computed but recorded: the slowest of the phase's readings.
core::WorkingStep responseStep(const core::VisitFigures& visit, const core::PhaseFigures& phase)
{
    core::WorkingStep step{.step = "response: the slowest of the readings of this phase",
                           .formula = "t90 = the largest recorded",
                           .inputs = {},
                           .result = phase.t90_s,
                           .unit = "s",
                           .text = {},
                           .source = "raw readings",
                           .sourceClass = core::SourceClass::Record};
    if (visit.visit == nullptr)
        return step;
    for (const core::Reading& reading : visit.visit->readings)
        if (reading.phase == phase.phase && reading.t90_s.has_value())
            step.inputs.push_back({.name = "t90",
                                   .value = reading.t90_s.value,
                                   .unit = "s",
                                   .text = reading.standard,
                                   .readingRef = fmt::format("{}/{}/{}", core::keyOf(reading.phase), reading.standard, reading.dip)});
    return step;
}

std::vector<core::WorkingStep> stepsOf(const core::VisitFigures& visit, const core::PhaseFigures& phase, std::string_view key)
{
    const auto found = std::ranges::find(phase.working, key, [](const core::Working& w) { return std::string_view(w.figure); });
    if (found != phase.working.end())
        return found->steps;
    if (key == "t90_s" && phase.t90_s)
        return {responseStep(visit, phase)};
    return {};
}

/// True if this is the state the verdict was given on.
bool isJudged(const Dossier& dossier, const core::VisitFigures& visit, const core::PhaseFigures& phase)
{
    const core::Assessment& judged = dossier.assessment;
    return judged.phase == phase.phase && !dossier.figures.empty() && &dossier.figures.back() == &visit;
}

}  // namespace

double monthsInService(const core::SensorHistory& history, const core::Instant& now)
{
    double days = 0;
    for (const core::Placement* p : history.placements)
        if (!isStore(p->place))
            days += std::max(0.0, core::daysBetween(p->from, p->to ? std::min(*p->to, now) : now));
    return days / kDaysPerMonth;
}

WorkingPage figureWorking(const Dossier& dossier, const core::VisitFigures& visit, const core::PhaseFigures& phase, std::string_view key,
                          const core::PhaseFigures* earlier)
{
    const Figure figure = phaseFigure(phase, key);
    WorkingPage page;
    page.figure = plain(key);
    page.title = RecordSay::tr("%1, %2, %3: %4").arg(figureName(key), phaseWord(phase.phase), fullDate(visit.when), screenText(figure));
    page.stamp = stampOf(dossier);
    page.visit = visit.visit != nullptr ? plain(visit.visit->visit) : QString();
    page.steps = stepsOf(visit, phase, key);
    if (phase.legacy)
        page.missing = RecordSay::tr("No millivolts were recorded: this figure was typed as it stands and can't be reworked.");
    else if (page.steps.empty())
        page.missing = figure.reason.isEmpty() ? RecordSay::tr("Nothing was recorded for this figure.") : figure.reason;
    if (earlier != nullptr) {
        const Figure was = phaseFigure(*earlier, key);
        if (screenText(was) != screenText(figure)) {
            page.earlierTitle = RecordSay::tr("As first written: %1").arg(screenText(was));
            page.earlier = stepsOf(visit, *earlier, key);
        }
    }
    if (isJudged(dossier, visit, phase))
        page.judged = dossier.assessment.verdictWorking;
    return page;
}

WorkingPage latestWorking(const Dossier& dossier, std::string_view key, const core::Instant& now)
{
    if (key == "in_service") {
        WorkingPage page;
        page.figure = plain(key);
        page.stamp = stampOf(dossier);
        const double months = monthsInService(*dossier.history, now);
        page.title = RecordSay::tr("In service: %1 months").arg(figureText(months, 1, Sign::WhenNegative));
        core::WorkingStep step{.step = "time at measuring points",
                               .formula = "months = sum of days / 30.44",
                               .inputs = {},
                               .result = months,
                               .unit = "months",
                               .text = {},
                               .source = "placements",
                               .sourceClass = core::SourceClass::Record};
        for (const core::Placement* p : dossier.history->placements)
            if (!isStore(p->place))
                step.inputs.push_back({.name = p->place,
                                       .value = std::max(0.0, core::daysBetween(p->from, p->to ? std::min(*p->to, now) : now)),
                                       .unit = "days",
                                       .text = fmt::format("from {}", core::formatDate(p->from)),
                                       .readingRef = {}});
        if (step.inputs.empty())
            page.missing = RecordSay::tr("It has not been at a measuring point yet.");
        else
            page.steps.push_back(std::move(step));
        return page;
    }
    for (auto it = dossier.figures.rbegin(); it != dossier.figures.rend(); ++it)
        if (const core::PhaseFigures* state = it->lastState())
            return figureWorking(dossier, *it, *state, key);
    WorkingPage page;
    page.figure = plain(key);
    page.title = RecordSay::tr("%1: not measured yet").arg(figureName(key));
    page.stamp = stampOf(dossier);
    page.missing = RecordSay::tr("No visit with a reading is in the book.");
    return page;
}

}  // namespace halfcell::app
