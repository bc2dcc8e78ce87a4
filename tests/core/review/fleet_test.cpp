#include "core/review/review.h"

#include "tests/core/review/small_fleet.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace shop;

TEST(Fleet, HoldsSparesByInterchange)
{
    Shop s;
    for (int i = 0; i < 5; ++i)
        add(s, "K7-" + std::to_string(i), "AE-" + std::to_string(i), {96, 95, 94, 93});
    s.addSensor("K7-spare");
    s.place("K7-spare", "shelf", "2026-01-01");
    s.addSensor("K7-soak");
    s.place("K7-soak", "soak", "2026-01-01");
    const Review review = Fleet(s).review();
    ASSERT_EQ(review.spares.size(), 1U);
    const SpareType& type = review.spares[0];
    EXPECT_EQ(type.interchange, "12 mm");
    EXPECT_EQ(type.inUse, 5);
    EXPECT_EQ(type.ready, 1);
    EXPECT_GT(type.expectedDemand, 0.0);
    EXPECT_GE(type.hold, 1);
    EXPECT_EQ(type.order, std::max(0, type.hold - 2));
    EXPECT_EQ(type.lead_time_days, 42.0);
    s.records.models[0].lead_time_days.reset();
    const SpareType unknown = Fleet(s).review().spares[0];
    EXPECT_EQ(unknown.hold, 0);
    EXPECT_TRUE(unknown.note.starts_with("no lead time on record")) << unknown.note;
}

TEST(Fleet, FiguresWithExactLimits)
{
    Shop s;
    s.addPoint("AE-1").tolerance_ph = 0.2;
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-01-01");
    // Left in order each month; found in tolerance nine times, once far out, once without an as-found.
    std::int64_t when = day("2025-04-01");
    for (int i = 0; i < 12; ++i, when += 28) {
        Visit& visit = s.addVisit("K7-1", "AE-1", formatDate(startOfDay(when)));
        if (i != 5)
            Shop::read(visit, Phase::AsFound, 96.0, i == 7 ? 40.0 : 0.0);
        Shop::read(visit, Phase::AsLeft, 96.0, 0.0);
    }
    s.addSensor("K7-0");
    s.place("K7-0", "AE-1", "2024-01-01", "2025-06-01").reason_removed = RemovalReason::Broken;
    s.place("K7-0", "scrap", "2025-06-01");
    const FleetFigures f = Fleet(s).review().fleet;
    EXPECT_EQ(f.visitsWithoutAsFound, 1);
    EXPECT_EQ(f.asFoundJudged, 10);
    EXPECT_EQ(f.asFoundInTolerance, 9);
    EXPECT_NEAR(f.share, 0.9, 1e-12);
    EXPECT_NEAR(f.shareLower, 0.554984, 1e-6);  // golden.csv GC52, GC53
    EXPECT_NEAR(f.shareUpper, 0.997471, 1e-6);
    EXPECT_EQ(f.replacements, 1);
    ASSERT_EQ(f.replacementsByReason.size(), 1U);
    EXPECT_EQ(f.replacementsByReason[0].first, "broken");
}

}  // namespace
}  // namespace halfcell::core
