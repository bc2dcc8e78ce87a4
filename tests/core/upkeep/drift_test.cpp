#include "core/upkeep/drift.h"

#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

namespace halfcell::core {
namespace {

using namespace shop;

/// Visits four weeks apart, each found off by the offsets given and left at zero.
std::vector<VisitFigures> found(std::vector<double> offsets)
{
    std::vector<VisitFigures> figures;
    std::int64_t when = 20000;
    for (const double offset : offsets) {
        VisitFigures visit;
        visit.when = startOfDay(when);
        when += 28;
        PhaseFigures f;
        f.phase = Phase::AsFound;
        f.offset_mv = offset;
        f.u_offset_mv = 0.5;
        f.efficiency_pct = 100.0;
        f.u_efficiency_pct = 0.5;
        PhaseFigures left = f;
        left.phase = Phase::AsLeft;
        left.offset_mv = 0.0;
        visit.phases = {f, left};
        figures.push_back(visit);
    }
    return figures;
}

TEST(Drift, IsTheErrorAnAnalyserWouldHaveShown)
{
    const auto shifts = asFoundShifts(found({0.0, 5.9159349685, -11.831869937}), 7.0);
    ASSERT_EQ(shifts.size(), 2U);
    // 5.9 mV up at 59.16 mV/pH reads a tenth low.
    EXPECT_NEAR(shifts[0].size, -0.1, 1e-9);
    EXPECT_NEAR(shifts[1].size, 0.2, 1e-9);
    EXPECT_NEAR(shifts[0].days, 28.0, 1e-9);
    EXPECT_EQ(shifts[1].visit, 2U);
}

TEST(Drift, ALowSlopeShowsAwayFromSeven)
{
    auto figures = found({0.0, 0.0});
    figures[1].phases[0].efficiency_pct = 90.0;
    EXPECT_NEAR(asFoundShifts(figures, 7.0)[0].size, 0.0, 1e-12);
    EXPECT_NEAR(asFoundShifts(figures, 10.0)[0].size, -0.3, 1e-9);
    EXPECT_NEAR(asFoundShifts(figures, 4.0)[0].size, 0.3, 1e-9);
    EXPECT_GT(asFoundShifts(figures, 10.0)[0].u, asFoundShifts(figures, 7.0)[0].u);
}

TEST(Drift, NeedsFourShiftsAndNoiseIsNone)
{
    EXPECT_FALSE(daysUntilShift(asFoundShifts(found({0, 9, 9, 9}), 7.0), 0.1, 0.2));
    EXPECT_FALSE(daysUntilShift(asFoundShifts(found({0, 1, -1, 1, 0.5, -1}), 7.0), 0.1, 0.2));
    EXPECT_EQ(chanceOfShift(asFoundShifts(found({0, 9, 9, 9}), 7.0), 0.1, 100.0), 0.0);
}

TEST(Drift, SoonerWithMoreCareAndATighterTolerance)
{
    const auto shifts = asFoundShifts(found({0, 3, 6, 9, 12, 15}), 7.0);
    const auto loose = daysUntilShift(shifts, 0.2, 0.4), careful = daysUntilShift(shifts, 0.2, 0.05), tight = daysUntilShift(shifts, 0.1, 0.4);
    ASSERT_TRUE(loose && careful && tight);
    EXPECT_LT(*careful, *loose);
    EXPECT_NEAR(*tight, *loose / 2.0, 1e-9);
    EXPECT_LE(chanceOfShift(shifts, 0.2, 10.0), chanceOfShift(shifts, 0.2, 60.0));
    EXPECT_LE(chanceOfShift(shifts, 0.2, *loose - 1e-6), 0.4 + 1e-9);
}

TEST(Drift, OrpCountsMillivolts)
{
    auto figures = found({0.0, 12.0});
    for (VisitFigures& visit : figures)
        for (PhaseFigures& f : visit.phases) {
            f.kind = SensorKind::Orp;
            f.efficiency_pct.reset();
        }
    const auto shifts = asFoundShifts(figures, 7.0);
    ASSERT_EQ(shifts.size(), 1U);
    EXPECT_EQ(shifts[0].size, 12.0);
}

}  // namespace
}  // namespace halfcell::core
