#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// Odd readings are named and never changed.
namespace halfcell::core::test {

namespace {

using Kind = Question::Kind;

std::vector<Question> ask(const Visit& v, const PhaseFigures* last = nullptr)
{
    return questionsAbout(v, SensorKind::Ph, "3M KCl", last, StandardsBook::shipped(), RuleSet::shipped(),
                          RuleSet::shipped().profile("default"));
}
const Question* find(const std::vector<Question>& all, Kind kind)
{
    for (const auto& q : all)
        if (q.kind == kind)
            return &q;
    return nullptr;
}
Visit typed(const std::vector<std::pair<std::string, double>>& readings, double temp = 25.0, double wait = 120)
{
    Visit v;
    v.visit = "V";
    v.when = at(0);
    for (const auto& [standard, mv] : readings)
        Shop::read(v, Phase::AsFound, standard, mv, temp, wait, 20);
    return v;
}
PhaseFigures lastTime(double efficiency, double offset, double t90 = 24)
{
    Visit v;
    v.visit = "L";
    v.when = at(-30);
    Shop::state(v, Phase::AsLeft, {.efficiency = efficiency, .offset = offset, .t90 = t90, .standards = {"ph7.00", "ph10.01"}});
    FigureContext context;
    context.standards = &StandardsBook::shipped();
    return figuresOf(v, Phase::AsLeft, context);
}

}  // namespace

TEST(Plausibility, NothingToAskAboutAGoodSet)
{
    EXPECT_TRUE(ask(typed({{"ph7.00", -3}, {"ph4.01", 170}, {"ph10.01", -176}})).empty());
}

TEST(Plausibility, WrongSignInAcid)
{
    const auto v = typed({{"ph7.00", 0}, {"ph4.01", -171}});
    const auto copy = v;
    const auto all = ask(v);
    const auto* q = find(all, Kind::WrongSign);
    ASSERT_TRUE(q);
    EXPECT_EQ(q->reading, 1u);
    EXPECT_EQ(q->suggestion, 171.0);
    EXPECT_EQ(v, copy) << "nothing is corrected by itself";
    const auto single = ask(typed({{"ph10.01", 170}}));
    ASSERT_TRUE(find(single, Kind::WrongSign));
    EXPECT_EQ(find(single, Kind::WrongSign)->suggestion, -170.0);
}

TEST(Plausibility, ExchangedBeakers)
{
    const auto all =
        ask(typed({{"ph4.01", mvFor("ph7.00", 96.9, 2)}, {"ph7.00", mvFor("ph4.01", 98, 2)}, {"ph10.01", mvFor("ph10.01", 98, 2)}}));
    const auto* q = find(all, Kind::Swapped);
    ASSERT_TRUE(q);
    EXPECT_EQ(q->reading, 1u);
    EXPECT_EQ(q->other, 0u);
    EXPECT_NE(q->text.find("changed places"), std::string::npos);
}

TEST(Plausibility, RedoxStandardsExchangedOrASignLost)
{
    const auto& book = StandardsBook::shipped();
    const auto askOrp = [&](const std::vector<std::pair<std::string, double>>& readings) {
        return questionsAbout(typed(readings), SensorKind::Orp, "3M KCl", nullptr, book, RuleSet::shipped(),
                              RuleSet::shipped().profile("default"));
    };
    const auto expected = [&](const char* standard) { return expectedPotential(book, standard, {}, "3M KCl", Celsius(25.0))->e.value(); };
    const double four = expected("quinhydrone_ph4"), seven = expected("quinhydrone_ph7");
    EXPECT_TRUE(askOrp({{"quinhydrone_ph7", seven + 6}, {"quinhydrone_ph4", four + 6}}).empty());
    const auto exchanged = askOrp({{"quinhydrone_ph7", four + 6}, {"quinhydrone_ph4", seven + 6}});
    const auto* q = find(exchanged, Kind::Swapped);
    ASSERT_TRUE(q);
    EXPECT_EQ(q->reading, 1u);
    EXPECT_EQ(q->other, 0u);
    EXPECT_NE(q->text.find("changed places"), std::string::npos);
    const auto lost = askOrp({{"quinhydrone_ph7", seven}, {"quinhydrone_ph4", -four}});
    ASSERT_TRUE(find(lost, Kind::WrongSign));
    EXPECT_EQ(find(lost, Kind::WrongSign)->reading, 1u);
    EXPECT_EQ(find(lost, Kind::WrongSign)->suggestion, four);
    // All of them turned are leads, not typing; a far-off sensor is off.
    EXPECT_FALSE(find(askOrp({{"quinhydrone_ph7", -seven}, {"quinhydrone_ph4", -four}}), Kind::WrongSign));
    EXPECT_TRUE(askOrp({{"quinhydrone_ph7", seven + 90}, {"quinhydrone_ph4", four + 90}}).empty());
    EXPECT_TRUE(askOrp({{"quinhydrone_ph7", seven}, {"quinhydrone_ph4", seven}}).empty());
}

TEST(Plausibility, ADifferentialRedoxSensorIsComparedWithItsLastReading)
{
    const auto& book = StandardsBook::shipped();
    // A cell of 120 mV against hydrogen: no table has it, only its last readings.
    const auto reads = [&](const char* standard) { return book.redox(standard, {}, Celsius(25.0))->value - 120.0; };
    const double four = reads("quinhydrone_ph4"), seven = reads("quinhydrone_ph7");
    PhaseFigures last;
    last.used = {{.index = 0, .standard = "quinhydrone_ph7", .e_mv = seven, .temp_c = 25.0}};
    const auto askOf = [&](const std::vector<std::pair<std::string, double>>& readings, const PhaseFigures* before) {
        return questionsAbout(typed(readings), SensorKind::Orp, kDifferentialFill, before, book, RuleSet::shipped(),
                              RuleSet::shipped().profile("default"));
    };
    EXPECT_TRUE(askOf({{"quinhydrone_ph7", seven + 8}, {"quinhydrone_ph4", four + 8}}, &last).empty());
    const auto lost = askOf({{"quinhydrone_ph7", seven}, {"quinhydrone_ph4", four / 10.0}}, &last);
    ASSERT_TRUE(find(lost, Kind::DigitLost));
    EXPECT_EQ(find(lost, Kind::DigitLost)->reading, 1U);
    EXPECT_NEAR(find(lost, Kind::DigitLost)->suggestion.value_or(0.0), four, 1e-6);
    EXPECT_TRUE(find(askOf({{"quinhydrone_ph7", seven}, {"quinhydrone_ph4", -four}}, &last), Kind::WrongSign));
    EXPECT_TRUE(find(askOf({{"quinhydrone_ph7", four}, {"quinhydrone_ph4", seven}}, &last), Kind::Swapped));
    EXPECT_TRUE(askOf({{"quinhydrone_ph7", seven}, {"quinhydrone_ph4", four / 10.0}}, nullptr).empty());  // nothing to compare with
}

TEST(Plausibility, AStateThatWasKeptAgainstAQuestionIsNotComparedWith)
{
    Visit good, kept;
    good.readings.resize(1);
    kept.readings.resize(1);
    kept.readings[0].note = keptNote("digit_lost", "on the sheet so");
    EXPECT_EQ(*kept.readings[0].note, "kept: digit_lost (on the sheet so)");
    const auto stateOf = [](const Visit& v) {
        VisitFigures f;
        f.visit = &v;
        f.phases.emplace_back();
        f.phases.back().phase = Phase::AsLeft;
        f.phases.back().used = {{.index = 0, .standard = "ph7.00"}};
        return f;
    };
    const std::vector past{stateOf(good), stateOf(kept)}, odd{stateOf(kept)};
    EXPECT_EQ(stateToCompareWith(past), past[0].lastState());
    EXPECT_EQ(stateToCompareWith(odd), odd[0].lastState());  // better than nothing
    EXPECT_EQ(stateToCompareWith({}), nullptr);
}

TEST(Plausibility, BothAlike)
{
    const auto all = ask(typed({{"ph7.00", 2}, {"ph10.01", 6}}));
    ASSERT_TRUE(find(all, Kind::Alike));
    EXPECT_NE(find(all, Kind::Alike)->text.find("4 mV apart"), std::string::npos);
    EXPECT_FALSE(find(all, Kind::WrongSign));
    EXPECT_TRUE(find(ask(typed({{"ph7.00", 5}, {"ph4.01", 5}})), Kind::Repeated));
}

TEST(Plausibility, MissingTemperature)
{
    auto v = typed({{"ph7.00", 2}});
    v.readings[0].temp_degc = {};
    EXPECT_TRUE(find(ask(v), Kind::MissingTemperature));
}

TEST(Plausibility, TooSoonByTheRuleAndTheLastResponse)
{
    const auto last = lastTime(97, -8, 24);
    EXPECT_TRUE(find(ask(typed({{"ph7.00", -8}}, 25, 29)), Kind::TooSoon)) << "30 s is the least";
    EXPECT_FALSE(find(ask(typed({{"ph7.00", -8}}, 25, 40)), Kind::TooSoon));
    const auto all = ask(typed({{"ph7.00", -8}}, 25, 35), &last);
    ASSERT_TRUE(find(all, Kind::TooSoon)) << "twice the last response is 48 s";
    EXPECT_NE(find(all, Kind::TooSoon)->text.find("48 s"), std::string::npos);
}

TEST(Plausibility, DigitLost)
{
    const auto last = lastTime(97, -8);
    const auto ten = ask(typed({{"ph10.01", -18}}), &last);
    ASSERT_TRUE(find(ten, Kind::DigitLost));
    EXPECT_EQ(find(ten, Kind::DigitLost)->suggestion, -180.0);
    EXPECT_TRUE(find(ask(typed({{"ph10.01", -1}}), &last), Kind::DigitLost));
    EXPECT_FALSE(find(ask(typed({{"ph10.01", -170}}), &last), Kind::DigitLost));
}

TEST(Plausibility, TooGood)
{
    const auto all = ask(typed({{"ph7.00", 0}, {"ph4.01", mvFor("ph4.01", 104, 0)}}));
    ASSERT_TRUE(find(all, Kind::TooGood));
    EXPECT_NE(find(all, Kind::TooGood)->text.find("104.0 %"), std::string::npos);
}

TEST(Plausibility, MistakenStandards)
{
    const auto alkaline = ask(typed({{"ph7.00", 0}, {"ph9.18", mvFor("ph10.01", 99, 0)}}));
    ASSERT_TRUE(find(alkaline, Kind::MistakenStandard));
    EXPECT_EQ(find(alkaline, Kind::MistakenStandard)->suggestedStandard, "ph10.01");
    const auto twice = ask(typed({{"ph7.00", 0}, {"ph7.00", 172}}));
    ASSERT_TRUE(find(twice, Kind::MistakenStandard));
    ASSERT_TRUE(find(twice, Kind::MistakenStandard)->suggestedStandard);
    EXPECT_TRUE(find(twice, Kind::MistakenStandard)->suggestedStandard->starts_with("ph4.0"));
}

TEST(Plausibility, ImpossibleFigures)
{
    EXPECT_TRUE(find(ask(typed({{"ph7.00", 3000}})), Kind::Impossible));
    EXPECT_TRUE(find(ask(typed({{"ph7.00", 3}}, 190)), Kind::Impossible));
}

TEST(Plausibility, CopiedFromTheLastTime)
{
    Visit v;
    v.visit = "L";
    v.when = at(-30);
    Shop::read(v, Phase::AsFound, "ph7.00", -8, 19.4);
    Shop::read(v, Phase::AsFound, "ph10.01", -178, 19.4);
    FigureContext context;
    context.standards = &StandardsBook::shipped();
    const auto last = figuresOf(v, Phase::AsFound, context);
    v.when = at(0);
    EXPECT_TRUE(find(ask(v, &last), Kind::Copied));
    v.readings[1].mv = -177;
    EXPECT_FALSE(find(ask(v, &last), Kind::Copied));
}

}  // namespace halfcell::core::test
