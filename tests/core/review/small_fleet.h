#pragma once

#include "core/review/review.h"

#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The small shop with its figures and judgements, reviewed.
namespace halfcell::core::shop {

struct Fleet {
    Plant plant;
    std::vector<std::vector<VisitFigures>> figures;
    std::vector<Assessment> assessments;

    explicit Fleet(const Shop& s, const std::string& asOf = "2026-03-02")
        : plant(s.known(asOf)), figures(figuresOf(plant)), assessments(judgements(plant, figures))
    {
    }
    [[nodiscard]] Review review(std::optional<double> budget = std::nullopt) const
    {
        return reviewFleet(plant, assessments, figures, RuleSet::shipped(), budget);
    }
};

/// One K7 at AE-1 since a while, left at these efficiencies four weeks apart, the last on 16 February 2026.
inline void add(Shop& s, const std::string& serial, const std::string& tag, std::vector<double> efficiencies, const std::string& model = "K7")
{
    s.addPoint(tag);
    s.addSensor(serial, model);
    s.place(serial, tag, "2025-01-10");
    std::int64_t when = day("2026-02-16") - 28 * (static_cast<std::int64_t>(efficiencies.size()) - 1);
    for (const double e : efficiencies) {
        s.calibrate(serial, tag, formatDate(startOfDay(when)), e, e);
        when += 28;
    }
}

inline const ReviewCase& caseOf(const Review& review, std::string_view serial)
{
    const auto it = std::ranges::find(review.cases, serial, &ReviewCase::serial);
    EXPECT_NE(it, review.cases.end()) << serial;
    return *it;
}

inline const ReviewOption* option(const ReviewCase& c, OptionKind kind)
{
    const auto it = std::ranges::find(c.options, kind, &ReviewOption::option);
    return it == c.options.end() ? nullptr : &*it;
}

}  // namespace halfcell::core::shop
