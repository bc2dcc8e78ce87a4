#include "app/cli/json_forms.h"

#include "app/cli/response_forms.h"

#include <cmath>

namespace halfcell::app {

using namespace core;

namespace {

Json textJson(const std::string& text)
{
    return text.empty() ? Json() : Json(text);
}

Json missingJson(const PhaseFigures& figures)
{
    Json missing = Json::array();
    for (const auto& [figure, reason] : figures.missing)
        missing.push_back({{"figure", figure}, {"reason", reason}});
    return missing;
}

Json signalJson(const Assessment& a)
{
    return a.signal ? Json(keyOf(*a.signal)) : Json();
}

Json becauseJson(const Finding& finding)
{
    Json list = Json::array();
    for (const Because& b : finding.because) {
        const char* side = b.side == Because::Side::For           ? "for"
                           : b.side == Because::Side::Against     ? "against"
                           : b.side == Because::Side::NotMeasured ? "not_measured"
                                                                  : "not_possible";
        list.push_back({{"side", side}, {"text", b.text}});
    }
    return list;
}

/// What the diagnosis has to say; null where it abstains.
Json diagnosisJson(const Assessment& a)
{
    if (!a.diagnosis)
        return nullptr;
    const DiagnosisReport& d = *a.diagnosis;
    Json j;
    Json causes = Json::array();
    for (const LikelyCause& c : d.causes)
        causes.push_back({{"cause", c.key}, {"words", c.words}, {"probability", c.probability}});
    j["causes"] = std::move(causes);
    j["other"] = d.other;
    Json cures = Json::array();
    for (const CureAdvice& c : d.cures)
        cures.push_back({{"cure", c.key},
                         {"words", c.words},
                         {"action", c.action ? Json(keyOf(*c.action)) : Json()},
                         {"minutes", c.minutes},
                         {"expected_cost", c.cost},
                         {"expected_gain", c.gain},
                         {"cures_probability", c.solves}});
    j["cures"] = std::move(cures);
    j["test"] = d.test ? Json({{"test", d.test->test}, {"minutes", d.test->minutes}, {"splits", d.test->splits}, {"pays", d.testPays}}) : Json();
    j["round"] = textJson(d.round);
    j["abstained"] = textJson(d.abstained);
    j["order"] = textJson(d.order);
    j["next_time"] = textJson(d.nextTime);
    j["not_seen"] = d.missing;
    return j;
}

std::string_view triggerWord(Trigger::Kind kind)
{
    switch (kind) {
    case Trigger::Kind::Calendar: return "calendar";
    case Trigger::Kind::InUse: return "in_use";
    case Trigger::Kind::Condition: return "condition";
    case Trigger::Kind::Finding: return "finding";
    case Trigger::Kind::Floor: return "floor";
    }
    return "";
}

}  // namespace

Json jsonOf(const std::optional<double>& value)
{
    return value && std::isfinite(*value) ? Json(*value + 0.0) : Json();  // + 0.0: zero has no sign
}

Json dayJson(std::optional<std::int64_t> day)
{
    return day ? Json(formatDate(startOfDay(*day))) : Json();
}

Json jsonOf(const Finding& finding)
{
    Json j;
    j["code"] = keyOf(finding.code);
    j["title"] = finding.title;
    j["probability"] = jsonOf(finding.probability);
    if (!finding.probability)
        j["missing"] = Json::array({{{"figure", "probability"}, {"reason", "raised by a rule"}}});
    j["because"] = becauseJson(finding);
    if (finding.next_test)
        j["next_test"] = {{"test", finding.next_test->test}, {"minutes", finding.next_test->minutes}, {"splits", finding.next_test->splits}};
    else
        j["next_test"] = nullptr;
    j["action"] = finding.action ? Json(keyOf(*finding.action)) : Json();
    j["cautions"] = finding.cautions;
    return j;
}

Json jsonOf(std::span<const Finding> findings)
{
    Json list = Json::array();
    for (const Finding& f : findings)
        list.push_back(jsonOf(f));
    return list;
}

Json jsonOf(const WorkingStep& step)
{
    Json j;
    j["step"] = step.step;
    j["formula"] = step.formula;
    Json inputs = Json::array();
    for (const WorkingInput& in : step.inputs) {
        Json i;
        i["name"] = in.name;
        i["value"] = jsonOf(in.value);
        i["unit"] = in.unit;
        if (!in.text.empty())
            i["text"] = in.text;
        if (!in.readingRef.empty())
            i["reading"] = in.readingRef;
        inputs.push_back(std::move(i));
    }
    j["inputs"] = std::move(inputs);
    j["result"] = jsonOf(step.result);
    j["unit"] = step.unit;
    if (!step.text.empty())
        j["text"] = step.text;
    j["source"] = step.source;
    j["source_class"] = sourceClassWords(step.sourceClass);
    return j;
}

Json workingJson(std::span<const Working> working)
{
    Json list = Json::array();
    for (const Working& w : working)
        for (const WorkingStep& step : w.steps) {
            Json j;
            j["figure"] = w.figure;
            j.update(jsonOf(step));
            list.push_back(std::move(j));
        }
    return list;
}

Json setJson(std::string_view id, const PhaseFigures& f, const Assessment& a, const GoodEnough& good)
{
    Json j;
    j["id"] = id;
    j["phase"] = keyOf(f.phase);
    if (f.kind == SensorKind::Ph) {
        j["efficiency_pct"] = jsonOf(f.efficiency_pct);
        j["slope_mv_per_ph"] = jsonOf(f.slope_mv_per_ph);
        j["offset_mv"] = jsonOf(f.offset_mv);
        j["u_efficiency_pct"] = jsonOf(f.u_efficiency_pct);
        j["u_offset_mv"] = jsonOf(f.u_offset_mv);
        j["zero_point_ph"] = jsonOf(f.zero_point_ph);
        j["residual_mv"] = jsonOf(f.residual_mv);
        j["legs"] = {{"acid_pct", jsonOf(f.acid_leg_pct)}, {"alkaline_pct", jsonOf(f.alkaline_leg_pct)}};
        j["u_at_process_ph"] = jsonOf(f.u_at_process_ph);
    } else {
        Json expected = Json::array();
        for (const UsedReading& r : f.used)
            expected.push_back({{"standard", r.standard},
                                {"expected_mv", r.standardValue},
                                {"read_mv", r.e_mv},
                                {"offset_mv", r.residual_mv},
                                {"read_hydrogen_mv", jsonOf(r.hydrogen_mv)}});
        j["expected_mv"] = std::move(expected);
        j["offset_mv"] = jsonOf(f.offset_mv);
        j["u_offset_mv"] = jsonOf(f.u_offset_mv);
        j["span_pct"] = jsonOf(f.span_pct);
    }
    j["t90_s"] = jsonOf(f.t90_s);
    j["u_t90_s"] = jsonOf(f.u_t90_s);
    j["settling"] = settlingJson(f);
    j["good_enough"] = goodEnoughJson(good);
    j["missing"] = missingJson(f);
    j["signal"] = signalJson(a);
    j["verdict"] = keyOf(a.verdict);
    j["findings"] = jsonOf(std::span<const Finding>(a.findings));
    j["diagnosis"] = diagnosisJson(a);
    Json working = workingJson(f.working);
    for (const WorkingStep& step : good.working) {
        Json w;
        w["figure"] = "good_enough";
        w.update(jsonOf(step));
        working.push_back(std::move(w));
    }
    for (const WorkingStep& step : a.verdictWorking) {
        Json w;
        w["figure"] = "verdict";
        w.update(jsonOf(step));
        working.push_back(std::move(w));
    }
    j["working"] = std::move(working);
    return j;
}

Json sensorJson(const Assessment& a, std::optional<std::int64_t> nextDue, const GoodEnough& good)
{
    Json j;
    j["serial"] = a.serial;
    j["tag"] = textJson(a.tag);
    j["site"] = textJson(a.site);
    j["kind"] = keyOf(a.kind);
    j["measured"] = a.measured ? Json(formatInstant(*a.measured)) : Json();
    j["phase"] = a.phase ? Json(keyOf(*a.phase)) : Json();
    const PhaseFigures none;
    const PhaseFigures& f = a.figures ? *a.figures : none;
    j["efficiency_pct"] = a.kind == SensorKind::Ph ? jsonOf(f.efficiency_pct) : Json();
    j["u_efficiency_pct"] = a.kind == SensorKind::Ph ? jsonOf(f.u_efficiency_pct) : Json();
    j["offset_mv"] = jsonOf(f.offset_mv);
    j["u_offset_mv"] = jsonOf(f.u_offset_mv);
    j["t90_s"] = jsonOf(f.t90_s);
    j["u_t90_s"] = jsonOf(f.u_t90_s);
    j["span_pct"] = jsonOf(f.span_pct);
    j["settling"] = settlingJson(f);
    j["good_enough"] = goodEnoughJson(good);
    Json missing = missingJson(f);
    if (a.neverMeasured)
        missing.push_back({{"figure", "all"}, {"reason", "never measured"}});
    j["missing"] = std::move(missing);
    j["signal"] = signalJson(a);
    j["verdict"] = keyOf(a.verdict);
    j["sentence"] = a.sentence;
    j["profile"] = a.profile;
    j["findings"] = jsonOf(std::span<const Finding>(a.findings));
    j["diagnosis"] = diagnosisJson(a);
    j["next_due"] = dayJson(nextDue);
    return j;
}

Json jsonOf(const DueTask& task)
{
    Json j;
    j["serial"] = textJson(task.serial);
    j["tag"] = textJson(task.tag);
    j["site"] = textJson(task.site);
    if (!task.subject.empty())
        j["subject"] = task.subject;
    j["task"] = keyOf(task.task);
    j["due"] = dayJson(task.due);
    j["earliest"] = dayJson(task.earliest);
    j["latest"] = dayJson(task.latest);
    j["floor"] = dayJson(task.floor);
    j["why"] = task.why;
    Json triggers = Json::array();
    for (const Trigger& t : task.triggers)
        triggers.push_back({{"kind", triggerWord(t.kind)}, {"day", dayJson(t.day)}, {"why", t.why}, {"source", t.source}});
    j["triggers"] = std::move(triggers);
    j["priority"] = task.priority;
    j["cannot_slip"] = task.cannotSlip;
    j["minutes"] = task.minutes;
    j["elapsed_minutes"] = task.elapsed_minutes;
    j["materials"] = task.materials;
    return j;
}

Json jsonOf(const WeekPlan& plan)
{
    Json j;
    j["week"] = formatIsoWeek(plan.week);
    Json days = Json::array();
    for (const DayLoad& load : plan.loads) {
        Json areas = Json::array();
        for (const auto& [area, minutes] : load.areas)
            areas.push_back({{"area", area}, {"minutes", minutes}});
        Json jobs = Json::array();
        std::vector<const PlannedJob*> here;
        for (const PlannedJob& p : plan.planned)
            if (p.day == load.day && std::ranges::find(p.people, load.person) != p.people.end())
                here.push_back(&p);
        std::ranges::sort(here, {}, [](const PlannedJob* p) { return std::pair(p->order, p->key); });
        for (const PlannedJob* p : here)
            jobs.push_back(p->key);
        days.push_back({{"day", dayJson(load.day)},
                        {"person", load.person},
                        {"used_minutes", load.used},
                        {"capacity_minutes", load.capacity},
                        {"areas", std::move(areas)},
                        {"jobs", std::move(jobs)}});
    }
    j["days"] = std::move(days);
    Json jobs = Json::array();
    for (const Job& job : plan.jobs) {
        Json tasks = Json::array();
        for (const TaskKind t : job.tasks)
            tasks.push_back(keyOf(t));
        Json planned;
        for (const PlannedJob& p : plan.planned)
            if (p.key == job.key)
                planned = {{"day", dayJson(p.day)}, {"people", p.people}, {"order", p.order}};
        jobs.push_back({{"job", job.key},
                        {"tag", textJson(job.tag)},
                        {"serial", textJson(job.serial)},
                        {"site", textJson(job.site)},
                        {"area", textJson(job.area)},
                        {"tasks", std::move(tasks)},
                        {"why", job.why},
                        {"minutes", job.minutes},
                        {"elapsed_minutes", job.elapsed_minutes},
                        {"loss", job.loss},
                        {"floor", job.floor},
                        {"earliest", dayJson(job.earliest)},
                        {"latest", dayJson(job.latest)},
                        {"skills", job.skills},
                        {"people", job.people},
                        {"planned", std::move(planned)}});
    }
    j["jobs"] = std::move(jobs);
    Json unplanned = Json::array();
    for (const UnplannedJob& u : plan.unplanned)
        unplanned.push_back({{"job", u.key}, {"why", u.why}, {"next_chance", dayJson(u.nextChance)}});
    j["unplanned"] = std::move(unplanned);
    Json kit = Json::array();
    for (const KitLine& k : plan.kit)
        kit.push_back({{"person", k.person}, {"day", dayJson(k.day)}, {"item", k.item}, {"amount", k.amount}, {"unit", k.unit}, {"lot", textJson(k.lot)}});
    j["kit"] = std::move(kit);
    j["objective"] = plan.objective;
    j["bound"] = plan.bound;
    j["gap_pct"] = plan.gap_pct;
    return j;
}

Json jsonOf(const Review& review)
{
    Json j;
    Json sensors = Json::array();
    for (const ReviewCase& c : review.cases) {
        Json options = Json::array();
        for (const ReviewOption& o : c.options) {
            Json ci = o.ci_low && o.ci_high ? Json::array({*o.ci_low, *o.ci_high}) : Json();
            options.push_back({{"option", keyOf(o.option)},
                               {"cost_per_month", jsonOf(o.cost_per_month)},
                               {"ci", std::move(ci)},
                               {"probability_best", o.probability_best},
                               {"price", o.price},
                               {"design", textJson(o.design)}});
        }
        Json assumptions = Json::array();
        for (const Assumption& a : c.assumptions)
            assumptions.push_back({{"what", a.what}, {"value", a.value}, {"unit", a.unit}, {"source", a.source}, {"assumed", a.assumed}});
        Json working = Json::array();
        for (const WorkingStep& step : c.working)
            working.push_back(jsonOf(step));
        sensors.push_back({{"serial", c.serial},
                           {"tag", textJson(c.tag)},
                           {"site", textJson(c.site)},
                           {"loop_class", textJson(c.loop_class)},
                           {"options", std::move(options)},
                           {"recommended", c.recommended ? Json(keyOf(*c.recommended)) : Json()},
                           {"break_even_price", jsonOf(c.break_even_price)},
                           {"close_call", c.closeCall},
                           {"terminal", c.terminal},
                           {"why", c.why},
                           {"sentence", c.sentence},
                           {"abstained", textJson(c.abstained)},
                           {"assumptions", std::move(assumptions)},
                           {"working", std::move(working)}});
    }
    j["sensors"] = std::move(sensors);
    Json spares = Json::array();
    for (const SpareType& s : review.spares)
        spares.push_back({{"interchange", s.interchange},
                          {"in_use", s.inUse},
                          {"ready", s.ready},
                          {"expected_demand", s.expectedDemand},
                          {"hold", s.hold},
                          {"order", s.order},
                          {"lead_time_days", s.lead_time_days},
                          {"note", textJson(s.note)}});
    j["spares"] = std::move(spares);
    Json reasons = Json::array();
    for (const auto& [reason, n] : review.fleet.replacementsByReason)
        reasons.push_back({{"reason", reason}, {"n", n}});
    j["fleet"] = {{"as_found_in_tolerance", review.fleet.asFoundInTolerance},
                  {"as_found_judged", review.fleet.asFoundJudged},
                  {"visits_without_as_found", review.fleet.visitsWithoutAsFound},
                  {"share", review.fleet.share},
                  {"share_ci", Json::array({review.fleet.shareLower, review.fleet.shareUpper})},
                  {"replacements", review.fleet.replacements},
                  {"replacements_by_reason", std::move(reasons)}};
    if (review.budget) {
        j["budget"] = {{"budget", *review.budget},
                       {"within", review.withinBudget},
                       {"asked", review.asked},
                       {"saving", review.saving},
                       {"saving_bound", review.savingBound}};
    }
    return j;
}

}  // namespace halfcell::app
