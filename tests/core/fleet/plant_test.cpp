#include "core/fleet/columns.h"
#include "core/fleet/plant.h"

#include <gtest/gtest.h>

namespace halfcell::core {
namespace {

Instant at(const char* text)
{
    return *parseInstant(text);
}

Reading reading(const char* when, Phase phase, const char* standard, double mv)
{
    Reading r;
    r.when = at(when);
    r.recorded = r.when;
    r.phase = phase;
    r.standard = standard;
    r.mv = mv;
    return r;
}

Records smallShop()
{
    Records r;
    r.sites.push_back({.site = "Saltmarsh", .note = {}, .recorded = at("2025-01-01")});
    Point point;
    point.tag = "AE-3107";
    point.site = "Saltmarsh";
    point.recorded = at("2025-01-01");
    r.points.push_back(point);
    Model model;
    model.model = "K7";
    model.recorded = at("2025-01-01");
    r.models.push_back(model);
    for (const char* serial : {"K7-0412", "K7-0421"}) {
        Sensor sensor;
        sensor.serial = serial;
        sensor.model = "K7";
        sensor.recorded = at("2025-01-01");
        r.sensors.push_back(sensor);
    }
    Placement first;
    first.serial = "K7-0412";
    first.place = "AE-3107";
    first.from = at("2025-02-01");
    first.to = at("2025-06-01");
    first.reason_removed = RemovalReason::Slow;
    first.recorded = first.from;
    Placement second = first;
    second.serial = "K7-0421";
    second.from = at("2025-06-01");
    second.to.reset();
    second.reason_removed.reset();
    second.recorded = second.from;
    r.placements = {second, first};
    Visit visit;
    visit.visit = "v1";
    visit.when = at("2025-03-01T08:00:00Z");
    visit.recorded = visit.when;
    visit.serial = "K7-0412";
    visit.readings = {reading("2025-03-01T08:00:00Z", Phase::AsFound, "ph7.00", -13),
                      reading("2025-03-01T08:05:00Z", Phase::AsFound, "ph10.01", -176)};
    r.visits.push_back(visit);
    Correction correction;
    correction.visit = "v1";
    correction.table = "readings";
    correction.row = 2;
    correction.field = "mv";
    correction.old_value = "-176";
    correction.new_value = "-167";
    correction.recorded = at("2025-03-05");
    correction.person = "T2";
    correction.why = "digits swapped";
    r.corrections.push_back(correction);
    return r;
}

TEST(Plant, AppliesACorrectionOnlyFromItsOwnTimeOn)
{
    const Plant before = Plant::asKnown(smallShop(), at("2025-03-04"));
    ASSERT_EQ(before.history("K7-0412")->visits.size(), 1U);
    EXPECT_EQ(before.history("K7-0412")->visits[0]->readings[1].mv, -176.0);
    const Plant after = Plant::asKnown(smallShop(), at("2025-03-06"));
    EXPECT_EQ(after.history("K7-0412")->visits[0]->readings[1].mv, -167.0);
    ASSERT_EQ(after.applied().size(), 1U);
    EXPECT_EQ(after.applied()[0].why, "digits swapped");
}

TEST(Plant, KeepsACorrectionThatDoesNotFitApart)
{
    Records records = smallShop();
    records.corrections[0].old_value = "-175";
    const Plant plant = Plant::asKnown(records, at("2026-01-01"));
    EXPECT_EQ(plant.history("K7-0412")->visits[0]->readings[1].mv, -176.0);
    EXPECT_EQ(plant.unfitting().size(), 1U);
}

TEST(Plant, LeavesOutWhatWasMeasuredOrRecordedLater)
{
    Records records = smallShop();
    records.visits[0].recorded = at("2025-03-10");  // typed in ten days later
    EXPECT_TRUE(Plant::asKnown(records, at("2025-03-09")).history("K7-0412")->visits.empty());
    EXPECT_EQ(Plant::asKnown(records, at("2025-03-11")).history("K7-0412")->visits.size(), 1U);
    EXPECT_TRUE(Plant::asKnown(records, at("2025-02-15")).history("K7-0412")->visits.empty());
}

TEST(Plant, ShowsThePlacementOfTheDay)
{
    const Plant spring = Plant::asKnown(smallShop(), at("2025-05-01"));
    ASSERT_NE(spring.sensorAt("AE-3107"), nullptr);
    EXPECT_EQ(spring.sensorAt("AE-3107")->sensor->serial, "K7-0412");
    EXPECT_FALSE(spring.sensorAt("AE-3107")->placements[0]->to.has_value());  // its end was not known yet
    EXPECT_FALSE(spring.sensorAt("AE-3107")->placements[0]->reason_removed.has_value());
    const Plant summer = Plant::asKnown(smallShop(), at("2025-07-01"));
    EXPECT_EQ(summer.sensorAt("AE-3107")->sensor->serial, "K7-0421");
}

TEST(Plant, OrderOfRowsDoesNotMatter)
{
    Records shuffled = smallShop();
    std::swap(shuffled.sensors[0], shuffled.sensors[1]);
    std::swap(shuffled.placements[0], shuffled.placements[1]);
    const Plant a = Plant::asKnown(smallShop(), at("2026-01-01"));
    const Plant b = Plant::asKnown(shuffled, at("2026-01-01"));
    ASSERT_EQ(a.histories().size(), b.histories().size());
    for (std::size_t i = 0; i < a.histories().size(); ++i) {
        EXPECT_EQ(a.histories()[i].sensor->serial, b.histories()[i].sensor->serial);
        EXPECT_EQ(a.histories()[i].visits.size(), b.histories()[i].visits.size());
    }
}

TEST(Columns, EveryColumnReadsBackWhatItWrote)
{
    const Visit visit = smallShop().visits[0];
    Visit copy;
    for (const auto& column : columnsOf<Visit>()) {
        const std::string cell = column.get(visit);
        if (!cell.empty()) {
            EXPECT_TRUE(column.set(copy, cell).has_value()) << column.name;
        }
        EXPECT_EQ(column.get(copy), cell) << column.name;
    }
    Reading reading1 = visit.readings[0];
    reading1.temp_degc = NoAnswer::NotPossible;
    reading1.settled = true;
    Reading reading2;
    for (const auto& column : columnsOf<Reading>()) {
        const std::string cell = column.get(reading1);
        if (!cell.empty()) {
            EXPECT_TRUE(column.set(reading2, cell).has_value()) << column.name;
        }
        EXPECT_EQ(column.get(reading2), cell) << column.name;
    }
    EXPECT_EQ(reading1, reading2);
}

TEST(Columns, RefuseWhatCannotBe)
{
    Reading r;
    EXPECT_FALSE(findColumn<Reading>("temp_degc")->set(r, "250").has_value());
    EXPECT_FALSE(findColumn<Reading>("mv")->set(r, "-13 mV").has_value());
    EXPECT_FALSE(findColumn<Reading>("wait_s")->set(r, "-5").has_value());
    EXPECT_FALSE(findColumn<Reading>("phase")->set(r, "found").has_value());
    EXPECT_FALSE(findColumn<Reading>("settled")->set(r, "true").has_value());
    Check c;
    EXPECT_FALSE(findColumn<Check>("coating")->set(c, "5").has_value());
    EXPECT_TRUE(findColumn<Check>("coating")->set(c, "not_done").has_value());
    EXPECT_EQ(findColumn<Check>("coating")->get(c), "not_done");
    EXPECT_EQ(findColumn<Reading>("no_such"), nullptr);
}

TEST(Corrections, NameWhatIsWrongWithThem)
{
    Visit visit = smallShop().visits[0];
    Correction c = smallShop().corrections[0];
    c.table = "remarks";
    EXPECT_EQ(applyCorrection(visit, c).error().code, Errc::NotFound);
    c.table = "readings";
    c.row = 3;
    EXPECT_EQ(applyCorrection(visit, c).error().code, Errc::NotFound);
    c.row = 2;
    c.old_value = "5";
    EXPECT_EQ(applyCorrection(visit, c).error().code, Errc::Conflict);
    c.old_value = "-176.0";  // the same number written otherwise
    c.new_value = "abc";
    EXPECT_EQ(applyCorrection(visit, c).error().code, Errc::BadInput);
    c.new_value = "-167";
    EXPECT_TRUE(applyCorrection(visit, c).has_value());
    EXPECT_EQ(visit.readings[1].mv, -167.0);
}

TEST(Keys, EveryWordListHasUniqueKeysAndWords)
{
    const auto check = [](auto entries) {
        for (std::size_t i = 0; i < entries.size(); ++i) {
            EXPECT_FALSE(entries[i].words.empty());
            for (std::size_t j = i + 1; j < entries.size(); ++j)
                EXPECT_NE(entries[i].key, entries[j].key);
        }
    };
    check(keyEntries<FindingCode>());
    check(keyEntries<Verdict>());
    check(keyEntries<Signal>());
    check(keyEntries<ActionKey>());
    check(keyEntries<ReferenceDesign>());
    check(keyEntries<Sensing>());
    EXPECT_EQ(keyEntries<ActionKey>().size(), 20U);
    EXPECT_EQ(parseKey<Phase>("as found").error().code, Errc::BadInput);
}

}  // namespace
}  // namespace halfcell::core
