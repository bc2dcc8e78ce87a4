// The outlook of a small invented shop: rounds, offsets, learning, recalibration, walking through the past. Properties that hold
// without worked numbers.

#include "core/outlook/outlook.h"
#include "core/outlook/score.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace halfcell::core::outlook {
namespace {

/// Own generator, same every run.
class Chance {
public:
    explicit Chance(std::uint64_t seed) : m_state(seed * 2654435761U + 88172645463325252ULL) {}
    double uniform()
    {
        m_state ^= m_state << 13U;
        m_state ^= m_state >> 7U;
        m_state ^= m_state << 17U;
        return static_cast<double>(m_state >> 11U) / 9007199254740992.0;
    }
    double normal()
    {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i)
            sum += uniform();
        return sum;
    }

private:
    std::uint64_t m_state;
};

/// Sensors that lose 10 % in about `life` weeks along u^2, read every four weeks for three years, replaced at 85 %.
Shop makeShop(std::uint64_t seed, std::size_t points, double life, double noise = 0.8)
{
    Chance chance(seed);
    Shop shop;
    shop.groups.push_back({"K7", "wastewater", "Saltmarsh", 18.0});
    const Instant start{1700000000, 0};
    const auto day = [&](double weeks) { return addDays(start, 7.0 * weeks); };
    for (int w = 0; w < 40; ++w)
        shop.rounds.push_back({"Saltmarsh", dayNumber(day(4.0 * w)), "B" + std::to_string(w / 3),
                               w % 3 > 0 ? std::optional<std::size_t>(w - 1) : std::nullopt});
    std::vector<double> bottle(40);
    for (double& b : bottle)
        b = 0.3 * chance.normal();
    for (std::size_t p = 0; p < points; ++p) {
        double born = -chance.uniform() * 0.5 * life;
        for (int n = 0; born < 156.0; ++n) {
            Series s;
            s.serial = "S" + std::to_string(100 + p) + "-" + std::to_string(n);
            s.model = "K7";
            s.application = "wastewater";
            s.site = "Saltmarsh";
            s.clock.push_back({day(born).utcSeconds, 0.0, 1.0});
            s.inService = true;
            const double l = life * std::exp(0.25 * chance.normal()), level = 98.5 + 0.5 * chance.normal(), offset = 4.0 * chance.normal();
            double end = 156.0;
            for (int w = 0; w < 40; ++w) {
                const double at = 4.0 * w;
                if (at < born || at > 156.0)
                    continue;
                const double u = (at - born) / l, truth = level - 10.0 * u * u;
                SeriesVisit v;
                v.when = day(at);
                v.weeks = s.weeksAt(v.when);
                v.visit = s.serial + "/" + std::to_string(w);
                v.round = static_cast<std::size_t>(w);
                v.efficiency_pct = truth + bottle[static_cast<std::size_t>(w)] + noise * chance.normal();
                v.offset_mv = offset - 0.2 * (at - born) + 2.0 * chance.normal();
                s.visits.push_back(v);
                if (truth < 85.0) {
                    end = at;
                    s.inService = false;
                    break;
                }
            }
            if (!s.visits.empty())
                shop.series.push_back(s);
            if (end >= 156.0)
                break;
            born = end;
        }
    }
    shop.first = start;
    shop.last = day(156.0);
    return shop;
}

TEST(RoundShifts, FindTheBottlesErrorAndCarryItOn)
{
    Shop shop = makeShop(1, 4, 80.0);
    FleetNumbers fleet;
    std::vector<Innovation> innovations;
    for (const double e : {0.9, 1.1, 1.0, 0.8, 1.2})
        innovations.push_back({0, e, 1.0});
    const auto shifts = roundShifts(shop, fleet, innovations);
    EXPECT_GT(shifts[0].shift, 0.3);
    EXPECT_LT(shifts[0].shift, 1.0);
    EXPECT_GT(shifts[1].shift, 0.1);  // the same bottle, four weeks later, nobody read
    EXPECT_EQ(shifts[3].shift, 0.0);  // another bottle
    EXPECT_LT(shifts[0].var, shifts[3].var);
}

