#include "db/exchange/due_calendar.h"

#include "core/fleet/keys.h"

#include <fmt/format.h>
#include <libical/ical.h>

#include <map>
#include <memory>

namespace halfcell::db {

namespace {

using core::DueTask;

struct Freed {
    void operator()(icalcomponent* component) const { icalcomponent_free(component); }
};

/// Minutes since 2020 fit the 31 bits of SEQUENCE for some thousands of years.
constexpr std::int64_t kSequenceFrom = 1'577'836'800;

icaltimetype dateOf(std::int64_t day)
{
    return icaltime_from_timet_with_zone(static_cast<time_t>(day * 86400), 1, nullptr);
}

/// Letters, digits, point and dash as they are, the rest by number: one text for each key.
std::string plain(std::string_view key)
{
    std::string out;
    for (const char c : key) {
        const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '-';
        if (kept)
            out += c;
        else
            out += fmt::format("_{:02x}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    }
    return out;
}

std::string subjectOf(const DueTask& task)
{
    if (task.serial.empty())
        return task.subject;
    return task.tag.empty() ? task.serial : fmt::format("{} ({})", task.tag, task.serial);
}

std::string descriptionOf(const DueTask& task)
{
    std::string text = task.why;
    text += fmt::format("\nDue {}, at the latest {}.", core::formatDate(core::startOfDay(task.due)),
                        core::formatDate(core::startOfDay(task.latest)));
    if (task.cannotSlip)
        text += "\nA floor of the law or a permit ends before the next chance.";
    if (task.minutes > 0.0)
        text += fmt::format("\nAbout {:.0f} minutes.", task.minutes);
    for (std::size_t i = 0; i < task.materials.size(); ++i)
        text += fmt::format("{}{}", i == 0 ? "\nTake along: " : "; ", task.materials[i]);
    return text;
}

std::string capital(std::string text)
{
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 32);
    return text;
}

}  // namespace

std::string dueCalendar(std::span<const DueTask> tasks, const core::Instant& asOf, CalendarKind kind)
{
    const std::unique_ptr<icalcomponent, Freed> calendar(icalcomponent_new_vcalendar());
    const auto add = [](icalcomponent* to, icalproperty* property) { icalcomponent_add_property(to, property); };
    add(calendar.get(), icalproperty_new_version("2.0"));
    add(calendar.get(), icalproperty_new_prodid("-//Halfcell//due work//EN"));
    add(calendar.get(), icalproperty_new_method(ICAL_METHOD_PUBLISH));
    const icaltimetype stamp = icaltime_from_timet_with_zone(static_cast<time_t>(asOf.utcSeconds), 0, icaltimezone_get_utc_timezone());
    const std::int64_t today = core::dayNumber(asOf);
    std::map<std::string, int> seen;
    for (const DueTask& task : tasks) {
        const bool event = kind == CalendarKind::Events;
        icalcomponent* entry = event ? icalcomponent_new_vevent() : icalcomponent_new_vtodo();
        std::string uid = fmt::format("{}-{}", core::keyOf(task.task), plain(task.serial.empty() ? task.subject : task.serial));
        if (const int times = ++seen[uid]; times > 1)
            uid += fmt::format("-{}", times);
        add(entry, icalproperty_new_uid((uid + "@halfcell.invalid").c_str()));
        add(entry, icalproperty_new_dtstamp(stamp));
        add(entry, icalproperty_new_sequence(static_cast<int>((asOf.utcSeconds - kSequenceFrom) / 60)));
        add(entry, icalproperty_new_summary(fmt::format("{} {}", capital(std::string(core::wordsOf(task.task))), subjectOf(task)).c_str()));
        add(entry, icalproperty_new_description(descriptionOf(task).c_str()));
        if (!task.site.empty())
            add(entry, icalproperty_new_location((task.tag.empty() ? task.site : task.site + ", " + task.tag).c_str()));
        add(entry, icalproperty_new_categories(std::string(core::keyOf(task.task)).c_str()));
        if (event) {
            add(entry, icalproperty_new_dtstart(dateOf(task.due)));
            add(entry, icalproperty_new_dtend(dateOf(task.due + 1)));  // not part of it: RFC 5545, 3.6.1
            add(entry, icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT));
        } else {
            // DUE must lie behind DTSTART (RFC 5545, 3.8.2.3).
            if (task.due < task.latest)
                add(entry, icalproperty_new_dtstart(dateOf(task.due)));
            add(entry, icalproperty_new_due(dateOf(task.latest)));
            add(entry, icalproperty_new_priority(task.cannotSlip || task.latest < today ? 1 : task.due <= today ? 5 : 9));
            add(entry, icalproperty_new_status(ICAL_STATUS_NEEDSACTION));
        }
        icalcomponent_add_component(calendar.get(), entry);
    }
    const std::unique_ptr<char, decltype(&std::free)> text(icalcomponent_as_ical_string_r(calendar.get()), &std::free);
    return text ? std::string(text.get()) : std::string();
}

}  // namespace halfcell::db
