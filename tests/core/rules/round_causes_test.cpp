#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// Rounds in which nothing is wrong with any sensor: a wrong bottle, a dead one, a temperature that nobody measured. The
/// bottle or the thermometer is named first, and no sensor is sent to service.
namespace halfcell::core::test {

namespace {

constexpr int kProbes = 5;

/// Five sensors that were well, attended in one round on day 100.
struct Round {
    Records records;
    std::vector<std::string> standards;

    explicit Round(std::vector<std::string> used) : standards(std::move(used))
    {
        Shop shop;
        records.sites = shop.records.sites;
        records.models.push_back(shop.model);
        for (int i = 0; i < kProbes; ++i) {
            const auto serial = "K7-100" + std::to_string(i), tag = "AE-120" + std::to_string(i);
            auto point = shop.point;
            point.tag = tag;
            records.points.push_back(point);
            auto sensor = shop.sensor;
            sensor.serial = serial;
            records.sensors.push_back(sensor);
            auto placement = shop.placement;
            placement.serial = serial;
            placement.place = tag;
            records.placements.push_back(placement);
            for (int month = 0; month < 3; ++month) {
                auto& v = visit(i, 30.0 * month, "");
                Shop::state(v, Phase::AsLeft, {.efficiency = 97.0 + 0.3 * i, .offset = 1.0 * i + 0.2 * month, .standards = standards});
            }
        }
    }
    Visit& visit(int i, double day, const char* round)
    {
        Visit v;
        v.visit = "V" + std::to_string(i) + "-" + std::to_string(static_cast<int>(day));
        v.when = v.recorded = addDays(at(day), 0.01 * i);
        v.serial = "K7-100" + std::to_string(i);
        v.tag = "AE-120" + std::to_string(i);
        if (*round)
            v.round = round;
        records.visits.push_back(std::move(v));
        return records.visits.back();
    }
    [[nodiscard]] std::vector<Assessment> assess() const
    {
        const auto plant = Plant::asKnown(records, at(200));
        std::vector<Assessment> all;
        for (const auto& history : plant.histories()) {
            const auto figures = figuresOfHistory(plant, history, StandardsBook::shipped(), RuleSet::shipped());
            all.push_back(core::assess(plant, history, figures, StandardsBook::shipped(), RuleSet::shipped()));
        }
        return all;
    }
};

/// pH of a bottle that is really another one, or has lost some.
double mvIn(const char* bottle, double lostPh, double efficiency, double offset, double temp)
{
    const auto ph = StandardsBook::shipped().ph(bottle, {}, Celsius(temp))->value - lostPh;
    return offset - efficiency / 100.0 * nernstSlopeUnchecked(temp + 273.15) * (ph - 7.0);
}

bool isService(Verdict v)
{
    return v != Verdict::Leave && v != Verdict::Recheck && v != Verdict::CheckStandards && v != Verdict::NotEnoughData;
}

}  // namespace

TEST(RoundCauses, ABottleOf686TakenFor700IsNamedBeforeAnySensor)
{
    Round round({"ph7.00", "ph4.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        Shop::read(v, Phase::AsFound, "ph7.00", mvIn("ph6.86", 0, 97.0 + 0.3 * i, 1.0 * i, 21), 21);
        Shop::read(v, Phase::AsFound, "ph4.01", mvIn("ph4.01", 0, 97.0 + 0.3 * i, 1.0 * i, 21), 21);
    }
    for (const auto& a : round.assess()) {
        EXPECT_EQ(a.findings.front().code, FindingCode::WrongStandard) << a.sentence;
        EXPECT_EQ(a.verdict, Verdict::CheckStandards) << a.sentence;
        ASSERT_TRUE(a.diagnosis);
        EXPECT_NE(a.diagnosis->round.find("6.86"), std::string::npos) << a.diagnosis->round;
        EXPECT_NE(a.sentence.find("Question bottle, thermometer and meter first"), std::string::npos) << a.sentence;
        EXPECT_EQ(a.diagnosis->causes.front().key, "wrong_standard");
    }
}

// With three standards a mistaken middle one hardly moves the line: the legs part instead, by 9.4 % (0.14 pH more on one side,
// less on the other: 3.15/3.01 - 2.86/3.00).
TEST(RoundCauses, AMistakenMiddleBottleShowsInTheLegs)
{
    Round round({"ph7.00", "ph4.01", "ph10.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        for (const char* standard : {"ph7.00", "ph4.01", "ph10.01"})
            Shop::read(v, Phase::AsFound, standard,
                       mvIn(std::string_view(standard) == "ph7.00" ? "ph6.86" : standard, 0.0, 97.0 + 0.3 * i, 1.0 * i, 21), 21);
    }
    for (const auto& a : round.assess()) {
        EXPECT_EQ(a.findings.front().code, FindingCode::WrongStandard) << a.sentence;
        EXPECT_EQ(a.verdict, Verdict::CheckStandards) << a.sentence;
        ASSERT_TRUE(a.diagnosis);
        EXPECT_EQ(a.diagnosis->causes.front().key, "wrong_standard");
        EXPECT_GT(a.diagnosis->causes.front().probability, 0.8);
        EXPECT_NE(a.diagnosis->round.find("alkaline leg of 5"), std::string::npos) << a.diagnosis->round;
        EXPECT_NE(a.diagnosis->round.find("6.86"), std::string::npos) << a.diagnosis->round;
    }
}

// A thermometer that reads otherwise than those of the round's other sensors, in the same standards.
TEST(RoundCauses, AThermometerThatStandsAloneIsSeen)
{
    Round round({"ph7.00", "ph4.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        for (const char* standard : {"ph7.00", "ph4.01"}) {
            Shop::read(v, Phase::AsFound, standard, mvIn(standard, 0.0, 97.0 + 0.3 * i, 1.0 * i, 21), i == 2 ? 43 : 21.2);
            v.readings.back().temp_source = i == 2 ? TemperatureSource::Sensor : TemperatureSource::Measured;
        }
    }
    const auto all = round.assess();
    for (int i = 0; i < kProbes; ++i) {
        const auto& d = all[static_cast<std::size_t>(i)].diagnosis;
        ASSERT_TRUE(d);
        const bool seen = std::any_of(d->seen.begin(), d->seen.end(), [](const SeenReading& s) {
            return s.key == "thermo" && s.band == 1 && s.words.find("+22 K") != std::string::npos;
        });
        EXPECT_EQ(seen, i == 2);
    }
}

TEST(RoundCauses, ADeadAlkalineBottleIsNamedBeforeAnySensor)
{
    Round round({"ph7.00", "ph4.01", "ph10.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        for (const char* standard : {"ph7.00", "ph4.01", "ph10.01"})
            Shop::read(v, Phase::AsFound, standard,
                       mvIn(standard, std::string_view(standard) == "ph10.01" ? 0.27 : 0.0, 97.0 + 0.3 * i, 1.0 * i, 21), 21);
    }
    for (const auto& a : round.assess()) {
        EXPECT_EQ(a.findings.front().code, FindingCode::StaleStandard) << a.sentence;
        EXPECT_FALSE(isService(a.verdict)) << a.sentence;
        ASSERT_TRUE(a.diagnosis);
        EXPECT_EQ(a.diagnosis->causes.front().key, "stale_standard");
    }
}

TEST(RoundCauses, ATemperatureNobodyMeasuredIsNamedBeforeAnySensor)
{
    Round round({"ph7.00", "ph4.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        for (const char* standard : {"ph7.00", "ph4.01"})
            Shop::read(v, Phase::AsFound, standard, mvIn(standard, 0, 97.0 + 0.3 * i, 1.0 * i, 4), 25);
    }
    for (const auto& a : round.assess()) {
        EXPECT_TRUE(has(a, FindingCode::TemperatureIgnored)) << a.sentence;
        EXPECT_FALSE(isService(a.verdict)) << a.sentence;
        ASSERT_TRUE(a.diagnosis);
        EXPECT_EQ(a.diagnosis->causes.front().key, "temperature_ignored");
        EXPECT_NE(a.diagnosis->round.find("25 taken"), std::string::npos) << a.diagnosis->round;
    }
}

TEST(RoundCauses, OneSickSensorAmongWellOnesIsBlamedItself)
{
    Round round({"ph7.00", "ph4.01"});
    for (int i = 0; i < kProbes; ++i) {
        auto& v = round.visit(i, 100, "W15");
        const double efficiency = i == 2 ? 74.0 : 97.0 + 0.3 * i;
        for (const char* standard : {"ph7.00", "ph4.01"})
            Shop::read(v, Phase::AsFound, standard, mvIn(standard, 0, efficiency, 1.0 * i, 21), 21);
    }
    const auto all = round.assess();
    for (std::size_t i = 0; i < all.size(); ++i) {
        EXPECT_TRUE(all[i].diagnosis->round.empty()) << all[i].diagnosis->round;
        EXPECT_EQ(isService(all[i].verdict), i == 2) << all[i].sentence;
    }
}

}  // namespace halfcell::core::test