TEST(RoundShifts, AWrongBottleIsNotCarriedOnAndOneSensorSaysLittle)
{
    Shop shop = makeShop(1, 4, 80.0);
    FleetNumbers fleet;
    const auto bad = roundShifts(shop, fleet, {{0, -4.7, 0.7}, {0, -5.1, 0.7}, {0, -4.4, 0.7}, {0, -4.9, 0.7}});
    EXPECT_TRUE(bad[0].bad);
    EXPECT_LT(bad[0].shift, -2.0);
    EXPECT_EQ(bad[1].shift, 0.0);
    const auto alone = roundShifts(shop, fleet, {{0, -4.7, 0.7}});
    EXPECT_EQ(alone[0].shift, 0.0);
}

TEST(OffsetFilter, FollowsADriftAndShrugsOffOneBadReading)
{
    OffsetFilter f({}, true, 0.0);
    for (int w = 4; w <= 60; w += 4) {
        f.moveTo(w);
        f.takeReading(w == 40 ? 60.0 : 2.0 - 0.4 * w, 0.0);
    }
    EXPECT_NEAR(f.level(), 2.0 - 0.4 * 60, 2.0);
    EXPECT_NEAR(f.drift(), -0.4, 0.1);
    EXPECT_LT(f.centre(13.0), f.level());
    EXPECT_GT(f.centre(500.0), f.level() + f.drift() * 21.0);  // today's drift ends at the next refill
    const double before = f.levelVar();
    f.event(225.0);
    f.takeReading(5.0, 0.0);  // refilled: the level comes back at once
    EXPECT_GT(f.level(), -3.0);
    EXPECT_LT(f.levelVar(), before + 225.0);
}

TEST(Recalibration, WidensWhatWasTooNarrowAndHardlyNarrows)
{
    std::vector<PastPit> wide, narrow;
    Chance chance(3);
    for (std::size_t i = 0; i < 400; ++i) {
        const double z = chance.normal();
        narrow.push_back({2, 0, i % 80, 0.5 * std::erfc(-2.0 * z / std::sqrt(2.0))});
        wide.push_back({2, 0, i % 80, 0.5 * std::erfc(-0.5 * z / std::sqrt(2.0))});
    }
    const Recalibration r = Recalibration::learnt(narrow), same = Recalibration::learnt(wide);
    EXPECT_LT(r.level(2, 0, 0.1), 0.05);
    EXPECT_GT(r.level(2, 0, 0.9), 0.95);
    EXPECT_NEAR(same.level(2, 0, 0.1), 0.1, 0.03);
    EXPECT_NEAR(r.level(0, 0, 0.1), 0.1, 1e-9);  // no outcomes there: raw
    for (const double p : {0.05, 0.1, 0.5, 0.9, 0.95})
        EXPECT_NEAR(r.probability(2, 0, r.level(2, 0, p)), p, 1e-6);
}

TEST(Learning, FindsTheLifeOfItsGroup)
{
    const Shop shop = makeShop(7, 8, 60.0);
    const auto model = learn(shop, shop.last);
    ASSERT_TRUE(model);
    const GroupModel& group = model->groups[0];
    EXPECT_NEAR(group.level.life(), 60.0, 12.0);
    EXPECT_LT(std::abs(group.level.life() - 60.0), std::abs(std::exp(group.defaultLnLife) - 60.0));
    EXPECT_NEAR(group.offset.driftMean, -0.2, 0.1);
    EXPECT_EQ(group.pooling, Pooling::ModelApplicationSite);
}

