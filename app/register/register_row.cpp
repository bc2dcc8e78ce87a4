#include "app/register/register_row.h"
#include "app/register/say.h"

#include "app/panels/plain_words.h"

#include <QDate>
#include <QLocale>
#include <QStringList>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr std::int64_t kSparkDays = 365;
constexpr std::int64_t kDaySeconds = 86400;

/// Looks up the small tables while rows are made.
class Lookup {
public:
    explicit Lookup(const core::Records& records)
    {
        for (const core::Point& point : records.points)
            m_points.emplace(point.tag, &point);
        for (const core::Model& model : records.models)
            m_models.emplace(model.model, &model);
    }
    [[nodiscard]] const core::Point* point(const std::string& tag) const { return find(m_points, tag); }
    [[nodiscard]] const core::Model* model(const std::string& key) const { return find(m_models, key); }

private:
    template <class Map>
    static typename Map::mapped_type find(const Map& map, const std::string& key)
    {
        const auto it = map.find(key);
        return it == map.end() ? nullptr : it->second;
    }
    std::map<std::string, const core::Point*> m_points;
    std::map<std::string, const core::Model*> m_models;
};

QString pointWords(const core::Point* point)
{
    if (point == nullptr)
        return {};
    return plain(point->description.value_or(point->area.value_or(point->site)));
}

/// Ranks: the signals in the rule set's order, then conflicts of place, not enough data, empty points, normal.
int rankOf(const RegisterRow& row, const std::vector<core::Signal>& order)
{
    constexpr int kTwo = 10, kTooLittle = 11, kEmpty = 12, kNormal = 13;
    if (row.kind == RowKind::TwoAtPoint)
        return kTwo;
    if (row.kind == RowKind::EmptyPoint)
        return kEmpty;
    if (!row.condition)
        return kTooLittle;
    if (*row.condition == core::Signal::Normal)
        return kNormal;
    return static_cast<int>(std::ranges::find(order, *row.condition) - order.begin());
}

Need needOf(const RegisterRow& row)
{
    if (row.kind == RowKind::TwoAtPoint)
        return Need::Now;
    if (row.kind == RowKind::EmptyPoint)
        return Need::TooLittle;
    if (!row.condition)
        return row.testBeforeUse ? Need::Week : Need::TooLittle;
    switch (*row.condition) {
    case core::Signal::Failure:
    case core::Signal::FunctionCheck:
    case core::Signal::OutOfSpecification: return Need::Now;
    case core::Signal::MaintenanceRequired: return Need::Week;
    case core::Signal::Normal: break;
    }
    return row.testBeforeUse ? Need::Week : Need::Within;
}

std::optional<double> doubled(const std::optional<double>& u)
{
    return u ? std::optional(2.0 * *u) : std::nullopt;
}

/// Why a figure is missing, out of "efficiency_pct=no temperature;offset_mv=..." or "all=never measured". A reason may hold
/// a semicolon itself: what has no key belongs to the entry before.
QString reasonFor(const std::string& missing, std::string_view figure)
{
    QString forAll, own;
    QString* last = nullptr;
    for (const QString& entry : plain(missing).split(u';', Qt::SkipEmptyParts)) {
        const qsizetype sign = entry.indexOf(u'=');
        if (sign < 0) {
            if (last != nullptr && !last->isEmpty())
                *last += u';' + entry;
            continue;
        }
        const QString key = entry.left(sign).trimmed();
        last = key == plain(figure) ? &own : key == u"all" ? &forAll : nullptr;
        if (last != nullptr)
            *last = entry.mid(sign + 1).trimmed();
    }
    return screenWords(own.isEmpty() ? forAll : own);
}

/// A reason short enough for a cell; the whole of it stands in the tool tip and in the working.
QString shortReason(const QString& reason)
{
    if (reason.contains(u"temperature"_s) && reason.contains(u"not recorded"_s))
        return RegisterSay::tr("no temperature");
    if (reason.startsWith(u"one standard alone"_s))
        return RegisterSay::tr("one standard alone");
    return reason;
}

