#include "core/electrochemistry/nernst.h"
#include "tests/core/calibration/visit_of_tests.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfcell::core {
namespace {

using test::orpFigures;
using test::phFigures;
using test::workingOf;

const WorkingStep& stepWith(const Working& working, const std::string& formulaStart)
{
    for (const WorkingStep& step : working.steps)
        if (step.formula.starts_with(formulaStart))
            return step;
    throw std::runtime_error("no step with " + formulaStart + " in " + working.figure);
}

double inputOf(const WorkingStep& step, const std::string& name)
{
    for (const WorkingInput& in : step.inputs)
        if (in.name == name)
            return in.value.value();
    throw std::runtime_error("no input " + name + " in " + step.step);
}

std::vector<PhaseFigures> manySets()
{
    FigureContext process;
    process.process_ph = 9.6;
    process.process_temp_c = 31.0;
    FigureContext noTemperature;
    noTemperature.process_ph = 6.0;
    FigureContext baseline;
    baseline.orp_baseline_mv = 210.0;
    std::vector<PhaseFigures> sets{
        phFigures({{"ph7.00", -13.0, 19.0}, {"ph10.01", -176.0, 19.0, 180.0, 95.0}}),
        phFigures({{"ph7.00", 2.0, 21.0}, {"ph4.01", 168.0, 22.0, 60.0, 15.0}}, process),
        phFigures({{"ph7.00", 2.0, 21.0}, {"ph4.01", 168.0, 22.0}, {"ph10.01", -170.0, 22.5, 40.0, 20.0}}, noTemperature),
        phFigures({{"ph7.00", 2.0, 21.0}, {"ph4.01", 168.0, 22.0}, {"ph10.01", -170.0, 22.5}, {"ph7.00", 3.0, 21.5}}, process),
        phFigures({{"ph7.00", 2.0, 21.0}}),
        phFigures({{"ph7.00", 2.0}}),
        phFigures({{"ph7.00", 2.0, 25.0}, {"ph6.86", 8.0, 25.0}}),
        orpFigures("3M KCl", {{"zobell", 215.0, 23.0, 60.0, 30.0}}),
        orpFigures("sat KCl", {{"quinhydrone_ph7", 80.0, 22.0}, {"quinhydrone_ph4", 250.0, 22.0}}),
        orpFigures("differential", {{"zobell", 215.0, 23.0}}, baseline),
    };
    Legacy legacy;
    legacy.efficiency_pct = 92.0;
    legacy.offset_mv = -3.0;
    legacy.t90_s = 20.0;
    sets.push_back(figuresOf(legacy, SensorKind::Ph));
    return sets;
}

TEST(Working, EveryFigureHasOneThatEndsInIt)
{
    for (const PhaseFigures& f : manySets()) {
        const std::vector<std::pair<const char*, std::optional<double>>> figures{
            {"efficiency_pct", f.efficiency_pct},
            {"u_efficiency_pct", f.u_efficiency_pct},
            {"slope_mv_per_ph", f.slope_mv_per_ph},
            {"offset_mv", f.offset_mv},
            {"u_offset_mv", f.u_offset_mv},
            {"zero_point_ph", f.zero_point_ph},
            {"residual_mv", f.residual_mv},
            {"acid_leg_pct", f.acid_leg_pct},
            {"alkaline_leg_pct", f.alkaline_leg_pct},
            {"span_pct", f.span_pct},
            {"u_span_pct", f.u_span_pct},
            {"t90_s", f.t90_s},
            {"least_wait_ratio", f.least_wait_ratio},
            {"settling", f.settling.empty() ? std::nullopt : f.settling.front().settled_mv},
            {"span_between_standards_mv", f.span_between_standards_mv},
            {"u_at_process_ph", f.u_at_process_ph},
            {"u_junction_ph", f.u_junction_ph},
            {"extrapolated_ph", f.extrapolated_ph}};
        std::size_t present = 0;
        for (const auto& [key, value] : figures) {
            const Working* working = workingOf(f, key);
            EXPECT_EQ(value.has_value(), working != nullptr) << key;
            if (!value || !working)
                continue;
            ++present;
            EXPECT_TRUE(std::ranges::any_of(working->steps, [&](const WorkingStep& s) { return s.result == value; })) << key;
        }
        EXPECT_EQ(f.working.size(), present);
        for (const Working& working : f.working)
            for (const WorkingStep& step : working.steps) {
                EXPECT_FALSE(step.step.empty()) << working.figure;
                EXPECT_TRUE(step.result.has_value() || !step.text.empty() || !step.inputs.empty()) << step.step;
                for (const WorkingInput& in : step.inputs)
                    EXPECT_TRUE(in.value.has_value() || !in.text.empty()) << step.step;
            }
    }
}

TEST(Working, IsLeftOutWhenNotAskedFor)
{
    FigureContext context;
    const auto visit = test::visitOf({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}});
    EXPECT_TRUE(figuresOf(visit, Phase::AsFound, context, false).working.empty());
}