TEST(Learning, ThreadsAndLaterRecordsChangeNothing)
{
    Shop shop = makeShop(9, 8, 60.0);
    const Instant cut = addDays(shop.first, 7.0 * 90);
    LearnSettings two;
    two.threads = 2;
    LearnSettings plain;
    plain.ladders = two.ladders = false;
    const auto one = learn(shop, cut, plain), other = learn(shop, cut, two);
    // What happened later is not looked at.
    for (Series& s : shop.series)
        for (SeriesVisit& v : s.visits)
            if (v.when > cut && v.efficiency_pct)
                v.efficiency_pct = 60.0;
    const auto blind = learn(shop, cut, plain);
    ASSERT_TRUE(one && other && blind);
    for (const Model* m : {&*other, &*blind}) {
        EXPECT_EQ(m->groups[0].level.lnLifeMean, one->groups[0].level.lnLifeMean);
        EXPECT_EQ(m->groups[0].level.curveShare, one->groups[0].level.curveShare);
        EXPECT_EQ(m->fleet.readingVar, one->fleet.readingVar);
        for (std::size_t r = 0; r < m->rounds.size(); ++r)
            EXPECT_EQ(m->rounds[r].shift, one->rounds[r].shift);
    }
}

TEST(Learning, CanBeStopped)
{
    const Shop shop = makeShop(9, 8, 60.0);
    LearnSettings settings;
    int calls = 0;
    settings.progress = [&](double) { return ++calls < 3; };
    EXPECT_EQ(learn(shop, shop.last, settings).error().code, Errc::Cancelled);
}

TEST(Walk, ForecastsComeTrueAboutAsOftenAsTheySay)
{
    const Shop shop = makeShop(21, 10, 60.0);
    WalkSettings settings;
    settings.mostOrigins = 4;
    settings.learning.ladders = false;
    const auto walked = walk(shop, shop.last, settings);
    ASSERT_TRUE(walked);
    const Score score = scoreOf(shop, *walked);
    ASSERT_GT(score.all.n, 60U);
    // A small shop: a wide gate, the narrow one is kept by the scoring runs.
    EXPECT_GT(score.all.coverage80, 0.65);
    EXPECT_LT(score.all.coverage80, 0.95);
    ASSERT_TRUE(score.all.skillStraightLine);
    EXPECT_GT(*score.all.skillStraightLine, 0.0);
    std::size_t sum = 0;
    for (const PitBin& b : score.pit)
        sum += b.n;
    EXPECT_EQ(sum, score.all.n);
}

TEST(SensorOutlook, SaysNothingOfADeadSensor)
{
    BookOutlook book;
    book.shop = makeShop(21, 10, 60.0);
    WalkSettings settings;
    settings.forecasts = false;
    settings.learning.ladders = false;
    std::size_t tried = 0;
    for (std::size_t i = 0; i < book.shop.series.size(); ++i) {
        Series& series = book.shop.series[i];
        if (!series.inService || series.visits.size() < 2 * kLeastClean)
            continue;
        ++tried;
        series.visits.back().state_pct = 12.5;
        series.visits.back().efficiency_pct = kLeastEfficiency;
        book.now = book.shop.last;
        book.walk = *walk(book.shop, book.now, settings);
        OutlookRequest request;
        request.limit = [](const Series&) { return 88.0; };
        const SensorOutlook dead = outlookOf(book, i, request);
        EXPECT_NE(dead.abstained.find("12.5 %"), std::string::npos) << dead.abstained;
        EXPECT_FALSE(dead.groupOnly);
        EXPECT_TRUE(dead.sentence.empty()) << dead.sentence;
        ASSERT_TRUE(dead.crossing);
        EXPECT_FALSE(dead.crossing->p50);
        ASSERT_FALSE(dead.forecasts.empty());
        for (const SensorForecast& f : dead.forecasts)
            EXPECT_EQ(f.abstained, dead.abstained);
        // Read well since: the fault is over.
        SeriesVisit well = series.visits.back();
        well.when = addDays(well.when, 1.0);
        well.weeks += 1.0 / 7.0;
        well.state_pct = well.efficiency_pct = series.visits[series.visits.size() - 2].efficiency_pct;
        series.visits.push_back(well);
        book.now = addDays(book.shop.last, 2.0);
        EXPECT_EQ(outlookOf(book, i, request).abstained.find("dead"), std::string::npos);
        break;
    }
    EXPECT_EQ(tried, 1U);
}

