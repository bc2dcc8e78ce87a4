#include "db/book/round_mates.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

namespace halfcell::db {
namespace {

using core::Instant;

/// The states before a round that core expects the reading from are the last three; visits without a reading lie between.
constexpr std::size_t kVisitsBack = 8;

std::optional<Instant> lastRead(const core::Records& records)
{
    std::optional<Instant> last;
    for (const core::Visit& v : records.visits)
        if (!v.readings.empty() && (!last || *last < v.when))
            last = v.when;
    return last;
}

/// Sensors read in the same round as the moment: the same name of a round, or the same day.
void findMates(Book::Impl& d, const core::Records& records, std::string_view serial, const Instant& about,
               std::map<std::string, Instant>& mates)
{
    std::set<std::string, std::less<>> rounds{core::formatIsoWeek(core::isoWeekOf(core::dayNumber(about)))};
    for (const core::Visit& v : records.visits)
        if (v.round && std::abs(core::daysBetween(v.when, about)) <= kRoundDays)
            rounds.insert(*v.round);
    for (const VisitRow& v : d.visits.headsBetween(core::addDays(about, -kRoundDays), core::addDays(about, kRoundDays))) {
        const bool same = core::dayNumber(v.when) == core::dayNumber(about) || (v.round && rounds.contains(*v.round));
        if (v.serial == serial || !same)
            continue;
        Instant& last = mates.try_emplace(v.serial, v.when).first->second;
        last = std::max(last, v.when);
    }
}

}  // namespace

std::vector<std::string> addRoundMates(Book::Impl& d, core::Records& records, std::string_view serial, const std::optional<Instant>& now)
{
    std::map<std::string, Instant> mates;  // until when each is of interest
    if (const auto last = lastRead(records))
        findMates(d, records, serial, *last, mates);
    if (now)
        findMates(d, records, serial, *now, mates);
    std::set<std::string, std::less<>> known;
    for (const core::Visit& v : records.visits)
        known.insert(v.visit);
    std::vector<std::string> added;
    for (const auto& [mate, until] : mates) {
        for (const std::string& key : d.visits.lastVisits(mate, until, kVisitsBack)) {
            if (!known.insert(key).second)
                continue;
            if (auto visit = d.visits.find(key))
                records.visits.push_back(std::move(*visit));
            std::ranges::move(d.visits.correctionsOf(key), std::back_inserter(records.corrections));
        }
        added.push_back(mate);
    }
    std::ranges::stable_sort(
        records.visits, [](const core::Visit& a, const core::Visit& b) { return std::tie(a.when, a.visit) < std::tie(b.when, b.visit); });
    canonicalOrder(records.corrections);
    return added;
}

}  // namespace halfcell::db