// By hand, from the inputs printed in the steps alone: the same to the last bit.
TEST(Working, TwoPointsCanBeDoneAgainByHand)
{
    const PhaseFigures f = phFigures({{"ph7.00", -13.0, 19.0}, {"ph10.01", -176.0, 19.0}});
    const Working& working = *workingOf(f, "efficiency_pct");
    const WorkingStep& k = stepWith(working, "k =");
    EXPECT_EQ(inputOf(k, "T"), 292.15);
    EXPECT_NEAR(k.result.value(), 1000.0 * std::log(10.0) * inputOf(k, "R") * inputOf(k, "T") / inputOf(k, "F"), 1e-12);
    const WorkingStep& ph1 = stepWith(working, "pH1 =");
    const double byHand = inputOf(ph1, "a") + (inputOf(ph1, "b") - inputOf(ph1, "a")) * (inputOf(ph1, "t") - inputOf(ph1, "ta")) /
                                                  (inputOf(ph1, "tb") - inputOf(ph1, "ta"));
    EXPECT_DOUBLE_EQ(ph1.result.value(), byHand);
    EXPECT_NEAR(byHand, 7.020, 1e-9);
    const WorkingStep& x1 = stepWith(working, "x1 =");
    EXPECT_DOUBLE_EQ(x1.result.value(), inputOf(x1, "k") * (inputOf(x1, "pH1") - 7.0));
    const WorkingStep& s = stepWith(working, "s =");
    const double slope = (inputOf(s, "E1") - inputOf(s, "E2")) / (inputOf(s, "x2") - inputOf(s, "x1"));
    EXPECT_EQ(s.result.value(), slope);
    EXPECT_EQ(f.efficiency_pct.value(), 100.0 * slope);
    EXPECT_EQ(s.inputs.at(0).readingRef, "as_found/ph7.00/1");
    EXPECT_EQ(s.inputs.at(1).readingRef, "as_found/ph10.01/1");
    const WorkingStep& e0 = stepWith(*workingOf(f, "offset_mv"), "E0 =");
    EXPECT_EQ(e0.result.value(), inputOf(e0, "E1") + inputOf(e0, "s") * inputOf(e0, "x1"));
    const WorkingStep& zero = stepWith(*workingOf(f, "zero_point_ph"), "pH0 =");
    EXPECT_EQ(zero.result.value(), 7.0 + inputOf(zero, "E0") / (inputOf(zero, "s") * inputOf(zero, "k25")));
}