TEST(SensorOutlook, NewSensorsBorrowOldOnesHaveDates)
{
    BookOutlook book;
    book.shop = makeShop(21, 10, 60.0);
    book.now = book.shop.last;
    WalkSettings settings;
    settings.forecasts = false;
    settings.learning.ladders = false;
    book.walk = *walk(book.shop, book.now, settings);
    bool borrowed = false, dated = false;
    for (std::size_t i = 0; i < book.shop.series.size(); ++i) {
        if (!book.shop.series[i].inService)
            continue;
        OutlookRequest request;
        request.limit = [](const Series&) { return 88.0; };
        const SensorOutlook o = outlookOf(book, i, request);
        borrowed = borrowed || o.groupOnly;
        if (o.groupOnly) {
            EXPECT_LT(o.readings, kLeastClean);
            EXPECT_FALSE(o.abstained.empty());
            EXPECT_FALSE(o.crossing->p50);
        } else if (o.abstained.empty()) {
            dated = dated || o.crossing->p50.has_value();
            if (o.crossing->p10 && o.crossing->p90) {
                EXPECT_LE(o.crossing->p10->utcSeconds, o.crossing->p90->utcSeconds);
            }
            EXPECT_GE(o.working.size(), 5U);
        }
        for (const SensorForecast& f : o.forecasts)
            if (f.abstained.empty()) {
                EXPECT_TRUE(std::is_sorted(f.q.begin(), f.q.end()));
            }
    }
    EXPECT_TRUE(borrowed);
    EXPECT_TRUE(dated);
}

TEST(Score, KnowsTheSimpleFormulas)
{
    // Worked example of the fleet figures: forecasts (mean, sd, outcome) and their scores.
    const std::array<std::array<double, 4>, 6> rows{{{95.2, 1.1, 94.6, .3845},
                                                     {92.8, 1.6, 93.9, .6643},
                                                     {89.5, 2.2, 85.1, 3.1961},
                                                     {96.4, .9, 96.1, .2499},
                                                     {91.0, 1.8, 91.7, .5279},
                                                     {94.1, 1.3, 92.0, 1.4248}}};
    for (const auto& r : rows)
        EXPECT_NEAR(crpsOfNormal(r[0], r[1], r[2]), r[3], 1e-4);
    EXPECT_NEAR(crpsOfEnsemble(std::array{84.0, 87.0, 89.0, 90.5, 92.0}, 85.1), 2.280, 1e-3);
    const std::array said{.02, .05, .05, .08, .12, .15, .20, .22, .30, .35, .40, .45, .55, .60, .70, .75, .80, .85, .90, .95};
    const std::array came{false, false, false, true,  false, false, false, true,  false, false,
                          true,  false, true,  false, true,  true,  true,  false, true,  true};
    std::array<std::size_t, 20> bins{};
    for (std::size_t i = 0; i < 20; ++i)
        bins[i] = i < 6 ? 0 : i < 12 ? 1 : i < 16 ? 2 : 3;
    const BrierParts parts = brierOf(said, came, bins);
    EXPECT_NEAR(parts.score, .19011, 1e-5);
    EXPECT_NEAR(parts.reliability, .00752, 1e-5);
    EXPECT_NEAR(parts.resolution, .06417, 1e-5);
    EXPECT_NEAR(parts.uncertainty, .24750, 1e-5);
    EXPECT_NEAR(parts.skill, .2319, 1e-4);
}

}  // namespace
}  // namespace halfcell::core::outlook
