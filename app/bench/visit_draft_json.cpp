#include "app/bench/visit_draft.h"

#include <nlohmann/json.hpp>

/// The draft as JSON: every field under the name it has in the struct, word lists by their keys, times in ISO 8601. Fields
/// that are empty are left out, so a draft of an older program reads as one with empty fields.
namespace halfcell::app::bench {

using namespace core;
using Json = nlohmann::json;

namespace {

constexpr int kDraftFormat = 1;

constexpr const char* kHolds[] = {"none", "stamped", "typed", "no_loop", "not_written"};
constexpr const char* kLefts[] = {"open", "adjusted", "same"};
constexpr const char* kSeen[] = {"no", "scanned", "two_characters", "unreadable"};

template <class E, std::size_t N>
E fromWord(const char* const (&words)[N], const Json& j, const char* name)
{
    const auto word = j.value(name, std::string(words[0]));
    for (std::size_t i = 0; i < N; ++i)
        if (word == words[i])
            return static_cast<E>(i);
    throw std::invalid_argument(std::string(name) + " holds \"" + word + "\"");
}

template <class E>
std::optional<E> keyFrom(const Json& j, const char* name)
{
    if (!j.contains(name))
        return std::nullopt;
    const auto word = j.at(name).get<std::string>();
    if (const auto found = findKey<E>(word))
        return found;
    throw std::invalid_argument(std::string(name) + " holds \"" + word + "\"");
}

std::optional<Instant> instantFrom(const Json& j, const char* name)
{
    if (!j.contains(name))
        return std::nullopt;
    const auto instant = parseInstant(j.at(name).get<std::string>());
    if (!instant)
        throw std::invalid_argument(std::string(name) + ": " + instant.error().detail);
    return *instant;
}

void put(Json& j, const char* name, const std::string& text)
{
    if (!text.empty())
        j[name] = text;
}

void put(Json& j, const char* name, const std::optional<Instant>& instant)
{
    if (instant)
        j[name] = formatInstant(*instant);
}

void put(Json& j, const char* name, const Entry& e)
{
    if (e == Entry{})
        return;
    Json entry = Json::object();
    put(entry, "text", e.text);
    if (e.taken)
        entry["taken"] = true;
    if (e.notDone)
        entry["not_done"] = true;
    j[name] = std::move(entry);
}

Entry entryFrom(const Json& j, const char* name)
{
    if (!j.contains(name))
        return {};
    const Json& e = j.at(name);
    return {e.value("text", std::string()), e.value("taken", false), e.value("not_done", false)};
}

Json answersTo(const std::vector<CautionAnswer>& answers)
{
    Json list = Json::array();
    for (const CautionAnswer& a : answers)
        list.push_back(
            {{"caution", a.caution}, {"about", a.about}, {"answer", a.answer}, {"person", a.person}, {"when", formatInstant(a.when)}});
    return list;
}

std::vector<CautionAnswer> answersFrom(const Json& j, const char* name)
{
    std::vector<CautionAnswer> answers;
    if (j.contains(name))
        for (const Json& a : j.at(name))
            answers.push_back({a.value("caution", std::string()), a.value("about", std::string()), a.value("answer", std::string()),
                               a.value("person", std::string()), instantFrom(a, "when").value_or(Instant{})});
    return answers;
}

Json toJson(const Dip& d)
{
    Json j = Json::object();
    put(j, "standard", d.standard);
    put(j, "lot", d.lot);
    put(j, "mv", d.mv);
    put(j, "temp_degc", d.temp);
    put(j, "wait_s", d.wait);
    put(j, "shown_ph", d.shown);
    if (d.carried)
        j["carried"] = true;
    if (d.clocked)
        j["clocked"] = true;
    if (d.t90_s)
        j["t90_s"] = *d.t90_s;
    if (d.settled)
        j["settled"] = *d.settled;
    for (const core::SettlePoint& point : d.settle)
        j["settle"].push_back({point.seconds, point.mv});
    put(j, "when", d.when);
    for (const KeptOddity& k : d.kept)
        j["kept"].push_back({{"kind", k.kind}, {"why", k.why}});
    return j;
}

Dip dipFrom(const Json& j)
{
    Dip d;
    d.standard = j.value("standard", std::string());
    d.lot = j.value("lot", std::string());
    d.mv = entryFrom(j, "mv");
    d.temp = entryFrom(j, "temp_degc");
    d.wait = entryFrom(j, "wait_s");
    d.shown = entryFrom(j, "shown_ph");
    d.carried = j.value("carried", false);
    d.clocked = j.value("clocked", false);
    if (j.contains("t90_s"))
        d.t90_s = j.at("t90_s").get<double>();
    if (j.contains("settled"))
        d.settled = j.at("settled").get<bool>();
    if (j.contains("settle"))
        for (const Json& point : j.at("settle"))
            d.settle.push_back({point.at(0).get<double>(), point.at(1).get<double>()});
    d.when = instantFrom(j, "when");
    if (j.contains("kept"))
        for (const Json& k : j.at("kept"))
            d.kept.push_back({k.value("kind", std::string()), k.value("why", std::string())});
    return d;
}

Json toJson(const PhaseForm& p)
{
    Json j = Json::object();
    j["dips"] = Json::array();
    for (const Dip& d : p.dips)
        j["dips"].push_back(toJson(d));
    if (p.passed)
        j["passed"] = true;
    return j;
}

PhaseForm phaseFrom(const Json& j, const char* name)
{
    PhaseForm p;
    if (!j.contains(name))
        return p;
    for (const Json& d : j.at(name).at("dips"))
        p.dips.push_back(dipFrom(d));
    p.passed = j.at(name).value("passed", false);
    return p;
}

Json toJson(const Step& s)
{
    Json j = {{"action", std::string(keyOf(s.action))}, {"when", formatInstant(s.when)}};
    put(j, "agent", s.agent);
    put(j, "strength", s.strength);
    put(j, "minutes", s.minutes);
    put(j, "started", s.started);
    if (!s.answers.empty())
        j["answers"] = answersTo(s.answers);
    put(j, "new_serial", s.newSerial);
    if (s.reason)
        j["reason_removed"] = std::string(keyOf(*s.reason));
    return j;
}

Step stepFrom(const Json& j)
{
    Step s;
    s.action = keyFrom<ActionKey>(j, "action").value_or(ActionKey::CleanDetergent);
    s.when = instantFrom(j, "when").value_or(Instant{});
    s.agent = j.value("agent", std::string());
    s.strength = j.value("strength", std::string());
    s.minutes = j.value("minutes", std::string());
    s.started = instantFrom(j, "started");
    s.answers = answersFrom(j, "answers");
    s.newSerial = j.value("new_serial", std::string());
    s.reason = keyFrom<RemovalReason>(j, "reason_removed");
    return s;
}

VisitDraft read(const Json& j)
{
    if (j.value("draft", 0) != kDraftFormat)
        throw std::invalid_argument("not a draft of this program");
    VisitDraft d;
    d.id = j.at("id").get<std::string>();
    d.serial = j.at("serial").get<std::string>();
    d.tag = j.value("tag", std::string());
    d.kind = keyFrom<SensorKind>(j, "kind").value_or(SensorKind::Ph);
    d.person = j.value("person", std::string());
    d.helper = j.value("helper", std::string());
    d.reason = keyFrom<VisitReason>(j, "reason").value_or(VisitReason::Routine);
    d.round = j.value("round", std::string());
    d.sheet = j.value("sheet", 0);
    d.begun = instantFrom(j, "begun").value_or(Instant{});
    d.serialSeen = fromWord<SerialSeen>(kSeen, j, "serial_seen");
    d.serialTyped = j.value("serial_typed", std::string());
    d.hold = fromWord<HoldAnswer>(kHolds, j, "hold");
    d.manualTyped = j.value("manual_typed", std::string());
    d.manualFrom = instantFrom(j, "manual_from");
    d.answers = answersFrom(j, "answers");
    d.loop = entryFrom(j, "loop");
    d.grab = entryFrom(j, "grab");
    d.grabTemp = entryFrom(j, "grab_temp_degc");
    d.waterPh = entryFrom(j, "water_ph");
    if (j.contains("coating"))
        d.coating = j.at("coating").get<int>();
    d.coatingAnswered = j.value("coating_answered", false);
    d.look = keyFrom<CoatingKind>(j, "look");
    d.found = phaseFrom(j, "as_found");
    d.clean = phaseFrom(j, "after_clean");
    d.left = phaseFrom(j, "as_left");
    if (j.contains("tests"))
        d.tests = j.at("tests").get<std::map<std::string, std::string>>();
    d.whyNoneFound = j.value("why_none_found", std::string());
    if (j.contains("steps"))
        for (const Json& s : j.at("steps"))
            d.steps.push_back(stepFrom(s));
    d.didEnded = j.value("did_ended", false);
    d.leftAnswer = fromWord<LeftAnswer>(kLefts, j, "left");
    d.keyed = j.value("keyed", false);
    d.autoTyped = j.value("auto_typed", std::string());
    d.autoAt = instantFrom(j, "auto_at");
    d.remark = j.value("remark", std::string());
    d.asksApproval = j.value("asks_approval", false);
    d.approvalTyped = j.value("approval_typed", std::string());
    d.meter = j.value("meter", std::string());
    d.thermometer = j.value("thermometer", std::string());
    return d;
}

}  // namespace

std::string toJson(const VisitDraft& d)
{
    Json j = {{"draft", kDraftFormat}, {"id", d.id}, {"serial", d.serial}, {"begun", formatInstant(d.begun)}};
    put(j, "tag", d.tag);
    j["kind"] = std::string(keyOf(d.kind));
    put(j, "person", d.person);
    put(j, "helper", d.helper);
    j["reason"] = std::string(keyOf(d.reason));
    put(j, "round", d.round);
    if (d.sheet > 0)
        j["sheet"] = d.sheet;
    j["serial_seen"] = kSeen[static_cast<std::size_t>(d.serialSeen)];
    put(j, "serial_typed", d.serialTyped);
    j["hold"] = kHolds[static_cast<std::size_t>(d.hold)];
    put(j, "manual_typed", d.manualTyped);
    put(j, "manual_from", d.manualFrom);
    if (!d.answers.empty())
        j["answers"] = answersTo(d.answers);
    put(j, "loop", d.loop);
    put(j, "grab", d.grab);
    put(j, "grab_temp_degc", d.grabTemp);
    put(j, "water_ph", d.waterPh);
    if (d.coating)
        j["coating"] = *d.coating;
    if (d.coatingAnswered)
        j["coating_answered"] = true;
    if (d.look)
        j["look"] = std::string(keyOf(*d.look));
    j["as_found"] = toJson(d.found);
    j["after_clean"] = toJson(d.clean);
    j["as_left"] = toJson(d.left);
    if (!d.tests.empty())
        j["tests"] = d.tests;
    put(j, "why_none_found", d.whyNoneFound);
    j["steps"] = Json::array();
    for (const Step& s : d.steps)
        j["steps"].push_back(toJson(s));
    if (d.didEnded)
        j["did_ended"] = true;
    j["left"] = kLefts[static_cast<std::size_t>(d.leftAnswer)];
    if (d.keyed)
        j["keyed"] = true;
    put(j, "auto_typed", d.autoTyped);
    put(j, "auto_at", d.autoAt);
    put(j, "remark", d.remark);
    if (d.asksApproval)
        j["asks_approval"] = true;
    put(j, "approval_typed", d.approvalTyped);
    put(j, "meter", d.meter);
    put(j, "thermometer", d.thermometer);
    return j.dump();
}

Result<VisitDraft> draftFromJson(std::string_view text)
{
    try {
        return read(Json::parse(text));
    } catch (const std::exception& e) {
        return failure(Errc::BadInput, std::string("this draft cannot be read: ") + e.what(), "set it aside and type the visit again");
    }
}

}  // namespace halfcell::app::bench