void fillFigures(RegisterRow& row, const db::LatestState& state)
{
    const bool orp = row.sensorKind == core::SensorKind::Orp;
    const auto guilty = [&](std::string_view figure) { return state.guilty == figure && !row.quiet(); };
    row.efficiency = {.value = orp ? state.span_pct : state.efficiency_pct,
                      .decimals = orp ? 0 : 1,
                      .expanded = orp ? std::nullopt : doubled(state.u_efficiency_pct),
                      .unit = u"%"_s,
                      .reason = shortReason(reasonFor(state.missing, orp ? "span_pct" : "efficiency_pct")),
                      .lead = orp ? RegisterSay::tr("span") : QString(),
                      .guilty = guilty(orp ? "span" : "efficiency"),
                      .quiet = row.quiet()};
    row.offset = {.value = state.offset_mv,
                  .decimals = 1,
                  .sign = Sign::Always,
                  .expanded = doubled(state.u_offset_mv),
                  .unit = u"mV"_s,
                  .guilty = guilty("offset"),
                  .quiet = row.quiet()};
    row.t90 = {.value = state.t90_s, .decimals = 0, .unit = u"s"_s, .guilty = guilty("response"), .quiet = row.quiet()};
}

Sparkline sparkOf(const db::LatestState& state, bool orp, const core::LimitProfile& limits, const core::Instant& now)
{
    Sparkline spark;
    spark.to = now.utcSeconds;
    spark.from = now.utcSeconds - kSparkDays * kDaySeconds;
    if (orp) {
        const double edge = 1.5 * std::abs(limits.orp_offset_use_mv.value);
        spark.low = -edge;
        spark.high = edge;
    }
    for (const auto& [utc, value] : state.lastAsLeft)
        if (utc >= spark.from && utc <= spark.to)
            spark.points.push_back({.utc = utc, .value = value, .joined = true});
    return spark;
}

void fillDue(RegisterRow& row, const db::LatestState& state, std::int64_t today)
{
    row.due = state.nextDue;
    const bool fault = row.condition == core::Signal::Failure;
    if (fault) {
        row.dueWords = RegisterSay::tr("now");
        row.due = std::min(row.due.value_or(today), today);
        return;
    }
    if (!row.due)
        return;
    row.overdue = *row.due < today;
    row.dueWords = row.overdue ? RegisterSay::tr("%1 d late").arg(today - *row.due) : dayWords(*row.due, today);
}

RegisterRow sensorRow(const db::LatestState& state, const RegisterSources& sources, const Lookup& lookup,
                      const std::set<std::string>& drafts, const std::set<std::string>& held, std::int64_t today)
{
    RegisterRow row;
    row.key = row.serial = plain(state.serial);
    row.tag = plain(state.tag);
    row.store = isStore(state.place) ? plain(state.place) : QString();
    row.site = plain(state.site);
    row.area = plain(state.area);
    row.model = plain(state.model);
    const core::Point* point = lookup.point(state.tag);
    const core::Model* model = lookup.model(state.model);
    row.placeWords = row.store.isEmpty() ? pointWords(point) : placeWord(state.place);
    row.since = state.placedSince ? RegisterSay::tr("since %1").arg(fullDate(*state.placedSince)) : QString();
    row.sensorKind = core::findKey<core::SensorKind>(state.kind).value_or(core::SensorKind::Ph);
    row.kindWords = plain(core::wordsOf(row.sensorKind));
    row.classWords = point != nullptr && point->loop_class ? plain(core::wordsOf(*point->loop_class)) : QString();
    row.draft = drafts.contains(state.serial);
    row.condition = state.signal;
    // A visit being typed or a loop still in manual: function check, unless something worse is known.
    const bool checked = row.draft || (!state.tag.empty() && held.contains(state.tag));
    const auto order = sources.rules->signalOrder();
    if (checked && !row.scrapped()) {
        const auto rank = [&](core::Signal s) { return std::ranges::find(order, s) - order.begin(); };
        if (!row.condition || rank(core::Signal::FunctionCheck) < rank(*row.condition) || *row.condition == core::Signal::Normal)
            row.condition = core::Signal::FunctionCheck;
    }
    row.signalWords = signalWord(row.condition);
    row.testBeforeUse =
        row.store == plain(core::kShelf) && sources.outline != nullptr && sources.outline->testBeforeUse.contains(state.serial);
    row.need = needOf(row);
    row.rank = rankOf(row, order);
    fillFigures(row, state);
    const core::LimitProfile& limits = sources.rules->profileFor(model, point);
    const bool orp = row.sensorKind == core::SensorKind::Orp;
    if (!orp && state.efficiency_pct)
        row.rule = EfficiencyRule{.value = state.efficiency_pct,
                                  .expanded = row.efficiency.expanded,
                                  .use = limits.efficiency_use_pct.value,
                                  .maintenance = limits.efficiency_maintenance_pct.value};
    row.spark = sparkOf(state, orp, limits, sources.now);
    row.next = plain(core::wordsOf(state.verdict));
    fillDue(row, state, today);
    row.sentence = screenWords(state.sentence);
    row.measured = state.measured ? fullDate(*state.measured) : QString();
    if (sources.outline != nullptr) {
        if (const auto it = sources.outline->loss.find(state.serial); it != sources.outline->loss.end())
            row.loss = it->second;
        if (const auto it = sources.outline->by.find(state.serial); it != sources.outline->by.end())
            row.by = plain(it->second);
        if (const auto it = sources.outline->shelfWhy.find(state.serial); row.testBeforeUse && it != sources.outline->shelfWhy.end())
            row.sentence = RegisterSay::tr("Test before use: %1.").arg(screenWords(it->second));
    }
    row.folded = foldedKey(QStringList{row.tag, row.serial, row.kindWords, row.signalWords, row.next, row.placeWords, row.area, row.site,
                                       row.model, row.classWords, row.overdue ? RegisterSay::tr("overdue") : QString(),
                                       row.testBeforeUse ? RegisterSay::tr("test before use") : QString()}
                               .join(u'\n'));
    row.spoken = rowSentence(row, today);
    return row;
}

