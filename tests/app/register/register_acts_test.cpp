#include "app/register/register_acts.h"
#include "tests/app/register/register_fixture.h"

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::RegisterFixture;
using test::registerNow;

class RegisterActs : public ::testing::Test {
protected:
    RegisterFixture fixture;

    MoveAsk move(const std::string& serial, const QString& place, std::optional<core::RemovalReason> reason, const QString& when = {})
    {
        return askMove(fixture.state(serial), fixture.reference, place, when, reason, registerNow());
    }
    NewSensorAsk add(const QString& serial, const QString& model, const QString& place = {})
    {
        return askNewSensor(serial, model, place, {}, fixture.reference, fixture.latest, registerNow());
    }
};

TEST_F(RegisterActs, LeavingAPointNeedsItsReason)
{
    const MoveAsk refused = move("K7-0431", u"shelf"_s, std::nullopt);
    EXPECT_FALSE(refused.move.has_value());
    EXPECT_EQ(refused.refusal, u"Why does K7-0431 leave AE-3111? The reason removed is needed: choose one from the list."_s);
    const MoveAsk done = move("K7-0431", u"shelf"_s, core::RemovalReason::Rotation);
    ASSERT_TRUE(done.move.has_value()) << done.refusal.toStdString();
    EXPECT_EQ(done.move->place, "shelf");
    EXPECT_EQ(done.move->reason, core::RemovalReason::Rotation);
    EXPECT_EQ(done.move->when, registerNow());
}

TEST_F(RegisterActs, FromTheShelfNoReasonIsAskedNorKept)
{
    const MoveAsk done = move("K7-0470", u"AE-3111"_s, core::RemovalReason::Broken);
    ASSERT_TRUE(done.move.has_value()) << done.refusal.toStdString();
    EXPECT_FALSE(done.move->reason.has_value());
}

TEST_F(RegisterActs, RefusesUnknownPlacesAndImpossibleTimes)
{
    EXPECT_TRUE(move("K7-0470", u"AE-9999"_s, std::nullopt).refusal.contains(u"AE-9999 is no point of this book"_s));
    EXPECT_TRUE(move("K7-0470", QString(), std::nullopt).refusal.contains(u"Where does K7-0470 go?"_s));
    EXPECT_TRUE(move("K7-0470", u"shelf"_s, std::nullopt).refusal.contains(u"is there already"_s));
    EXPECT_TRUE(move("K7-0470", u"bench"_s, std::nullopt, u"2026-03-05 08:00"_s).refusal.contains(u"has not come yet"_s));
    EXPECT_TRUE(move("K7-0470", u"bench"_s, std::nullopt, u"2025-09-01"_s).refusal.contains(u"came to shelf only on 28 Sep 2025"_s));
    EXPECT_TRUE(move("K7-0470", u"bench"_s, std::nullopt, u"soon"_s).refusal.startsWith(u"When?"_s));
}

TEST_F(RegisterActs, ANewSensorNeedsSerialAndModel)
{
    EXPECT_TRUE(add(QString(), u"general"_s).refusal.contains(u"serial number"_s));
    EXPECT_TRUE(add(u"K7-0500"_s, u"unheard of"_s).refusal.contains(u"no model of this book"_s));
    const NewSensorAsk done = add(u" K7-0500 "_s, u"general"_s);
    ASSERT_TRUE(done.rows.has_value()) << done.refusal.toStdString();
    ASSERT_EQ(done.rows->sensors.size(), 1U);
    EXPECT_EQ(done.rows->sensors[0].serial, "K7-0500");
    ASSERT_EQ(done.rows->placements.size(), 1U);
    EXPECT_EQ(done.rows->placements[0].place, "shelf");
}

TEST_F(RegisterActs, ASerialAlreadyInTheBookIsNamedWithWhereItIs)
{
    fixture.state("K7-0388").place = "scrap";
    fixture.state("K7-0388").placedSince = *core::parseInstant("2025-11-03T12:00:00Z");
    {
        auto& row = fixture.reference.placements.emplace_back();
        row.serial = "K7-0388";
        row.place = "AE-3203";
        row.from = *core::parseInstant("2025-01-01");
        row.to = *core::parseInstant("2025-11-03");
        row.reason_removed = core::RemovalReason::Broken;
    }
    EXPECT_EQ(add(u"k7-0388"_s, u"general"_s).refusal, u"K7-0388 is already in this book, scrapped 3 Nov 2025 (broken)."_s);
    EXPECT_EQ(add(u"K7-0412"_s, u"general"_s).refusal, u"K7-0412 is already in this book, at AE-3107 since 28 Sep 2025."_s);
}

}  // namespace
}  // namespace halfcell::app
