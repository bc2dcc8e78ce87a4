#include "core/rounds/board.h"

#include "core/upkeep/window.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace halfcell::core {
namespace {

std::string joined(std::span<const std::string> words)
{
    std::string text;
    for (const std::string& word : words)
        text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::string dayAndPerson(const Capacity& c)
{
    static constexpr std::array<const char*, 7> kDays{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    return fmt::format("{} {}", c.person, kDays[static_cast<std::size_t>(isoWeekday(c.day) - 1)]);
}

}  // namespace

double areaSetupMinutes(const PlanSettings& settings, std::string_view area)
{
    if (area.empty())
        return 0.0;
    const auto it = settings.areaSetup.find(std::string(area));
    return it == settings.areaSetup.end() ? settings.defaultSetup : it->second;
}

double dayLength(const Capacity& capacity, const PlanSettings& settings)
{
    return settings.wrenchTime > 0.0 ? capacity.minutes / settings.wrenchTime : capacity.minutes;
}

bool hasSkills(const Capacity& capacity, const Job& job)
{
    return std::ranges::all_of(job.skills, [&](const std::string& skill) { return std::ranges::find(capacity.skills, skill) != capacity.skills.end(); });
}

bool canAttend(const Capacity& capacity, const Job& job)
{
    constexpr std::string_view kConfined = "confined";
    return std::ranges::find(job.skills, kConfined) == job.skills.end() ||
           std::ranges::find(capacity.skills, kConfined) != capacity.skills.end();
}

bool inWindow(const Job& job, std::int64_t day)
{
    return day >= job.earliest && day <= job.latest;
}

Board::Board(std::span<const Capacity> capacities, const PlanSettings& settings)
    : m_capacities(capacities), m_settings(settings), m_used(capacities.size(), 0.0), m_areas(capacities.size())
{
}

double Board::left(std::size_t slot) const
{
    return m_capacities[slot].minutes - m_used[slot];
}

double Board::addedMinutes(const Job& job, std::size_t slot) const
{
    const bool open = std::ranges::find(m_areas[slot], job.area) != m_areas[slot].end();
    return job.minutes + (open ? 0.0 : areaSetupMinutes(m_settings, job.area));
}

bool Board::fits(const Job& job, std::size_t slot) const
{
    constexpr double kRounding = 1e-9;
    return addedMinutes(job, slot) <= left(slot) + kRounding && job.elapsed_minutes <= dayLength(m_capacities[slot], m_settings) + kRounding;
}

std::vector<Board::Place> Board::placesFor(const Job& job, bool within) const
{
    std::vector<Place> places;
    const auto usable = [&](std::size_t slot) {
        const Capacity& c = m_capacities[slot];
        return c.minutes > 0.0 && inWindow(job, c.day) && (!within || fits(job, slot));
    };
    for (std::size_t i = 0; i < m_capacities.size(); ++i) {
        if (!hasSkills(m_capacities[i], job) || !usable(i))
            continue;
        if (job.people < 2) {
            places.push_back({{i}, addedMinutes(job, i)});
            continue;
        }
        for (std::size_t j = 0; j < m_capacities.size(); ++j)
            if (j != i && m_capacities[j].day == m_capacities[i].day && m_capacities[j].person != m_capacities[i].person &&
                canAttend(m_capacities[j], job) && usable(j))
                places.push_back({{i, j}, addedMinutes(job, i) + addedMinutes(job, j)});
    }
    return places;
}

void Board::put(const Job& job, const Place& place)
{
    for (const std::size_t slot : place.slots) {
        m_used[slot] += addedMinutes(job, slot);
        if (std::ranges::find(m_areas[slot], job.area) == m_areas[slot].end())
            m_areas[slot].push_back(job.area);
    }
}

std::vector<DayLoad> Board::loads() const
{
    std::vector<DayLoad> loads;
    for (std::size_t i = 0; i < m_capacities.size(); ++i) {
        DayLoad load{m_capacities[i].day, m_capacities[i].person, m_used[i], m_capacities[i].minutes, {}};
        for (const std::string& area : m_areas[i])
            load.areas.emplace_back(area, areaSetupMinutes(m_settings, area));
        loads.push_back(std::move(load));
    }
    std::ranges::stable_sort(loads, [](const DayLoad& a, const DayLoad& b) {
        return std::tie(a.day, a.person) < std::tie(b.day, b.person);
    });
    return loads;
}

double Board::minutesUsed() const
{
    double used = 0.0;
    for (const double u : m_used)
        used += u;
    return used;
}

std::string Board::whyNot(const Job& job) const
{
    std::vector<std::size_t> skilled, working;
    for (std::size_t i = 0; i < m_capacities.size(); ++i) {
        if (!hasSkills(m_capacities[i], job))
            continue;
        skilled.push_back(i);
        if (inWindow(job, m_capacities[i].day) && m_capacities[i].minutes > 0.0)
            working.push_back(i);
    }
    if (m_capacities.empty())
        return "nobody is at work this week";
    if (skilled.empty())
        return fmt::format("nobody at work this week has the skills {}", joined(job.skills));
    if (working.empty())
        return fmt::format("nobody with the skills is at work from {} to {}", dayWords(job.earliest), dayWords(job.latest));
    const double setup = areaSetupMinutes(m_settings, job.area);
    double longest = 0.0, longestDay = 0.0;
    for (const std::size_t i : working) {
        longest = std::max(longest, m_capacities[i].minutes);
        longestDay = std::max(longestDay, dayLength(m_capacities[i], m_settings));
    }
    if (job.minutes + setup > longest)
        return fmt::format("needs {:.0f} min with the way, the longest day has {:.0f}: a day of its own with overtime", job.minutes + setup, longest);
    if (job.elapsed_minutes > longestDay)
        return fmt::format("soaks {:.0f} min, the longest day has {:.0f}: start it one day, end it the next", job.elapsed_minutes, longestDay);
    if (job.people >= 2 && placesFor(job, false).empty())
        return "two people who may do it together are never at work on the same day of its window";
    const auto places = placesFor(job, true);
    if (places.empty()) {
        std::size_t best = working.front();
        for (const std::size_t i : working)
            if (left(i) - addedMinutes(job, i) > left(best) - addedMinutes(job, best))
                best = i;
        if (job.people >= 2)
            return fmt::format("no day on which two people have {:.0f} min left", addedMinutes(job, best));
        return fmt::format("no room: needs {:.0f} min{}, at best {:.0f} are left ({})", addedMinutes(job, best),
                           addedMinutes(job, best) > job.minutes ? fmt::format(" with {:.0f} to open {}", setup, job.area) : std::string(),
                           std::max(0.0, left(best)), dayAndPerson(m_capacities[best]));
    }
    double cheapest = places.front().added;
    for (const Place& p : places)
        cheapest = std::min(cheapest, p.added);
    return fmt::format("does not pay this week: {:.0f} min at {:.2g} a minute against an expected loss of {:.2g}", cheapest,
                       m_settings.lambdaPerMinute, job.loss);
}

void settle(WeekPlan& plan, std::span<const Capacity> capacities, const PlanSettings& settings)
{
    std::map<std::string_view, std::size_t> at;
    for (std::size_t i = 0; i < plan.jobs.size(); ++i)
        at.emplace(plan.jobs[i].key, i);
    // Areas stand together, soaks start first, the rest in the order of the list (walking order).
    const auto jobOf = [&](const PlannedJob& p) -> const Job& { return plan.jobs[at.at(p.key)]; };
    std::map<std::pair<std::int64_t, std::string>, std::map<std::string, std::size_t>> areaRank;
    for (const PlannedJob& p : plan.planned) {
        auto& rank = areaRank[{p.day, p.people.front()}];
        const auto [it, added] = rank.emplace(jobOf(p).area, at.at(p.key));
        if (!added)
            it->second = std::min(it->second, at.at(p.key));
    }
    std::ranges::stable_sort(plan.planned, [&](const PlannedJob& a, const PlannedJob& b) {
        const auto key = [&](const PlannedJob& p) {
            const Job& job = jobOf(p);
            const double soak = std::max(0.0, job.elapsed_minutes - job.minutes);
            const bool soaks = soak >= 60.0;
            return std::tuple(p.day, std::string_view(p.people.front()), areaRank[{p.day, p.people.front()}][job.area], soaks ? -soak : 0.0,
                              at.at(p.key));
        };
        return key(a) < key(b);
    });
    Board board(capacities, settings);
    std::pair<std::int64_t, std::string> day{-1, {}};
    int order = 0;
    double value = 0.0;
    std::set<std::string_view> done;
    for (PlannedJob& p : plan.planned) {
        const std::pair now{p.day, p.people.front()};
        order = now == day ? order + 1 : 1;
        day = now;
        p.order = order;
        done.insert(p.key);
        Board::Place place;
        for (const std::string& person : p.people)
            for (std::size_t i = 0; i < capacities.size(); ++i)
                if (capacities[i].day == p.day && capacities[i].person == person)
                    place.slots.push_back(i);
        board.put(jobOf(p), place);
        value += jobOf(p).loss;
    }
    plan.loads = board.loads();
    plan.objective = value - settings.lambdaPerMinute * board.minutesUsed();
    plan.gap_pct = plan.bound > 0.0 ? std::max(0.0, 100.0 * (plan.bound - plan.objective) / plan.bound) : 0.0;
    plan.unplanned.clear();
    std::vector<const Job*> undone;
    for (const Job& job : plan.jobs)
        if (!done.contains(job.key))
            undone.push_back(&job);
    std::ranges::stable_sort(undone, [](const Job* a, const Job* b) {
        return std::tuple(!a->floor, -a->loss, std::string_view(a->key)) < std::tuple(!b->floor, -b->loss, std::string_view(b->key));
    });
    for (const Job* job : undone) {
        std::string why = board.whyNot(*job);
        if (job->nextChance > job->latest)
            why += fmt::format("; the next chance passes {} {}", job->floor ? "the floor of" : "its latest day,", dayWords(job->latest));
        plan.unplanned.push_back({job->key, std::move(why), job->nextChance});
    }
}

}  // namespace halfcell::core