/// The last placement that ended at a point, as far as placements are known.
const core::Placement* lastGone(const core::Records& records, const std::string& tag)
{
    const core::Placement* last = nullptr;
    for (const core::Placement& p : records.placements)
        if (p.place == tag && p.to && (last == nullptr || *last->to < *p.to))
            last = &p;
    return last;
}

/// A spare on the shelf, ready, of the same interchange type as the sensor that was there.
QString spareThatFits(const core::Records& records, const Lookup& lookup, const std::vector<RegisterRow>& rows, const std::string& gone)
{
    const auto it = std::ranges::find(records.sensors, gone, &core::Sensor::serial);
    if (it == records.sensors.end())
        return {};
    const core::Model* wanted = lookup.model(it->model);
    if (wanted == nullptr)
        return {};
    for (const RegisterRow& row : rows) {
        if (row.store != plain(core::kShelf) || row.testBeforeUse || row.need == Need::Now || row.need == Need::Week)
            continue;
        const core::Model* model = lookup.model(row.model.toStdString());
        if (model == nullptr || model->kind != wanted->kind)
            continue;
        if (model->model == wanted->model || (model->interchange && model->interchange == wanted->interchange))
            return row.serial;
    }
    return {};
}

RegisterRow pointRow(RowKind kind, const core::Point& point, const QString& note)
{
    RegisterRow row;
    row.kind = kind;
    row.tag = plain(point.tag);
    row.key = (kind == RowKind::EmptyPoint ? u"empty/"_s : u"two/"_s) + row.tag;
    row.site = plain(point.site);
    row.area = plain(point.area.value_or(std::string()));
    row.placeWords = pointWords(&point);
    row.classWords = point.loop_class ? plain(core::wordsOf(*point.loop_class)) : QString();
    row.note = note;
    row.sentence = note;
    row.signalWords = kind == RowKind::EmptyPoint ? RegisterSay::tr("no sensor") : RegisterSay::tr("two sensors");
    row.need = needOf(row);
    row.spoken = row.tag + u": "_s + note;
    row.folded = foldedKey(QStringList{row.tag, row.placeWords, row.area, row.site, note}.join(u'\n'));
    return row;
}