TEST(Working, ThreePointsShowTheWeightedSums)
{
    const PhaseFigures f = phFigures({{"ph7.00", 2.0, 21.0}, {"ph4.01", 168.0, 22.0}, {"ph10.01", -170.0, 22.5}});
    const Working& working = *workingOf(f, "efficiency_pct");
    const WorkingStep& sums = stepWith(working, "x̄ =");
    double w = 0, wx = 0, we = 0;
    for (const char* n : {"1", "2", "3"}) {
        const double wi = inputOf(sums, std::string("w") + n);
        w += wi;
        wx += wi * inputOf(sums, std::string("x") + n);
        we += wi * inputOf(sums, std::string("E") + n);
    }
    EXPECT_DOUBLE_EQ(inputOf(sums, "Σw"), w);
    EXPECT_DOUBLE_EQ(inputOf(sums, "x̄"), wx / w);
    EXPECT_DOUBLE_EQ(inputOf(sums, "Ē"), we / w);
    const WorkingStep& s = stepWith(working, "s =");
    EXPECT_DOUBLE_EQ(s.result.value(), -inputOf(s, "Sxe") / inputOf(s, "Sxx"));
    const WorkingStep& own = stepWith(working, "u(E2)²");
    EXPECT_DOUBLE_EQ(own.result.value(), std::hypot(inputOf(own, "u(meter)"), inputOf(own, "u(settling)")));
}

TEST(Working, UncertaintyListsItsPartsLargestFirst)
{
    Visit visit = test::visitOf({{"ph7.00", -13.0, 19.0}, {"ph10.01", -176.0, 19.0, 180.0, 95.0}});
    for (Reading& r : visit.readings)
        r.temp_source = TemperatureSource::Carried;
    const PhaseFigures f = figuresOf(visit, Phase::AsFound, {});
    for (const auto& [key, value] : {std::pair{"u_efficiency_pct", f.u_efficiency_pct}, std::pair{"u_offset_mv", f.u_offset_mv}}) {
        const WorkingStep& sum = stepWith(*workingOf(f, key), "u² = sum of");
        double squares = 0.0, before = sum.inputs.front().value.value();
        for (const WorkingInput& in : sum.inputs) {
            EXPECT_LE(in.value.value(), before);
            before = in.value.value();
            squares += before * before;
        }
        EXPECT_NEAR(std::sqrt(squares), value.value(), 1e-9);
    }
    // Worked by hand: readings and settling 72 %, standards 27 %, thermometer 1 % of u squared.
    EXPECT_EQ(stepWith(*workingOf(f, "u_efficiency_pct"), "u² = sum of").text,
              "readings and settling 72 % · standards 27 % · thermometer 1 %");
    EXPECT_NE(stepWith(*workingOf(f, "u_efficiency_pct"), "(u/2)²").text.find("readings and settling and standards"), std::string::npos);
    const WorkingStep& own = stepWith(*workingOf(f, "u_efficiency_pct"), "u(E2)²");
    EXPECT_NE(own.text.find("180 s at t90 95 s leaves 2.1 mV in pH 10.01"), std::string::npos) << own.text;
}

// Shrinking the named families by the named factor does halve u.
TEST(Working, WhatWouldHalveItDoes)
{
    FigureContext context;
    context.u_reading_mv = {2.0, 2.0};
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    const std::string text = stepWith(*workingOf(f, "u_efficiency_pct"), "(u/2)²").text;
    const std::string lead = "u halves when the part of readings and settling falls to ";
    ASSERT_TRUE(text.starts_with(lead)) << text;
    const double factor = std::stod(text.substr(lead.size()));
    context.u_reading_mv = {2.0 * factor, 2.0 * factor};
    const PhaseFigures better = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    EXPECT_NEAR(better.u_efficiency_pct.value() / f.u_efficiency_pct.value(), 0.5, 0.01);
}

TEST(Working, OrpNamesReferenceAndStandard)
{
    const PhaseFigures f = orpFigures("3M KCl", {{"zobell", 215.0, 23.0}});
    const Working& working = *workingOf(f, "offset_mv");
    const WorkingStep& expected = stepWith(working, "X1 =");
    EXPECT_DOUBLE_EQ(expected.result.value(), inputOf(expected, "S1") - inputOf(expected, "R1"));
    const WorkingStep& offset = stepWith(working, "offset =");
    EXPECT_DOUBLE_EQ(offset.result.value(), inputOf(offset, "E1") - inputOf(offset, "X1"));
    EXPECT_NE(stepWith(working, "E = 430.28").source.find("Nordstrom 1977"), std::string::npos);
}

}  // namespace
}  // namespace halfcell::core
