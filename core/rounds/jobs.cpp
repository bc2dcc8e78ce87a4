#include "core/rounds/plan.h"

#include "core/upkeep/dips.h"
#include "core/upkeep/last_done.h"
#include "core/upkeep/window.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

namespace halfcell::core {
namespace {

/// Skills that the hazards of a point ask for, by the same word.
constexpr std::array kHazardSkills{"acid", "caustic", "hypochlorite", "cyanide", "sulfide", "fluoride", "hot", "pressure", "confined"};
/// Confined space: two people, and never without the skill.
constexpr std::string_view kConfined = "confined";

bool anybodyHas(const Plant& plant, std::string_view skill)
{
    return std::ranges::any_of(plant.records().people, [&](const Person& p) { return std::ranges::find(p.skills, skill) != p.skills.end(); });
}

bool hazard(const Point& point, std::string_view word)
{
    return std::ranges::find(point.hazards, word) != point.hazards.end();
}

/// The kind's skill, and one for each hazard, as far as the shop keeps such skills at all.
std::vector<std::string> skillsFor(const Plant& plant, SensorKind kind, const Point* point)
{
    std::vector<std::string> skills;
    const std::string_view own = kind == SensorKind::Ph ? "ph" : "orp";
    if (anybodyHas(plant, own))
        skills.emplace_back(own);
    if (point)
        for (const std::string_view word : kHazardSkills)
            if (hazard(*point, word) && (word == kConfined || anybodyHas(plant, word)))
                skills.emplace_back(word);
    return skills;
}

std::string areaOf(const Point& point)
{
    return point.permit_area.value_or(point.area.value_or(point.site));
}

/// Paperwork and a second person's consent when a task passes its latest day; half of it when it only passes its due day
/// (our choice: 20 minutes of labour).
double lateness(const DueTask& task, std::int64_t nextChance, const RuleSet& rules)
{
    const double full = 20.0 * rules.numberOr("labour_rate", 1.0);
    if (task.latest < nextChance)
        return full;
    return task.due < nextChance ? 0.5 * full : 0.0;
}

struct Walk {
    std::string site, area;
    double order = 0.0;
    std::string tag, serial;
    auto operator<=>(const Walk&) const = default;
};

}  // namespace

PlanSettings planSettings(const Plant& plant, const RuleSet& rules)
{
    PlanSettings settings;
    settings.lambdaPerMinute = rules.numberOr("plan.lambda", settings.lambdaPerMinute);
    settings.wrenchTime = rules.numberOr("wrench_time", settings.wrenchTime);
    settings.defaultSetup = rules.numberOr("plan.area_setup", settings.defaultSetup);
    settings.defaultShift = rules.numberOr("plan.shift_minutes", settings.defaultShift);
    for (const Point& point : plant.records().points) {
        const std::string area = areaOf(point);
        if (const double own = rules.number("plan.area_setup." + area).value; own > 0.0)
            settings.areaSetup.emplace(area, own);
    }
    return settings;
}

std::vector<Job> jobsOfWeek(const Plant& plant, std::span<const DueTask> tasks, const IsoWeek& week, const RuleSet& rules)
{
    const std::int64_t monday = mondayOf(week), sunday = monday + 6, next = monday + 7;
    const double ritual = rules.numberOr("plan.ritual_minutes", 6.0), walking = rules.numberOr("plan.walk_minutes", 3.0);
    std::map<std::string, std::vector<const DueTask*>> bySensor;
    for (const DueTask& task : tasks)
        if (!task.serial.empty() && task.earliest <= sunday)
            bySensor[task.serial].push_back(&task);
    std::map<std::string, int> sensorsAt;
    for (const auto& [serial, list] : bySensor)
        if (!list.front()->tag.empty())
            ++sensorsAt[list.front()->tag];

    std::vector<std::pair<Walk, Job>> walk;
    for (const auto& [serial, list] : bySensor) {
        const SensorHistory* history = plant.history(serial);
        const Point* point = plant.point(list.front()->tag);
        const SensorKind kind = history && history->model ? history->model->kind : SensorKind::Ph;
        Job job;
        job.serial = serial;
        job.tag = list.front()->tag;
        job.site = list.front()->site;
        job.key = job.tag.empty() || sensorsAt[job.tag] > 1 ? serial : job.tag;
        if (point)
            job.area = areaOf(*point);
        job.earliest = monday;
        job.latest = sunday;
        job.nextChance = next;
        double loss = 0.0, late = 0.0;
        for (const DueTask* task : list) {
            job.tasks.push_back(task->task);
            job.why += (job.why.empty() ? "" : "; ") + fmt::format("{}: {}", wordsOf(task->task), task->why);
            job.minutes += task->minutes;
            job.elapsed_minutes = std::max(job.elapsed_minutes, task->elapsed_minutes);
            loss = std::max(loss, task->priority);
            late = std::max(late, lateness(*task, next, rules));
            job.floor = job.floor || task->cannotSlip;
            // What is late already may be done on any day.
            if (task->latest >= monday)
                job.latest = std::min(job.latest, task->latest);
            job.earliest = std::max(job.earliest, std::min(task->earliest, sunday));
            for (const std::string& material : task->materials)
                if (std::ranges::find(job.materials, material) == job.materials.end())
                    job.materials.push_back(material);
            const auto dips = dipsFor(plant, task->task, kind, point);
            if (dips.size() > job.standards.size())
                job.standards = dips;
        }
        job.earliest = std::min(job.earliest, job.latest);
        job.loss = loss + late;
        if (point) {
            job.minutes += ritual + point->walk_minutes.value_or(walking);
            job.skills = skillsFor(plant, kind, point);
            job.people = hazard(*point, kConfined) ? 2 : 1;
        } else {
            job.skills = skillsFor(plant, kind, nullptr);
        }
        job.elapsed_minutes = std::max(job.elapsed_minutes, job.minutes);
        walk.emplace_back(Walk{job.site, job.area, point ? point->walk_order.value_or(1e9) : 0.0, job.tag, serial}, std::move(job));
    }
    std::ranges::sort(walk, {}, &std::pair<Walk, Job>::first);
    std::vector<Job> jobs;
    for (auto& [place, job] : walk)
        jobs.push_back(std::move(job));
    return jobs;
}

std::vector<Capacity> capacitiesOfWeek(const Plant& plant, const IsoWeek& week, const PlanSettings& settings, int people)
{
    static constexpr std::array<std::string_view, 7> kDays{"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    const std::int64_t monday = mondayOf(week);
    // Where the shop keeps the skills ph and orp, people without either do other work than rounds.
    const bool kept = anybodyHas(plant, "ph") || anybodyHas(plant, "orp");
    std::vector<const Person*> staff;
    for (const Person& person : plant.records().people) {
        const auto has = [&](std::string_view skill) { return std::ranges::find(person.skills, skill) != person.skills.end(); };
        if (!kept || has("ph") || has("orp"))
            staff.push_back(&person);
    }
    std::ranges::sort(staff, {}, [](const Person* p) { return std::string_view(p->person); });
    if (people > 0 && staff.size() > static_cast<std::size_t>(people))
        staff.resize(static_cast<std::size_t>(people));
    std::vector<Capacity> capacities;
    for (std::size_t d = 0; d < kDays.size(); ++d) {
        const std::int64_t day = monday + static_cast<std::int64_t>(d);
        for (const Person* person : staff) {
            const bool listed = person->days.empty() ? d < 5 : std::ranges::find(person->days, kDays[d]) != person->days.end();
            if (!listed || (person->from && dayNumber(*person->from) > day) || (person->to && dayNumber(*person->to) < day))
                continue;
            const double shift = person->minutes_per_day.value_or(settings.defaultShift);
            if (shift > 0.0)
                capacities.push_back({person->person, day, shift * settings.wrenchTime, person->skills});
        }
    }
    return capacities;
}

}  // namespace halfcell::core