void addPointRows(std::vector<RegisterRow>& rows, const RegisterSources& sources, const Lookup& lookup, std::int64_t today)
{
    std::map<std::string, std::vector<const db::LatestState*>> at;
    for (const db::LatestState& state : *sources.latest)
        if (!state.tag.empty() && !isStore(state.place))
            at[state.tag].push_back(&state);
    std::vector<RegisterRow> found;
    for (const core::Point& point : sources.reference->points) {
        const auto it = at.find(point.tag);
        if (it == at.end()) {
            const core::Placement* gone = lastGone(*sources.reference, point.tag);
            QString note = RegisterSay::tr("no sensor in place");
            if (gone != nullptr) {
                note += RegisterSay::tr(" since %1").arg(dateWords(*gone->to, today));
                if (gone->reason_removed)
                    note += u" ("_s + plain(core::wordsOf(*gone->reason_removed)) + u')';
            }
            note += u'.';
            if (gone != nullptr) {
                const QString spare = spareThatFits(*sources.reference, lookup, rows, gone->serial);
                note +=
                    spare.isEmpty() ? RegisterSay::tr(" No ready spare fits.") : RegisterSay::tr(" Ready spare that fits: %1").arg(spare);
            }
            found.push_back(pointRow(RowKind::EmptyPoint, point, note));
        } else if (it->second.size() > 1) {
            QStringList serials;
            std::optional<core::Instant> since;
            for (const db::LatestState* state : it->second) {
                serials.append(plain(state->serial));
                if (state->placedSince && (!since || *since < *state->placedSince))
                    since = state->placedSince;
            }
            const QString last = serials.takeLast();
            QString note = RegisterSay::tr("%1 and %2 both say they are at %3").arg(serials.join(u", "_s), last, plain(point.tag));
            if (since)
                note += RegisterSay::tr(" since %1").arg(dateWords(*since, today));
            found.push_back(pointRow(RowKind::TwoAtPoint, point, note + RegisterSay::tr(". Which one is there?")));
        }
    }
    for (RegisterRow& row : found) {
        row.rank = rankOf(row, {});
        rows.push_back(std::move(row));
    }
}

}  // namespace

bool RegisterRow::scrapped() const
{
    return store == plain(core::kScrap);
}

std::vector<RegisterRow> registerRows(const RegisterSources& sources)
{
    const Lookup lookup(*sources.reference);
    const std::int64_t today = localDay(sources.now);
    std::set<std::string> drafts, held;
    if (sources.drafts != nullptr)
        for (const db::Draft& draft : *sources.drafts)
            if (!draft.setAside)
                drafts.insert(draft.serial);
    for (const core::Hold& hold : sources.reference->holds)
        if (!hold.to)
            held.insert(hold.point);
    std::vector<RegisterRow> rows;
    rows.reserve(sources.latest->size() + 16);
    for (const db::LatestState& state : *sources.latest)
        rows.push_back(sensorRow(state, sources, lookup, drafts, held, today));
    addPointRows(rows, sources, lookup, today);
    std::ranges::sort(rows, firstSeenBefore);
    return rows;
}

bool firstSeenBefore(const RegisterRow& a, const RegisterRow& b)
{
    return std::tuple(a.rank, -a.loss, a.tag.isEmpty(), a.tag, a.serial) < std::tuple(b.rank, -b.loss, b.tag.isEmpty(), b.tag, b.serial);
}

QString rowSentence(const RegisterRow& row, std::int64_t today)
{
    QStringList parts;
    for (const QString& part : {row.tag.isEmpty() ? row.placeWords : row.tag, row.serial, row.kindWords})
        if (!part.isEmpty())
            parts.append(part);
    QString signal = signalSpoken(row.condition);
    const auto because = [&](const QString& name, const Figure& figure) {
        if (!figure.guilty)
            return;
        Figure said = figure;
        said.expanded.reset();
        said.lead.clear();
        signal += RegisterSay::tr(" because %1 %2").arg(name, spokenText(said));
    };
    because(row.sensorKind == core::SensorKind::Orp ? RegisterSay::tr("span") : RegisterSay::tr("efficiency"), row.efficiency);
    because(RegisterSay::tr("offset"), row.offset);
    because(RegisterSay::tr("response"), row.t90);
    parts.append(signal);
    if (!row.next.isEmpty() && row.next != signal)
        parts.append(row.next);
    if (row.overdue)
        parts.append(RegisterSay::tr("overdue by %1 days").arg(today - *row.due));
    else if (row.due && *row.due <= today)
        parts.append(RegisterSay::tr("due %1").arg(row.dueWords));
    else if (row.due)
        parts.append(RegisterSay::tr("due %1").arg(QLocale().toString(QDate(1970, 1, 1).addDays(*row.due), u"d MMMM"_s)));
    return parts.join(u", "_s);
}

}  // namespace halfcell::app
