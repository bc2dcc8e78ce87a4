#include "db/exchange/due_calendar.h"
#include "tests/db/exchange/tables.h"

#include <nlohmann/json.hpp>

namespace halfcell::db {
namespace {

using namespace testing;

/// Reads an iCalendar text by the rules of RFC 5545 themselves: lines of at most 75 octets ended by CRLF, folded by a blank; the
/// properties of each component, text unescaped.
struct Component {
    std::string name;
    std::map<std::string, std::string> properties;  ///< name with its parameters, and value
};

std::vector<Component> read(const std::string& text)
{
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find("\r\n", at);
        EXPECT_NE(end, std::string::npos) << "a line without CRLF";
        if (end == std::string::npos)
            break;
        const std::string line = text.substr(at, end - at);
        EXPECT_LE(line.size(), 75U) << line;
        EXPECT_EQ(line.find('\n'), std::string::npos);
        if (line.starts_with(' ') && !lines.empty())
            lines.back() += line.substr(1);
        else
            lines.push_back(line);
        at = end + 2;
    }
    std::vector<Component> components;
    std::vector<std::size_t> open;
    for (const std::string& line : lines) {
        const std::size_t colon = line.find(':');
        EXPECT_NE(colon, std::string::npos) << line;
        const std::string name = line.substr(0, colon);
        std::string value;
        for (std::size_t i = colon + 1; i < line.size(); ++i) {
            if (line[i] == '\\' && i + 1 < line.size()) {
                ++i;
                value += line[i] == 'n' || line[i] == 'N' ? '\n' : line[i];
            } else {
                value += line[i];
            }
        }
        if (name == "BEGIN") {
            open.push_back(components.size());
            components.push_back({value, {}});
        } else if (name == "END") {
            EXPECT_EQ(components[open.back()].name, value);
            open.pop_back();
        } else {
            EXPECT_TRUE(components[open.back()].properties.emplace(name, value).second) << name << " is there twice";
        }
    }
    EXPECT_TRUE(open.empty());
    return components;
}

std::vector<core::DueTask> someTasks()
{
    const std::int64_t day = core::dayNumber(at("2026-03-02"));
    core::DueTask first;
    first.serial = "K7-0412";
    first.tag = "AE-3107";
    first.site = "Cinder Lane, Plating; \"Shop\"";
    first.task = core::TaskKind::Calibrate;
    first.due = day - 3;
    first.latest = day - 1;
    first.why = "28 days after 2 Feb, by rule: an \xC3\xA9lectrode; with commas, semicolons and a long reason that must be folded over "
                "several lines";
    first.minutes = 25;
    first.materials = {"ph7.00 60 mL", "ph10.01 60 mL"};
    core::DueTask second;
    second.subject = "B7/2231 \xC3\xA4";
    second.task = core::TaskKind::Lot;
    second.due = second.latest = day + 10;
    second.why = "expires";
    return {first, second};
}

TEST(DueCalendar, IsWhatRfc5545Says)
{
    const auto now = at("2026-03-02T08:00:00+01:00");
    const auto parts = read(dueCalendar(someTasks(), now, CalendarKind::Tasks));
    ASSERT_EQ(parts.size(), 3U);
    EXPECT_EQ(parts[0].name, "VCALENDAR");
    EXPECT_EQ(parts[0].properties.at("VERSION"), "2.0");
    EXPECT_FALSE(parts[0].properties.at("PRODID").empty());
    const auto& first = parts[1].properties;
    EXPECT_EQ(parts[1].name, "VTODO");
    EXPECT_EQ(first.at("UID"), "calibrate-K7-0412@halfcell.invalid");
    EXPECT_EQ(first.at("DTSTAMP"), "20260302T070000Z");
    EXPECT_EQ(first.at("DTSTART;VALUE=DATE"), "20260227");
    EXPECT_EQ(first.at("DUE;VALUE=DATE"), "20260301");
    EXPECT_EQ(first.at("PRIORITY"), "1");
    EXPECT_EQ(first.at("LOCATION"), "Cinder Lane, Plating; \"Shop\", AE-3107");
    EXPECT_TRUE(first.at("DESCRIPTION").starts_with(someTasks()[0].why + "\n"));
    EXPECT_NE(first.at("DESCRIPTION").find("ph7.00 60 mL; ph10.01 60 mL"), std::string::npos);
    const auto& second = parts[2].properties;
    EXPECT_EQ(second.at("UID"), "lot-B7_2f2231_20_c3_a4@halfcell.invalid");
    EXPECT_FALSE(second.contains("DTSTART;VALUE=DATE"));  // DUE must lie behind it
    EXPECT_EQ(second.at("DUE;VALUE=DATE"), "20260312");
}

TEST(DueCalendar, UpdatesWhatWasThere)
{
    auto tasks = someTasks();
    const auto before = read(dueCalendar(tasks, at("2026-03-02T08:00:00Z"), CalendarKind::Tasks));
    tasks[0].latest += 7;
    const auto after = read(dueCalendar(tasks, at("2026-03-02T08:05:00Z"), CalendarKind::Tasks));
    EXPECT_EQ(before[1].properties.at("UID"), after[1].properties.at("UID"));
    EXPECT_LT(std::stoi(before[1].properties.at("SEQUENCE")), std::stoi(after[1].properties.at("SEQUENCE")));
    EXPECT_EQ(dueCalendar(tasks, at("2026-03-02"), CalendarKind::Events), dueCalendar(tasks, at("2026-03-02"), CalendarKind::Events));
    const auto events = read(dueCalendar(tasks, at("2026-03-02"), CalendarKind::Events));
    EXPECT_EQ(events[1].name, "VEVENT");
    EXPECT_EQ(events[1].properties.at("DTSTART;VALUE=DATE"), "20260227");
    EXPECT_EQ(events[1].properties.at("DTEND;VALUE=DATE"), "20260228");
    // Two tasks of one kind on one thing are two entries.
    const auto twice = read(dueCalendar(std::vector{tasks[0], tasks[0]}, at("2026-03-02"), CalendarKind::Tasks));
    EXPECT_NE(twice[1].properties.at("UID"), twice[2].properties.at("UID"));
    EXPECT_EQ(read(dueCalendar({}, at("2026-03-02"), CalendarKind::Tasks)).size(), 1U);
}

class RecordJson : public ExchangeTest {};

TEST_F(RecordJson, HoldsEverythingOfOneSensorAsItWasLogged)
{
    auto tables = goodTables();
    tables["corrections"] = "visit,table,row,field,old,new,recorded,person,why\nv1,readings,2,mv,-176,-167,2025-03-05,T2,digits swapped\n";
    tables["legacy"] = "serial,when,phase,efficiency_pct,offset_mv\nK7-0412,2024-01-01,as_left,95.5,-8\n";
    ASSERT_DONE(import(tables));
    const JsonHead head{"1.2.3", "rules-7"};
    const auto text = recordToJson(*book, "K7-0412", at("2026-01-01"), head);
    ASSERT_DONE(text);
    const auto record = nlohmann::json::parse(*text);
    EXPECT_EQ(record.at("program"), "halfcell");
    EXPECT_EQ(record.at("version"), "1.2.3");
    EXPECT_EQ(record.at("schema"), kJsonSchema);
    EXPECT_EQ(record.at("rules"), "rules-7");
    EXPECT_EQ(record.at("as_of"), core::formatInstant(at("2026-01-01")));
    EXPECT_EQ(record.at("sensor").at("serial"), "K7-0412");
    EXPECT_EQ(record.at("model").at("sensing"), "bulb");
    EXPECT_EQ(record.at("placements").size(), 1U);
    EXPECT_EQ(record.at("legacy").at(0).at("efficiency_pct"), 95.5);
    EXPECT_EQ(record.at("corrections").at(0).at("new"), "-167");
    ASSERT_EQ(record.at("visits").size(), 2U);
    // Each visit is one that can be logged: it reads back as what stands in the book.
    for (const auto& visit : record.at("visits")) {
        const auto again = visitFromJson(visit.dump());
        ASSERT_DONE(again);
        EXPECT_EQ(*again, *book->loadVisit(again->visit));
    }
    const auto then = nlohmann::json::parse(*recordToJson(*book, "K7-0412", at("2025-03-10"), head));
    EXPECT_EQ(then.at("visits").size(), 1U);
    EXPECT_EQ(recordToJson(*book, "K7-9999", at("2026-01-01"), head).error().code, core::Errc::NotFound);
}

}  // namespace
}  // namespace halfcell::db
