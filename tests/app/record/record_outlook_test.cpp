#include "app/record/record_outlook.h"

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using core::outlook::PastForecast;
using core::outlook::Quantity;
using core::outlook::SensorForecast;

core::Instant at(const char* text)
{
    return *core::parseInstant(text);
}

SensorForecast forecast(Quantity quantity, const char* when, double middle)
{
    SensorForecast f;
    f.quantity = quantity;
    f.at = at(when);
    f.q = {middle - 3, middle - 2, middle - 1, middle, middle + 1, middle + 2, middle + 3};
    return f;
}

std::shared_ptr<SensorEvidence> evidenceAt(const char* now)
{
    auto evidence = std::make_shared<Evidence>();
    evidence->book.now = at(now);
    auto of = std::make_shared<SensorEvidence>();
    of->evidence = std::move(evidence);
    return of;
}

TEST(RecordOutlook, AFanStandsInThePanelOfItsQuantityAndEndsWhereItAbstains)
{
    LifeLineSeries line;
    line.panels.resize(2);
    line.panels[0].key = u"efficiency_pct"_s;
    line.panels[1].key = u"offset_mv"_s;
    line.panels[1].fan.push_back({});  // of an earlier outlook
    SensorForecast unsaid = forecast(Quantity::Efficiency, "2026-12-01", 90);
    unsaid.abstained = "no sensor of the group got so old";
    addFans(line, {forecast(Quantity::Efficiency, "2026-06-01", 93), forecast(Quantity::Efficiency, "2026-03-10", 95), unsaid,
                   forecast(Quantity::Response, "2026-06-01", 60)});
    ASSERT_EQ(line.panels[0].fan.size(), 2U);
    const FanPoint& first = line.panels[0].fan.front();
    EXPECT_EQ(first.utc, at("2026-03-10").utcSeconds);
    EXPECT_EQ(first.p10, 93.0);
    EXPECT_EQ(first.p25, 94.0);
    EXPECT_EQ(first.p50, 95.0);
    EXPECT_EQ(first.p75, 96.0);
    EXPECT_EQ(first.p90, 97.0);
    EXPECT_TRUE(line.panels[1].fan.empty());
}

TEST(RecordOutlook, SaysOddsDatesAndHowPastOnesCameTrue)
{
    const auto of = evidenceAt("2026-03-02");
    of->ahead.sentence = "80 % sure that a calibration on 1 Apr 2026 reads 92.1 to 95.4 %";
    auto& crossing = of->ahead.crossing.emplace();
    crossing.limit = 80.0;
    crossing.p10 = at("2026-09-01");
    crossing.p50 = at("2026-11-01");
    crossing.notBefore = at("2027-03-01");
    crossing.probabilityBy = {{core::addDays(of->evidence->book.now, 91), 0.04}, {core::addDays(of->evidence->book.now, 182), 0.19}};
    of->ahead.nextDue = at("2026-04-01");
    of->ahead.outBeforeNext = 0.003;
    of->ahead.record = {.n = 140, .said80 = 0.8, .came = 0.807};
    const RecordOutlook outlook = recordOutlook(of, core::dayNumber(of->evidence->book.now));
    EXPECT_EQ(outlook.words.odds.value(0), u"As left below 80 %: 4 % within 13 weeks, 19 % within 26 weeks."_s);
    EXPECT_EQ(outlook.words.odds.value(1), u"It gets there about 1 Nov; 80 % sure: 1 Sep to after 1 Mar 2027."_s);
    EXPECT_EQ(outlook.words.odds.value(2), u"Out of limit before the next visit (1 Apr): under 1 %."_s);
    EXPECT_EQ(outlook.words.past, u"Of 140 past outlooks of this group, each said to hold 80 %, 81 % came true."_s);
    EXPECT_FALSE(outlook.words.sentence.contains(u"2026"_s)) << outlook.words.sentence.toStdString();
    EXPECT_FALSE(outlook.words.hasWorking);
}

TEST(RecordOutlook, WhereNothingIsSaidTheReasonStands)
{
    const auto of = evidenceAt("2026-03-02");
    of->ahead.abstained = "not enough yet: 2 clean as-left fits, 4 are needed";
    auto& crossing = of->ahead.crossing.emplace();
    crossing.abstained = of->ahead.abstained;
    const RecordOutlook outlook = recordOutlook(of, core::dayNumber(of->evidence->book.now));
    EXPECT_TRUE(outlook.words.state.contains(u"4 are needed"_s));
    EXPECT_TRUE(outlook.words.odds.isEmpty());
    EXPECT_TRUE(outlook.words.past.isEmpty());
}

TEST(RecordOutlook, PastOnesStandNewestFirstWithWhereTheOutcomeLay)
{
    const auto of = evidenceAt("2026-03-02");
    for (const auto& [origin, outcome] : {std::pair{"2025-06-01", 95.0}, std::pair{"2025-09-01", 91.0}, std::pair{"2025-12-01", 98.5}}) {
        PastForecast past;
        past.origin = at(origin);
        past.outcomeAt = core::addDays(past.origin, 91);
        past.weeks = 13.0;
        past.outcome = outcome;
        for (std::size_t i = 0; i < past.q.size(); ++i)
            past.q[i] = 90.5 + 0.5 * static_cast<double>(i);  // 10 % at 91, 90 % at 99
        past.q[1] = 92.0;
        past.q[17] = 97.0;
        of->issued.push_back(past);
    }
    const RecordOutlook outlook = recordOutlook(of, core::dayNumber(of->evidence->book.now));
    ASSERT_EQ(outlook.issued.size(), 3U);
    EXPECT_EQ(outlook.issued[0], (QStringList{u"1 Dec 2025"_s, u"2 Mar 2026"_s, u"13"_s, u"92.0 to 97.0 %"_s, u"98.5 %"_s, u"above it"_s}));
    EXPECT_EQ(outlook.issued[1].last(), u"below it"_s);
    EXPECT_EQ(outlook.issued[2].last(), u"inside"_s);
}

}  // namespace
}  // namespace halfcell::app
