// How honest the outlook is on fleets whose true capability is known, after the protocol of outlook_protocol.h. Seeds are none
// that a choice was made on; HALFCELL_SCORE_SEEDS="101 102 103" takes others, HALFCELL_SCORE_GROUPS=1 prints by group.

#include "core/quantity/median.h"
#include "tests/score/outlook_protocol.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <sstream>

namespace halfcell::score {
namespace {

std::vector<std::uint64_t> seeds()
{
    std::vector<std::uint64_t> list;
    const char* given = std::getenv("HALFCELL_SCORE_SEEDS");
    std::istringstream in(given ? given : "3301 3302 3303");
    for (std::uint64_t seed = 0; in >> seed;)
        list.push_back(seed);
    return list;
}

void print(const std::string& name, const Figures& f)
{
    std::printf("%-10s n %6zu  50/80/90 %% covers %5.1f %5.1f %5.1f (80 %% raw %.1f)  true state %5.1f %5.1f %5.1f  skill last %5.1f line "
                "%5.1f %%  "
                "median error %.2f (last %.2f)\n",
                name.c_str(), f.n, f.covers50, f.covers80, f.covers90, f.raw80, f.true50, f.true80, f.true90, f.skillLast, f.skillLine,
                f.error, f.lastError);
    std::fflush(stdout);
}

struct Pooled {
    std::vector<Scored> forecasts;
    std::vector<Warning> warnings;
    std::vector<double> leads;
    double never = 0.0;
    std::size_t abstained = 0, chances = 0;
};

Pooled pooled(FleetKind kind, const char* name)
{
    Pooled all;
    for (const std::uint64_t seed : seeds()) {
        const Fleet fleet = makeFleet({.kind = kind, .seed = seed});
        const Scoring s = runProtocol(fleet);
        std::printf("%s, seed %llu: %zu sensors\n", name, static_cast<unsigned long long>(seed), fleet.shop.series.size());
        print("all", figuresOf(s.forecasts, [](const Scored&) { return true; }));
        const double level = alarmLevel(s.warnings, 0.05);
        const auto leads = leadsOf(fleet, s.warnings, level);
        std::printf("Brier skill %.2f of %zu, alarm above %.2f, median warning %.1f weeks of %zu crossings\n", brierSkill(s.warnings),
                    s.warnings.size(), level, core::medianOf(leads), leads.size());
        all.forecasts.insert(all.forecasts.end(), s.forecasts.begin(), s.forecasts.end());
        all.warnings.insert(all.warnings.end(), s.warnings.begin(), s.warnings.end());
        all.leads.insert(all.leads.end(), leads.begin(), leads.end());
        all.abstained += s.abstained;
        all.chances += s.chances;
        if (std::getenv("HALFCELL_SCORE_GROUPS"))
            for (std::size_t g = 0; g < fleet.shop.groups.size(); ++g)
                print(fleet.shop.groups[g].application.substr(0, 8) + fleet.shop.groups[g].site.substr(4),
                      figuresOf(s.forecasts, [&](const Scored& f) {
                          return fleet.shop.series[f.series].application == fleet.shop.groups[g].application &&
                                 fleet.shop.series[f.series].site == fleet.shop.groups[g].site;
                      }));
    }
    std::printf("%s, pooled; abstained %.1f %%\n", name, 100.0 * static_cast<double>(all.abstained) / static_cast<double>(all.chances));
    for (std::size_t b = 0; b < kBands; ++b)
        print(std::to_string(static_cast<int>(core::outlook::kBandWeeks[b])),
              figuresOf(all.forecasts, [b](const Scored& f) { return f.band == b; }));
    print("all", figuresOf(all.forecasts, [](const Scored&) { return true; }));
    print("no date", figuresOf(all.forecasts, [](const Scored& f) { return !f.known; }));
    for (const double low : {0.0, 0.2, 0.4, 0.6, 0.8}) {
        double n = 0.0, said = 0.0, came = 0.0;
        for (const Warning& w : all.warnings)
            if (w.said >= low && (w.said < low + 0.2 || low > 0.7)) {
                n += 1.0;
                said += w.said;
                came += w.came ? 1.0 : 0.0;
            }
        if (n > 0.0)
            std::printf("below 85 %% within 13 weeks: said %.2f, came true %.2f (n %.0f)\n", said / n, came / n, n);
    }
    double never = 0.0;
    for (const double lead : all.leads)
        never += lead <= 0.0 ? 1.0 : 0.0;
    std::printf("%s: Brier skill %.3f, median warning %.1f weeks of %zu crossings, never warned %.0f %%\n", name, brierSkill(all.warnings),
                core::medianOf(all.leads), all.leads.size(),
                all.leads.empty() ? 0.0 : 100.0 * never / static_cast<double>(all.leads.size()));
    std::fflush(stdout);
    return all;
}

void expectCoverage(const Pooled& all, double least, double most)
{
    for (std::size_t b = 0; b + 1 < kBands; ++b) {
        const Figures f = figuresOf(all.forecasts, [b](const Scored& s) { return s.band == b; });
        EXPECT_GE(f.covers80, least) << core::outlook::kBandWeeks[b] << " weeks";
        EXPECT_LE(f.covers80, most) << core::outlook::kBandWeeks[b] << " weeks";
    }
}

TEST(OutlookOnFleets, OfTheAgeingModel)
{
    const Pooled all = pooled(FleetKind::Ageing, "A");
    expectCoverage(all, 77.0, 83.0);
    EXPECT_GE(figuresOf(all.forecasts, [](const Scored&) { return true; }).skillLast, 20.0);
    EXPECT_GE(brierSkill(all.warnings), 0.65);
    EXPECT_GE(core::medianOf(all.leads), 15.0);
}

TEST(OutlookOnFleets, OfOtherShapes)
{
    const Pooled all = pooled(FleetKind::OtherShapes, "B");
    expectCoverage(all, 76.0, 84.0);
    EXPECT_GE(figuresOf(all.forecasts, [](const Scored&) { return true; }).skillLast, 12.0);
    EXPECT_GE(brierSkill(all.warnings), 0.30);
}

}  // namespace
}  // namespace halfcell::score
