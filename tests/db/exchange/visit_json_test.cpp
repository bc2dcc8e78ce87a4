#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

TEST(VisitJson, ReadsTheContractsExample)
{
    const auto visit =
        visitFromJson(R"({"visit":"v7","when":"2026-03-02T08:44:00+01:00","serial":"K7-0412","person":"T1","reason":"routine",
        "manual_from":"2026-03-02T08:12:00+01:00","cleaned_before":false,
        "readings":[{"phase":"as_found","standard":"ph7.00","lot":"7","mv":-13,"temp_degc":19.0,"wait_s":60,"t90_s":"not_done","settled":true},
                    {"phase":"as_found","standard":"ph10.01","mv":"-176","temp_degc":null}],
        "grabs":[{"loop_ph":9.24,"grab_ph":9.41}],"checks":[{"coating":2,"coating_kind":"hard"}],
        "actions":[{"action":"clean_acid","agent":"citric","minutes":4}],"remark":"white"})");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->readings[0].mv, -13.0);
    EXPECT_EQ(visit->readings[0].lot, "7");
    EXPECT_EQ(visit->readings[0].t90_s.why, core::NoAnswer::NotDone);
    EXPECT_EQ(visit->readings[1].mv, -176.0);
    EXPECT_TRUE(visit->readings[1].temp_degc.blank());
    EXPECT_EQ(visit->actions[0].step, 1);
    EXPECT_EQ(visit->cleaned_before, false);
    EXPECT_EQ(visit->remark, "white");
}

TEST(VisitJson, ComesBackTheSame)
{
    core::Visit visit = ordinaryVisit("v1", "2025-03-02");
    for (core::Reading& r : visit.readings)
        r.dip = 1;
    const auto again = visitFromJson(visitToJson(visit));
    ASSERT_DONE(again);
    EXPECT_EQ(*again, visit);
}

// A settle series is a list of [seconds, mV] pairs, or the text of its cell.
TEST(VisitJson, ASettleSeriesGoesInAndOut)
{
    const auto text = [](const char* series) {
        return std::string(R"({"visit":"v7","when":"2026-03-02T08:44:00Z","serial":"K7-0412","readings":[{"phase":"as_found",)") +
               R"("standard":"ph4.01","mv":151,"settle":)" + series + "}]}";
    };
    const auto visit = visitFromJson(text("[[0,-3.1],[10,95.5],[20,141]]"));
    ASSERT_DONE(visit);
    const std::vector<core::SettlePoint> expected{{0, -3.1}, {10, 95.5}, {20, 141}};
    EXPECT_EQ(visit->readings[0].settle, expected);
    const auto cell = visitFromJson(text(R"("0:-3.1;10:95.5;20:141")"));
    ASSERT_DONE(cell);
    EXPECT_EQ(cell->readings[0].settle, expected);
    const auto again = visitFromJson(visitToJson(*visit));
    ASSERT_DONE(again);
    EXPECT_EQ(again->readings[0].settle, expected);
    for (const char* bad : {"[[0,-3.1],[0,95.5]]", "[[10,-3.1],[5,95.5]]", "[[0,9000]]", R"("0,5")", "[[0,1,2]]", "[[-1,2]]"}) {
        const auto refused = visitFromJson(text(bad));
        ASSERT_FALSE(refused) << bad;
        EXPECT_EQ(refused.error().field, "readings[1].settle") << bad;
        EXPECT_FALSE(refused.error().remedy.empty()) << bad;
    }
}

// null and "" are answers left out, also where one is needed.
TEST(VisitJson, AnEmptyAnswerIsNoAnswer)
{
    for (const char* standard : {R"("")", "null"}) {
        const auto refused = visitFromJson(std::string(R"({"when":"2026-03-02T08:44:00Z","serial":"K7-0412","readings":[)") +
                                           R"({"phase":"as_found","mv":151,"standard":)" + standard + "}]}");
        ASSERT_FALSE(refused) << standard;
        EXPECT_EQ(refused.error().field, "readings[1].standard") << standard;
    }
}

TEST(VisitJson, NamesTheFieldThatIsWrong)
{
    const auto error = [](const char* text) { return visitFromJson(text).error(); };
    EXPECT_EQ(error("{\n \"serial\": \"K7\",\n oops }").line, 3U);
    EXPECT_EQ(error("[]").code, Errc::BadInput);
    EXPECT_EQ(error("{}").field, "serial");
    EXPECT_EQ(error(R"({"serial":"K7","colour":"red"})").field, "colour");
    EXPECT_EQ(error(R"({"serial":"K7","readings":[{"phase":"as_found","standard":"ph7.00","mv":"-13 mV"}]})").field, "readings[1].mv");
    EXPECT_EQ(error(R"({"serial":"K7","readings":[{"phase":"found","standard":"ph7.00","mv":1}]})").field, "readings[1].phase");
    EXPECT_EQ(error(R"({"serial":"K7","readings":[{"standard":"ph7.00","mv":1}]})").field, "readings[1].phase");
    EXPECT_EQ(error(R"({"serial":"K7","readings":[{"phase":"as_found","standard":"ph7.00","mv":{"v":1}}]})").field, "readings[1].mv");
    EXPECT_EQ(error(R"({"serial":"K7","readings":{}})").field, "readings");
    EXPECT_FALSE(error(R"({"serial":"K7","reason":"because"})").remedy.empty());
}

class ReadingsTableTest : public ExchangeTest {};

TEST_F(ReadingsTableTest, NeedsNoBook)
{
    put(folder / "any name.csv",
        "visit,phase,standard,mv,temp_degc\na,as_found,ph7.00,0,25\na,as_found,ph4.00,160,25\nb,as_left,ph7.00,x,25\n"
        "b,as_left,ph7.00,1,25\nb,as_left,ph7.00,,25\n");
    std::vector<Refusal> refused;
    const auto visits = readReadingsTable(folder / "any name.csv", refused);
    ASSERT_DONE(visits);
    ASSERT_EQ(visits->size(), 2U);
    EXPECT_EQ((*visits)[0].readings.size(), 2U);
    EXPECT_EQ((*visits)[0].readings[1].dip, 1);
    ASSERT_EQ(refused.size(), 2U);
    EXPECT_EQ(refused[0].line, 4U);
    EXPECT_EQ(refused[1].field, "mv");
    EXPECT_EQ(readReadingsTable(folder / "none.csv", refused).error().code, Errc::CannotRead);
}

}  // namespace
}  // namespace halfcell::db
