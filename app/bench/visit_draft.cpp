#include "app/bench/visit_draft.h"

#include "core/fleet/columns.h"
#include "core/quantity/number.h"
#include "core/rules/assess.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace halfcell::app::bench {

using namespace core;

std::optional<double> Entry::value() const
{
    if (text.empty())
        return std::nullopt;
    if (const auto number = parseNumber(text))
        return *number;
    return std::nullopt;
}

Answered<double> Entry::answer() const
{
    if (const auto number = value())
        return *number;
    return notDone ? Answered<double>(NoAnswer::NotDone) : Answered<double>();
}

bool PhaseForm::hasReading() const
{
    return std::any_of(dips.begin(), dips.end(), [](const Dip& d) { return d.mv.taken && d.mv.value(); });
}

PhaseForm& VisitDraft::phase(Phase p)
{
    return p == Phase::AsFound ? found : p == Phase::AfterClean ? clean : left;
}

const PhaseForm& VisitDraft::phase(Phase p) const
{
    return p == Phase::AsFound ? found : p == Phase::AfterClean ? clean : left;
}

bool VisitDraft::cleaned() const
{
    return std::any_of(steps.begin(), steps.end(), [](const Step& s) { return cleansOrRenews(s.action); });
}

int VisitDraft::filledFields() const
{
    int count = 0;
    const auto add = [&count](bool filled) { count += filled ? 1 : 0; };
    add(hold != HoldAnswer::None);
    for (const Entry* e : {&loop, &grab, &grabTemp, &waterPh})
        add(!e->empty() || e->notDone);
    add(coatingAnswered);
    add(look.has_value());
    for (const PhaseForm* p : {&found, &clean, &left})
        for (const Dip& d : p->dips)
            for (const Entry* e : {&d.mv, &d.temp, &d.wait, &d.shown})
                add(!e->empty());
    count += static_cast<int>(steps.size() + tests.size());
    add(leftAnswer != LeftAnswer::Open);
    add(autoAt.has_value());
    add(!remark.empty());
    add(!whyNoneFound.empty());
    return count;
}

std::vector<SettlePoint> seriesOf(const Dip& dip)
{
    auto series = dip.settle;
    if (dip.clocked || series.empty())
        return series;
    const auto mv = dip.mv.value();
    const auto seconds = dip.wait.value();
    if (mv && seconds && *seconds > series.back().seconds)
        series.push_back({*seconds, *mv});
    return series;
}

namespace {

Text textOrNone(const std::string& text)
{
    return text.empty() ? Text() : Text(text);
}

std::string noteOf(const Dip& dip)
{
    std::string note;
    for (const KeptOddity& kept : dip.kept)
        note += (note.empty() ? "" : "; ") + keptNote(kept.kind, kept.why);
    return note;
}

std::string noteOf(const std::vector<CautionAnswer>& answers)
{
    std::string note;
    for (const CautionAnswer& a : answers)
        note += fmt::format("{}{}: {} {} {}", note.empty() ? "" : "; ", a.caution, a.answer, a.person, formatInstant(a.when));
    return note;
}

void addReadings(Visit& visit, const VisitDraft& draft, Phase phase, Count count, std::vector<ReadingPlace>* places)
{
    const auto counts = [count](const Entry& e) { return count == Count::Typed || e.taken; };
    const PhaseForm& form = draft.phase(phase);
    // The temperature of the phase's first dip is carried to the later ones.
    const auto firstTemp = form.dips.empty() ? std::nullopt : form.dips.front().temp.value();
    std::vector<std::pair<std::string, int>> dipsOf;
    for (std::size_t i = 0; i < form.dips.size(); ++i) {
        const Dip& dip = form.dips[i];
        const auto mv = dip.mv.value();
        if (!mv || !counts(dip.mv))
            continue;
        Reading r;
        r.when = draft.fromSheet() ? visit.when : dip.when.value_or(visit.when);
        r.phase = phase;
        r.standard = dip.standard;
        r.lot = textOrNone(dip.lot);
        r.mv = mv;
        if (const auto own = dip.temp.value(); own && counts(dip.temp)) {
            r.temp_degc = *own;
            r.temp_source = TemperatureSource::Measured;
        } else if (i > 0 && firstTemp && counts(form.dips.front().temp)) {
            r.temp_degc = *firstTemp;
            r.temp_source = TemperatureSource::Carried;
        } else if (dip.temp.notDone) {
            r.temp_degc = NoAnswer::NotDone;
            r.temp_source = TemperatureSource::Absent;
        }
        if (const auto wait = dip.wait.value(); wait && counts(dip.wait))
            r.wait_s = *wait;
        else if (dip.wait.notDone)
            r.wait_s = NoAnswer::NotDone;
        if (dip.t90_s)
            r.t90_s = *dip.t90_s;
        r.settled = dip.settled;
        r.settle = seriesOf(dip);
        r.meter = textOrNone(draft.meter);
        r.thermometer = textOrNone(draft.thermometer);
        if (const auto shown = dip.shown.value())
            r.shown_ph = *shown;
        if (phase == Phase::AsLeft && draft.leftAnswer == LeftAnswer::Adjusted && draft.keyed)
            r.keyed = true;
        r.note = textOrNone(noteOf(dip));
        const auto known = std::find_if(dipsOf.begin(), dipsOf.end(), [&](const auto& d) { return d.first == dip.standard; });
        r.dip = known == dipsOf.end() ? (dipsOf.emplace_back(dip.standard, 1), 1) : ++known->second;
        r.recorded = visit.recorded;
        visit.readings.push_back(std::move(r));
        if (places)
            places->push_back({phase, i});
    }
}

}  // namespace

