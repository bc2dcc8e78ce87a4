#include "app/record/visit_page.h"
#include "app/panels/plain_words.h"
#include "tests/app/record/small_shop.h"

#include <QLocale>

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class VisitPageTest : public ::testing::Test {
protected:
    test::SmallShop small;
    std::shared_ptr<const Dossier> loaded;

    void SetUp() override
    {
        small.shop().loadDossier("K7-0412", &small.shop(), [&](core::Result<std::shared_ptr<const Dossier>> answer) {
            ASSERT_TRUE(answer.has_value());
            loaded = *answer;
        });
        ASSERT_TRUE(waitFor([&] { return loaded != nullptr; }));
    }
    VisitPage page() { return *visitPage(*loaded, u"v-2026-02"_s, localDay(test::testNow())); }
    static const VisitSection& section(const VisitPage& page, const QString& table)
    {
        return *std::ranges::find(page.sections, table, &VisitSection::table);
    }
    static QString cell(const VisitSection& section, std::size_t row, const QString& field)
    {
        for (const VisitCell& c : section.rows[row])
            if (c.field == field)
                return c.screen;
        return u"(no such column)"_s;
    }
};

TEST_F(VisitPageTest, ShowsAllRawMillivoltsInWords)
{
    const VisitPage visit = page();
    EXPECT_TRUE(visit.title.startsWith(u"Visit of 23 Feb "_s)) << visit.title.toStdString();
    const VisitSection& readings = section(visit, u"readings"_s);
    ASSERT_EQ(readings.rows.size(), 6U);
    EXPECT_EQ(cell(readings, 0, u"phase"_s), u"as found"_s);
    EXPECT_EQ(cell(readings, 0, u"standard"_s), u"pH 7.00"_s);
    EXPECT_EQ(cell(readings, 0, u"mv"_s), u"−13"_s);
    EXPECT_EQ(cell(readings, 1, u"lot"_s), u"B10-0874"_s);
    EXPECT_EQ(cell(readings, 1, u"temp_degc"_s), u"19"_s);
    const VisitSection& did = section(visit, u"actions"_s);
    EXPECT_EQ(cell(did, 1, u"action"_s), u"clean with weak acid"_s);
    // What was not recorded in any row has no column.
    EXPECT_EQ(cell(readings, 0, u"why_missing"_s), u"(no such column)"_s);
}

TEST_F(VisitPageTest, FindsTheReadingOfAWorking)
{
    const VisitPage visit = page();
    const auto spot = visit.spotOf(u"as_left/ph10.01/1"_s);
    ASSERT_TRUE(spot.has_value());
    const VisitSection& readings = visit.sections[static_cast<std::size_t>(spot->section)];
    EXPECT_EQ(readings.rows[static_cast<std::size_t>(spot->row)][static_cast<std::size_t>(spot->column)].raw, u"-182"_s);
    EXPECT_FALSE(visit.spotOf(u"as_left/ph4.01/1"_s).has_value());
}

TEST_F(VisitPageTest, ACorrectionNeedsAReasonAPersonAndAChange)
{
    const VisitPage visit = page();
    const VisitSection& readings = section(visit, u"readings"_s);
    const auto& row = readings.rows[1];
    const VisitCell& mv = *std::ranges::find(row, u"mv"_s, &VisitCell::field);
    const auto ask = [&](const QString& typed, const QString& why, const QString& person) {
        return askCorrection(*loaded, visit.visit, readings, mv, typed, why, person, test::testNow());
    };
    EXPECT_TRUE(ask(u"-167"_s, QString(), u"T2"_s).refusal.startsWith(u"Why?"_s));
    EXPECT_TRUE(ask(u"-167"_s, u"misread"_s, QString()).refusal.startsWith(u"Who corrects this?"_s));
    EXPECT_TRUE(ask(u"-176"_s, u"misread"_s, u"T2"_s).refusal.contains(u"stands there now"_s));
    EXPECT_FALSE(ask(u"lots"_s, u"misread"_s, u"T2"_s).correction.has_value());
    EXPECT_FALSE(ask(u"lots"_s, u"misread"_s, u"T2"_s).refusal.isEmpty());
    const CorrectionAsk done = ask(u"−167"_s, u"misread"_s, u"T2"_s);
    ASSERT_TRUE(done.correction.has_value()) << done.refusal.toStdString();
    EXPECT_EQ(done.correction->old_value, "-176");
    EXPECT_EQ(done.correction->new_value, "-167");
    EXPECT_EQ(done.correction->row, 2);
    EXPECT_EQ(done.correction->field, "mv");
}

TEST_F(VisitPageTest, ReadsADecimalComma)
{
    EXPECT_EQ(cellText(u"+12.5"_s), u"12.5"_s);
    EXPECT_EQ(cellText(u"−12.5"_s), u"-12.5"_s);
    QLocale::setDefault(QLocale(QLocale::German));
    EXPECT_EQ(cellText(u"−12,5"_s), u"-12.5"_s);
    EXPECT_EQ(cellText(u"hard, white"_s), u"hard, white"_s);
    QLocale::setDefault(QLocale::c());
}

TEST_F(VisitPageTest, LabelsACellForReaders)
{
    const VisitPage visit = page();
    const VisitSection& readings = section(visit, u"readings"_s);
    const auto& row = readings.rows[1];
    const auto mv = std::ranges::find(row, u"mv"_s, &VisitCell::field) - row.begin();
    EXPECT_EQ(cellLabel(readings, 1, static_cast<int>(mv)), u"As found, pH 10.01, mV"_s);
}

}  // namespace
}  // namespace halfcell::app
