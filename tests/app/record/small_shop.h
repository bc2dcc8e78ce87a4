#pragma once

#include "app/presenters/shop.h"
#include "tests/support/shop/demo_shop.h"

#include <QTemporaryDir>

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <utility>
#include <vector>

/// A book of four sensors with a known history, for the Register and the Record: K7-0412 has lived at one point with three
/// visits (its last as found is the published example 92.1 %, -11.9 mV), K7-0431 has one, K7-0470 is new on the shelf,
/// K7-0388 is scrapped. AE-3110 is empty.
namespace halfcell::test {

inline core::Instant at(const char* text)
{
    return *core::parseInstant(text);
}

inline core::Reading dip(core::Phase phase, const char* standard, double mv, double temp, double wait, double t90, const char* when,
                         const char* lot)
{
    core::Reading reading;
    reading.when = reading.recorded = at(when);
    reading.phase = phase;
    reading.standard = standard;
    reading.lot = lot;
    reading.mv = mv;
    reading.temp_degc = temp;
    reading.temp_source = core::TemperatureSource::Measured;
    reading.wait_s = wait;
    reading.t90_s = t90;
    return reading;
}

inline core::Visit visitTo(const char* key, const char* serial, const char* tag, const char* when)
{
    core::Visit visit;
    visit.visit = key;
    visit.serial = serial;
    visit.tag = tag;
    visit.when = visit.recorded = at(when);
    visit.person = "T1";
    visit.reason = core::VisitReason::Routine;
    return visit;
}

inline void addPhase(core::Visit& visit, core::Phase phase, double mv7, double mv10, double temp, double t90, const char* when)
{
    visit.readings.push_back(dip(phase, "ph7.00", mv7, temp, 180, t90, when, "B7-2231"));
    visit.readings.push_back(dip(phase, "ph10.01", mv10, temp, 180, t90, when, "B10-0874"));
}

inline void addStep(core::Visit& visit, core::ActionKey action, const char* when)
{
    core::Action step;
    step.when = step.recorded = at(when);
    step.step = static_cast<int>(visit.actions.size()) + 1;
    step.action = action;
    step.minutes = 5.0;
    visit.actions.push_back(step);
}

inline core::Records smallRecords()
{
    using core::Phase;
    const core::Instant start = at("2025-09-01T08:00:00Z");
    core::Records r;
    {
        auto& row = r.sites.emplace_back();
        row.site = "Cinder Lane Plating Shop";
        row.recorded = start;
    }
    const auto point = [&](const char* tag, const char* description) {
        {
            auto& row = r.points.emplace_back();
            row.tag = tag;
            row.site = "Cinder Lane Plating Shop";
            row.area = "Neutralisation";
            row.description = description;
            row.application = "plating";
            row.loop_class = core::LoopClass::Control;
            row.ph_low = 8.5;
            row.ph_high = 10.0;
            row.hazards = {"cyanide"};
            row.recorded = start;
        }
    };
    point("AE-3107", "Neutralisation tank 2");
    point("AE-3110", "Neutralisation tank 4");
    point("AE-3111", "Neutralisation tank 5");
    {
        auto& row = r.models.emplace_back();
        row.model = "general pH";
        row.kind = core::SensorKind::Ph;
        row.reference = core::ReferenceDesign::DoubleGel;
        row.sensing = core::Sensing::Bulb;
        row.interchange = "12 mm";
        row.recorded = start;
    }
    for (const char* serial : {"K7-0388", "K7-0412", "K7-0431", "K7-0470"}) {
        auto& row = r.sensors.emplace_back();
        row.serial = serial;
        row.model = "general pH";
        row.recorded = start;
    }
    const auto stay = [&](const char* serial, const char* place, const char* from, const char* to, std::optional<core::RemovalReason> why) {
        {
            auto& row = r.placements.emplace_back();
            row.serial = serial;
            row.place = place;
            row.from = at(from);
            row.to = to != nullptr ? std::optional(at(to)) : std::nullopt;
            row.reason_removed = why;
            row.recorded = at(from);
        }
    };
    stay("K7-0388", "AE-3110", "2025-09-02T08:00:00Z", "2026-02-26T09:00:00Z", core::RemovalReason::Broken);
    stay("K7-0388", "scrap", "2026-02-26T09:00:00Z", nullptr, std::nullopt);
    stay("K7-0412", "shelf", "2025-09-02T08:00:00Z", "2025-09-28T08:00:00Z", std::nullopt);
    stay("K7-0412", "AE-3107", "2025-09-28T08:00:00Z", nullptr, std::nullopt);
    stay("K7-0431", "AE-3111", "2025-10-05T08:00:00Z", nullptr, std::nullopt);
    stay("K7-0470", "shelf", "2026-02-01T08:00:00Z", nullptr, std::nullopt);
    {
        auto& row = r.lots.emplace_back();
        row.lot = "B7-2231";
        row.standard = "ph7.00";
        row.opened = at("2025-09-20T08:00:00Z");
        row.recorded = start;
    }
    {
        auto& row = r.lots.emplace_back();
        row.lot = "B10-0874";
        row.standard = "ph10.01";
        row.opened = at("2025-09-20T08:00:00Z");
        row.recorded = start;
    }
    {
        auto& row = r.people.emplace_back();
        row.person = "T1";
        row.days = {"mon", "tue", "wed", "thu", "fri"};
        row.minutes_per_day = 450.0;
        row.recorded = start;
    }

    core::Visit first = visitTo("v-2025-10", "K7-0412", "AE-3107", "2025-10-06T08:00:00Z");
    addPhase(first, Phase::AsFound, -4, -177, 20, 20, "2025-10-06T08:05:00Z");
    addPhase(first, Phase::AsLeft, -4, -178, 20, 18, "2025-10-06T08:20:00Z");
    r.visits.push_back(first);
    core::Visit second = visitTo("v-2025-12", "K7-0412", "AE-3107", "2025-12-08T08:00:00Z");
    addPhase(second, Phase::AsFound, -9, -176, 19, 40, "2025-12-08T08:05:00Z");
    addStep(second, core::ActionKey::CleanDetergent, "2025-12-08T08:10:00Z");
    addPhase(second, Phase::AfterClean, -8, -179, 19, 22, "2025-12-08T08:20:00Z");
    addPhase(second, Phase::AsLeft, -8, -179, 19, 22, "2025-12-08T08:30:00Z");
    second.remark = "hard white scale";
    r.visits.push_back(second);
    core::Visit third = visitTo("v-2026-02", "K7-0412", "AE-3107", "2026-02-23T08:00:00Z");
    addPhase(third, Phase::AsFound, -13, -176, 19, 95, "2026-02-23T08:05:00Z");
    addStep(third, core::ActionKey::CleanDetergent, "2026-02-23T08:12:00Z");
    addStep(third, core::ActionKey::CleanAcid, "2026-02-23T08:18:00Z");
    addPhase(third, Phase::AfterClean, -10, -181, 19, 24, "2026-02-23T08:30:00Z");
    addPhase(third, Phase::AsLeft, -10, -182, 19, 24, "2026-02-23T08:40:00Z");
    r.visits.push_back(third);
    core::Visit other = visitTo("v-0431", "K7-0431", "AE-3111", "2026-01-12T08:00:00Z");
    addPhase(other, Phase::AsFound, -18, -156, 19, 58, "2026-01-12T08:05:00Z");
    r.visits.push_back(other);
    {
        auto& row = r.legacy.emplace_back();
        row.serial = "K7-0412";
        row.when = at("2025-09-10T08:00:00Z");
        row.phase = Phase::AsLeft;
        row.efficiency_pct = 98.0;
        row.offset_mv = -2.0;
        row.t90_s = 15.0;
        row.recorded = at("2025-09-10T08:00:00Z");
    }
    return r;
}

/// A shop with that book open and its overview worked out. Person T1; the clock stands at 2 March 2026, 08:47 UTC.
class SmallShop {
public:
    explicit SmallShop(core::Records records = smallRecords())
    {
        const std::filesystem::path file = std::filesystem::path(m_folder.path().toStdString()) / "small.halfcell";
        {
            const db::BookStamp stamp{.person = "P1", .now = testNow()};
            auto book = db::Book::create(file, stamp);
            EXPECT_TRUE(book.has_value()) << book.error().detail;
            if (book) {
                const auto added = book->add(records, stamp);
                EXPECT_TRUE(added.has_value()) << added.error().detail;
                const auto refreshed = book->refreshLatest({}, testNow());
                EXPECT_TRUE(refreshed.has_value()) << refreshed.error().detail;
            }
        }
        m_shop = std::make_unique<app::Shop>([] { return testNow(); });
        m_shop->setPerson(QStringLiteral("T1"));
        m_shop->open(file);
        EXPECT_TRUE(waitFor([this] { return m_shop->isOpen() && m_shop->overview() != nullptr; }));
    }
    [[nodiscard]] app::Shop& shop() { return *m_shop; }

private:
    QTemporaryDir m_folder;
    std::unique_ptr<app::Shop> m_shop;
};

}  // namespace halfcell::test