Visit visitOf(const VisitDraft& draft, Count count, std::vector<ReadingPlace>* places)
{
    Visit visit;
    visit.visit = draft.id;
    // A sheet typed in the afternoon is a visit of the morning.
    const bool sheet = draft.fromSheet() && draft.manualFrom;
    visit.when = sheet ? *draft.manualFrom : draft.begun;
    visit.serial = draft.serial;
    visit.tag = textOrNone(draft.tag);
    visit.person = textOrNone(draft.person);
    visit.reason = draft.reason;
    visit.round = textOrNone(draft.round);
    visit.manual_from = draft.manualFrom;
    visit.auto_at = draft.autoAt;
    std::string remark = draft.remark;
    const auto add = [&remark](const std::string& more) { remark += (remark.empty() ? "" : "; ") + more; };
    if (draft.serialSeen == SerialSeen::Unreadable)
        add("serial not seen");
    if (!draft.helper.empty() && draft.helper != draft.person)
        add("begun by " + draft.person + ", gone on with by " + draft.helper);
    if (draft.hold == HoldAnswer::NotWritten)
        add("time in manual not written on the sheet");
    if (!draft.answers.empty())
        add(noteOf(draft.answers));
    visit.remark = textOrNone(remark);
    visit.recorded = draft.begun;

    if (!draft.whyNoneFound.empty() && !draft.found.dips.empty()) {
        Reading none;
        none.when = visit.when;
        none.phase = Phase::AsFound;
        none.standard = draft.found.dips.front().standard;
        none.why_missing = draft.whyNoneFound;
        none.recorded = visit.recorded;
        visit.readings.push_back(std::move(none));
        if (places)
            places->push_back({Phase::AsFound, 0});
    }
    for (const Phase p : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft})
        if (p != Phase::AsFound || draft.whyNoneFound.empty())
            addReadings(visit, draft, p, count, places);

    const auto pick = [count](const Entry& e) { return count == Count::Typed || e.taken || e.notDone ? e.answer() : Answered<double>(); };
    Grab grab;
    grab.when = draft.manualFrom.value_or(visit.when);
    if (draft.kind == SensorKind::Orp) {
        grab.loop_mv = pick(draft.loop);
        grab.grab_mv = pick(draft.grab);
        grab.grab_ph = pick(draft.waterPh);
    } else {
        grab.loop_ph = pick(draft.loop);
        grab.grab_ph = pick(draft.grab);
    }
    grab.temp_degc = pick(draft.grabTemp);
    grab.recorded = visit.recorded;
    const Entry* const grabs[] = {&draft.loop, &draft.grab, &draft.grabTemp, &draft.waterPh};
    if (std::any_of(std::begin(grabs), std::end(grabs), [&](const Entry* e) { return pick(*e).has_value() || pick(*e).why; }))
        visit.grabs.push_back(std::move(grab));

    if (draft.coatingAnswered || !draft.tests.empty()) {
        Check check;
        check.when = draft.manualFrom.value_or(visit.when);
        if (draft.coatingAnswered)
            check.coating = draft.coating ? Answered<double>(static_cast<double>(*draft.coating)) : Answered<double>(NoAnswer::NotDone);
        check.coating_kind = draft.look;
        for (const auto& [column, cell] : draft.tests)
            if (const auto* known = findColumn<Check>(column); known && !cell.empty())
                (void)known->set(check, cell);  // half a number is none yet
        check.recorded = visit.recorded;
        visit.checks.push_back(std::move(check));
    }

    int number = 0;
    for (const Step& step : draft.steps) {
        Action action;
        action.when = sheet ? visit.when : step.when;
        action.step = ++number;
        action.action = step.action;
        action.agent = textOrNone(step.agent);
        action.strength = textOrNone(step.strength);
        if (const auto minutes = parseNumber(step.minutes); !step.minutes.empty() && minutes)
            action.minutes = *minutes;
        auto note = noteOf(step.answers);
        if (!step.newSerial.empty())
            note += fmt::format("{}replaced by {}", note.empty() ? "" : "; ", step.newSerial);
        if (step.reason)
            note += fmt::format("{}reason removed: {}", note.empty() ? "" : "; ", keyOf(*step.reason));
        action.note = textOrNone(note);
        action.recorded = visit.recorded;
        visit.actions.push_back(std::move(action));
    }
    return visit;
}

}  // namespace halfcell::app::bench
