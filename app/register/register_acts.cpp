#include "app/register/register_acts.h"
#include "app/register/say.h"

#include "app/panels/plain_words.h"

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

/// The place a typed text stands for: its key, its words, or "TAG  description".
std::optional<std::string> placeOf(const core::Records& reference, const QString& typed)
{
    const QString text = typed.simplified();
    for (const PlaceChoice& choice : placeChoices(reference))
        if (text.compare(choice.place, Qt::CaseInsensitive) == 0 || text.compare(choice.words.simplified(), Qt::CaseInsensitive) == 0)
            return choice.place.toStdString();
    return std::nullopt;
}

QString whenRefusal()
{
    return RegisterSay::tr("When? Write a time like 08:44, 2 Mar 08:44 or 2026-03-02 08:44; empty means now.");
}

/// "scrapped 3 Nov 2025 (broken)" or "at AE-3107 since 28 Sep 2025".
QString whereabouts(const std::string& serial, const core::Records& reference, const std::vector<db::LatestState>& latest)
{
    const auto state = std::ranges::find(latest, serial, &db::LatestState::serial);
    if (state == latest.end())
        return {};
    const QString since = state->placedSince ? fullDate(*state->placedSince) : QString();
    if (state->place == core::kScrap) {
        QString words = since.isEmpty() ? RegisterSay::tr("scrapped") : RegisterSay::tr("scrapped %1").arg(since);
        const core::Placement* last = nullptr;
        for (const core::Placement& p : reference.placements)
            if (p.serial == serial && p.reason_removed && (last == nullptr || last->from < p.from))
                last = &p;
        if (last != nullptr)
            words += u" ("_s + plain(core::wordsOf(*last->reason_removed)) + u')';
        return words;
    }
    if (state->place.empty())
        return RegisterSay::tr("with no place on record");
    const QString place = isStore(state->place) ? placeWord(state->place) : RegisterSay::tr("at %1").arg(plain(state->place));
    return since.isEmpty() ? place : RegisterSay::tr("%1 since %2").arg(place, since);
}

}  // namespace

std::vector<PlaceChoice> placeChoices(const core::Records& reference)
{
    std::vector<PlaceChoice> choices;
    for (const std::string_view store : {core::kShelf, core::kSoak, core::kBench, core::kQuarantine, core::kScrap})
        choices.push_back({plain(store), placeWord(store)});
    std::vector<PlaceChoice> points;
    for (const core::Point& point : reference.points)
        points.push_back({plain(point.tag), point.description ? plain(point.tag) + u"  "_s + plain(*point.description) : plain(point.tag)});
    std::ranges::sort(points, {}, &PlaceChoice::place);
    choices.insert(choices.end(), points.begin(), points.end());
    return choices;
}

std::vector<std::pair<core::RemovalReason, QString>> removalReasons()
{
    std::vector<std::pair<core::RemovalReason, QString>> reasons;
    for (const auto& entry : core::keyEntries<core::RemovalReason>())
        reasons.emplace_back(entry.value, plain(entry.words));
    return reasons;
}

MoveAsk askMove(const db::LatestState& sensor, const core::Records& reference, const QString& place, const QString& when,
                std::optional<core::RemovalReason> reason, const core::Instant& now)
{
    if (place.trimmed().isEmpty())
        return {.refusal = RegisterSay::tr("Where does %1 go? Choose a point or a place.").arg(plain(sensor.serial))};
    const auto to = placeOf(reference, place);
    if (!to)
        return {.refusal = RegisterSay::tr("%1 is no point of this book. Choose one from the list.").arg(place.trimmed())};
    if (*to == sensor.place)
        return {.refusal = isStore(*to) ? RegisterSay::tr("%1 is there already (%2).").arg(plain(sensor.serial), placeWord(*to))
                                        : RegisterSay::tr("%1 is at %2 already.").arg(plain(sensor.serial), plain(*to))};
    const auto moment = parseMoment(when, now);
    if (!moment)
        return {.refusal = whenRefusal()};
    if (now < *moment)
        return {.refusal = RegisterSay::tr("%1 has not come yet. Write the time at which it was moved.")
                               .arg(fullDate(*moment) + u' ' + clockWords(*moment))};
    if (sensor.placedSince && *moment < *sensor.placedSince)
        return {.refusal = RegisterSay::tr("%1 came to %2 only on %3. Write a later time.")
                               .arg(plain(sensor.serial), placeWord(sensor.place), fullDate(*sensor.placedSince))};
    const bool leavesPoint = !sensor.place.empty() && !isStore(sensor.place);
    if (leavesPoint && !reason)
        return {.refusal = RegisterSay::tr("Why does %1 leave %2? The reason removed is needed: choose one from the list.")
                               .arg(plain(sensor.serial), plain(sensor.place))};
    return {.move = MoveAsk::Move{.serial = sensor.serial, .place = *to, .when = *moment, .reason = leavesPoint ? reason : std::nullopt}};
}

NewSensorAsk askNewSensor(const QString& serial, const QString& model, const QString& place, const QString& when,
                          const core::Records& reference, const std::vector<db::LatestState>& latest, const core::Instant& now)
{
    const std::string key = serial.trimmed().toStdString();
    if (key.empty())
        return {.refusal = RegisterSay::tr("The serial number? Scan it or type it.")};
    const auto folded = foldedKey(serial);
    for (const core::Sensor& known : reference.sensors) {
        if (foldedKey(plain(known.serial)) != folded)
            continue;
        const QString where = whereabouts(known.serial, reference, latest);
        return {.refusal = where.isEmpty() ? RegisterSay::tr("%1 is already in this book.").arg(plain(known.serial))
                                           : RegisterSay::tr("%1 is already in this book, %2.").arg(plain(known.serial), where)};
    }
    const auto of = std::ranges::find(reference.models, model.trimmed().toStdString(), &core::Model::model);
    if (of == reference.models.end())
        return {.refusal = model.trimmed().isEmpty()
                               ? RegisterSay::tr("Which model? Choose one from the list.")
                               : RegisterSay::tr("%1 is no model of this book. Choose one from the list.").arg(model.trimmed())};
    const auto to = placeOf(reference, place.trimmed().isEmpty() ? plain(core::kShelf) : place);
    if (!to)
        return {.refusal = RegisterSay::tr("%1 is no point of this book. Choose one from the list.").arg(place.trimmed())};
    const auto moment = parseMoment(when, now);
    if (!moment)
        return {.refusal = whenRefusal()};
    core::Sensor sensor;
    sensor.serial = key;
    sensor.model = of->model;
    sensor.recorded = now;
    core::Placement placement;
    placement.serial = key;
    placement.place = *to;
    placement.from = *moment;
    placement.recorded = now;
    core::Records rows;
    rows.sensors.push_back(std::move(sensor));
    rows.placements.push_back(std::move(placement));
    return {.rows = std::move(rows)};
}

}  // namespace halfcell::app
