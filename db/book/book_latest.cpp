#include "db/book/book_impl.h"
#include "db/book/round_mates.h"
#include "db/condition/condition.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <set>
#include <thread>

/// The latest states follow the journal: meta `latest_through` is the entry up to which they are current, so a visit
/// costs nothing extra when it is written, and whoever reads the fleet list finds out by itself which sensors later
/// entries speak of.
namespace halfcell::db {

using core::Instant;
using core::Records;
using core::Result;

namespace {

using Serials = std::set<std::string, std::less<>>;

constexpr const char* kThrough = "latest_through";
/// With more sensors than this to renew, one pass over the whole book is cheaper than one history each.
constexpr std::size_t kOneByOne = 24;

std::int64_t latestThrough(Book::Impl& d)
{
    const std::string text = d.metaValue(kThrough);
    std::int64_t value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

std::vector<std::string> texts(Connection& connection, const std::string& sql, std::int64_t after)
{
    Slot from(Slot::Kind::Integer), text(Slot::Kind::Text);
    from.set(static_cast<long long>(after));
    Statement query(connection, sql, {&from}, {&text});
    std::vector<std::string> list;
    for (bool row = query.first(); row; row = query.next())
        if (!text.isNull())
            list.push_back(text.text);
    return list;
}

Serials allSerials(Book::Impl& d)
{
    Serials all;
    for (const core::Sensor& sensor : d.plant.sensors.load())
        all.insert(sensor.serial);
    return all;
}

/// The sensors that journal entries after `through` speak of.
Serials staleSerials(Book::Impl& d, std::int64_t through)
{
    Connection& c = *d.connection;
    Serials stale;
    for (const std::string& serial : texts(c, "SELECT DISTINCT serial FROM journal WHERE seq > :after", through))
        stale.insert(serial);
    for (const std::string& serial : texts(
             c, "SELECT DISTINCT new_value FROM corrections WHERE entry > :after AND table_name = 'visits' AND field = 'serial'", through))
        stale.insert(serial);
    const std::string kindsForAll =
        "'site','point','model','lot','lot_event','standard','equipment','rule_adoption','variant','settlement'";
    bool all = !texts(c, fmt::format("SELECT what FROM journal WHERE seq > :after AND what IN ({}) LIMIT 1", kindsForAll), through).empty();
    const auto held = [&](const char* table) {
        for (const std::string& point : texts(c, fmt::format("SELECT DISTINCT point FROM {} WHERE entry > :after", table), through)) {
            Slot place(Slot::Kind::Text), serial(Slot::Kind::Text);
            place.set(point);
            Statement query(c, "SELECT DISTINCT serial FROM placements WHERE place = :place", {&place}, {&serial});
            bool any = false;
            for (bool row = query.first(); row; row = query.next()) {
                stale.insert(serial.text);
                any = true;
            }
            all = all || !any;  // a loop's own tag: nobody knows whose
        }
    };
    held("holds");
    held("hold_ends");
    return all ? allSerials(d) : stale;
}

struct Renewed {
    std::int64_t through = 0;
    std::vector<LatestState> states;
    std::map<std::string, std::vector<StoredFigures>> figures;
};

void addOverview(Renewed& renewed, const core::Overview& overview, const Serials& wanted)
{
    std::vector<LatestState> states = latestStatesOf(overview);
    for (std::size_t i = 0; i < states.size(); ++i) {
        if (!wanted.contains(states[i].serial))
            continue;
        renewed.figures.emplace(states[i].serial, storedFiguresOf(overview, i));
        renewed.states.push_back(std::move(states[i]));
    }
}

/// Works out the states of the named sensors from the records. Inside a read transaction. With `progress` all of
/// them, and it can be stopped (throws Errc::Cancelled).
Renewed renew(Book::Impl& d, const Serials& wanted, const core::RuleSet& rules, const Instant& asOf,
              const std::function<bool(double)>& progress = {})
{
    Renewed renewed;
    if (const auto last = d.journal.last())
        renewed.through = last->seq;
    Records small;
    d.plant.loadSmall(small, asOf);
    if (wanted.size() > kOneByOne || progress) {
        small.visits = d.visits.loadAll(asOf);
        small.legacy = d.plant.legacy.load();
        small.corrections = d.visits.allCorrections();
        const double sensors = static_cast<double>(std::max<std::size_t>(small.sensors.size(), 1));
        double done = 0.0;
        const auto goesOn = [&](std::string_view) {
            if (!progress(done++ / sensors))
                throwError(core::Errc::Cancelled, "stopped; the stored figures are as they were");
            return true;
        };
        const unsigned threads = progress ? 1U : std::max(1U, std::thread::hardware_concurrency());
        const Serials all = allSerials(d);  // all were judged, and one that was not asked for may have shared a bottle with one that was
        addOverview(renewed,
                    progress ? core::overviewOf(std::move(small), rules, asOf, false, threads, goesOn)
                             : core::overviewOf(std::move(small), rules, asOf, false, threads),
                    all);
        return renewed;
    }
    std::map<std::string, core::Verdict, std::less<>> before;
    for (const LatestState& state : d.latest.load())
        before.emplace(state.serial, state.verdict);
    const auto blamesTheRound = [&](const std::string& serial) {
        const auto it = before.find(serial);
        return it != before.end() && it->second == core::Verdict::CheckStandards;
    };
    std::vector<std::string> queue(wanted.begin(), wanted.end());
    Serials known = wanted;
    for (std::size_t at = 0; at < queue.size(); ++at) {
        const std::string serial = queue[at];
        Records records = aloneWith(small, serial);
        records.visits = d.visits.ofSensor(serial, asOf);
        for (const std::string& moved : d.visits.movedTo(serial))
            if (std::ranges::none_of(records.visits, [&](const core::Visit& v) { return v.visit == moved; }))
                if (auto visit = d.visits.find(moved))
                    records.visits.push_back(std::move(*visit));
        records.legacy = d.plant.legacy.loadWhere("serial", serial);
        records.corrections = d.visits.correctionsOfSensor(serial);
        const std::vector<std::string> mates = addRoundMates(d, records, serial, {});
        for (const core::Sensor& sensor : small.sensors)
            if (std::ranges::binary_search(mates, sensor.serial))
                records.sensors.push_back(sensor);
        const core::Overview overview =
            core::overviewOf(std::move(records), rules, asOf, false, 1, [&](std::string_view one) { return one == serial; });
        addOverview(renewed, overview, {serial});
        // What a visit says of the bottle changes the judgement of all who stood in it.
        if (!wanted.contains(serial))
            continue;
        const core::Assessment* own = overview.assessment(serial);
        const bool shared = own && own->diagnosis && !own->diagnosis->round.empty();
        for (const std::string& mate : mates)
            if ((shared || blamesTheRound(mate)) && known.insert(mate).second)
                queue.push_back(mate);
    }
    return renewed;
}

void storeFigures(Book::Impl& d, const std::string& serial, const std::vector<StoredFigures>& figures)
{
    const auto key = [](const StoredFigures& f) { return std::pair(std::string_view(f.visit), f.phase); };
    std::map<std::pair<std::string_view, core::Phase>, const StoredFigures*> stored;
    const std::vector<StoredFigures> before = d.figures.ofSensor(serial);
    for (const StoredFigures& f : before)
        stored.emplace(key(f), &f);
    Serials visits;
    for (const StoredFigures& f : figures) {
        visits.insert(f.visit);
        const auto at = stored.find(key(f));
        if (at == stored.end() || *at->second != f)
            d.figures.put(f);
        if (at != stored.end())
            stored.erase(at);
    }
    for (const auto& [gone, f] : stored)
        if (visits.contains(f->visit))
            d.figures.drop(f->visit, f->phase);
}

void store(Book::Impl& d, const Renewed& renewed)
{
    // Somebody who saw more of the journal was faster.
    if (latestThrough(d) > renewed.through)
        return;
    for (const LatestState& state : renewed.states) {
        storeFigures(d, state.serial, renewed.figures.at(state.serial));
        d.latest.put(state);
    }
    d.setMeta(kThrough, std::to_string(renewed.through));
}

}  // namespace

Result<std::size_t> Book::refreshLatest(std::span<const std::string> serials, const Instant& asOf)
{
    Impl& d = *m_impl;
    const auto rules = rulesAt(asOf);
    if (!rules)
        return std::unexpected(rules.error());
    const auto renewed = d.reading([&] {
        Serials wanted = serials.empty() ? allSerials(d) : staleSerials(d, latestThrough(d));
        for (const std::string& serial : serials)
            if (d.admission.knowsSensor(serial))
                wanted.insert(serial);
        return renew(d, wanted, *rules, asOf);
    });
    if (!renewed)
        return std::unexpected(renewed.error());
    const auto stored = d.writing([&] { store(d, *renewed); });
    if (!stored)
        return std::unexpected(stored.error());
    return renewed->states.size();
}

Result<std::vector<LatestState>> Book::latestStates() const
{
    Impl& d = *m_impl;
    struct View {
        std::vector<LatestState> states;
        Serials stale;
        Instant asOf;
    };
    auto view = d.reading([&] {
        View v;
        v.states = d.latest.load();
        const auto last = d.journal.last();
        const std::int64_t through = latestThrough(d);
        if (!last || last->seq <= through)
            return v;
        v.stale = staleSerials(d, through);
        v.asOf = last->time;
        for (const LatestState& state : v.states)
            v.asOf = std::max(v.asOf, Instant{state.computedAt, 0});
        return v;
    });
    if (!view)
        return std::unexpected(view.error());
    if (view->stale.empty())
        return std::move(view->states);
    const auto rules = rulesAt(view->asOf);
    if (!rules)
        return std::unexpected(rules.error());
    auto renewed = d.reading([&] { return renew(d, view->stale, *rules, view->asOf); });
    if (!renewed)
        return std::unexpected(renewed.error());
    // Kept if the book can be written now; the states are right in any case.
    if (!d.connection->readOnly())
        (void)d.writing([&] { store(d, *renewed); });
    std::map<std::string, LatestState> merged;
    for (auto* list : {&view->states, &renewed->states})
        for (LatestState& state : *list)
            merged.insert_or_assign(state.serial, std::move(state));
    std::vector<LatestState> states;
    for (auto& [serial, state] : merged)
        states.push_back(std::move(state));
    return states;
}

Result<RebuildReport> Book::rebuild(const Instant& asOf, const std::function<bool(double)>& progress)
{
    Impl& d = *m_impl;
    const auto rules = rulesAt(asOf);
    if (!rules)
        return std::unexpected(rules.error());
    struct Work {
        Renewed renewed;
        RebuildReport report;
    };
    const auto work = d.reading([&] {
        Work w;
        const Serials stale = staleSerials(d, latestThrough(d));
        w.renewed = renew(d, allSerials(d), *rules, asOf, progress);
        std::map<std::string, LatestState> stored;
        for (LatestState& state : d.latest.load())
            stored.emplace(state.serial, std::move(state));
        for (const LatestState& state : w.renewed.states) {
            ++w.report.rebuilt;
            const auto before = stored.find(state.serial);
            if (stale.contains(state.serial) || before == stored.end())
                continue;
            const std::vector<StoredFigures> had = d.figures.ofSensor(state.serial);
            const bool sameMakers = before->second.engine == state.engine && before->second.rules == state.rules;
            const bool sameMoment = before->second.computedAt == state.computedAt;
            if (sameMakers && (had != w.renewed.figures.at(state.serial) || (sameMoment && before->second != state)))
                w.report.different.push_back(state.serial);
        }
        return w;
    });
    if (!work)
        return std::unexpected(work.error());
    const auto stored = d.writing([&] { store(d, work->renewed); });
    if (!stored)
        return std::unexpected(stored.error());
    return work->report;
}

}  // namespace halfcell::db
