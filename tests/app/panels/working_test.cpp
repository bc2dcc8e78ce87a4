#include "app/panels/working_panel.h"
#include "app/style/theme.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QClipboard>
#include <QSignalSpy>
#include <QTest>
#include <QTextBrowser>

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;

WorkingPage efficiencyPage()
{
    WorkingPage page;
    page.figure = u"efficiency_pct"_s;
    page.title = u"Efficiency, as found, 2 Mar 2026: 92.1 ±2.0 %"_s;
    page.stamp = u"engine 1.0, rules default@1"_s;
    page.visit = u"v-1"_s;
    core::WorkingStep slope{.step = "slope of an ideal sensor at 19 degC",
                            .formula = "k = ln 10 * R * T / F",
                            .inputs = {{.name = "T", .value = 292.15, .unit = "K", .text = {}, .readingRef = {}}},
                            .result = 57.96872,
                            .unit = "mV/pH",
                            .text = {},
                            .source = "CODATA 2018",
                            .sourceClass = core::SourceClass::Law};
    core::WorkingStep line{.step = "efficiency",
                           .formula = "100 * (E1 - E2) / (x2 - x1)",
                           .inputs = {{.name = "E1", .value = -13.0, .unit = "mV", .text = "ph7.00", .readingRef = "as_found/ph7.00/1"},
                                      {.name = "E2", .value = -176.0, .unit = "mV", .text = "ph10.01", .readingRef = "as_found/ph10.01/1"}},
                           .result = 92.1034871,
                           .unit = "%",
                           .text = {},
                           .source = "raw readings",
                           .sourceClass = core::SourceClass::Record};
    page.steps = {slope, line};
    return page;
}

TEST(WorkingPage, RoundsForShowAndKeepsAllDigits)
{
    EXPECT_EQ(workingNumber(57.96872, false), u"57.969"_s);
    EXPECT_EQ(workingNumber(57.96872, true), u"57.96872"_s);
    EXPECT_EQ(workingNumber(-13.0, false), u"−13"_s);
}

TEST(WorkingPage, CopiesAsPlainTextThatACalculatorReads)
{
    const QString text = plainWorking(efficiencyPage(), false);
    EXPECT_TRUE(text.contains(u"E1 = -13 mV, pH 7.00"_s)) << text.toStdString();
    EXPECT_TRUE(text.contains(u"100 * (E1 - E2) / (x2 - x1)"_s)) << text.toStdString();
    EXPECT_TRUE(text.contains(u"= 92.103 %"_s)) << text.toStdString();
    EXPECT_TRUE(text.contains(u"CODATA 2018"_s));
    EXPECT_FALSE(text.contains(QChar(0x2212)));
    EXPECT_FALSE(text.contains(u"ph7.00"_s)) << "a key of files reached the screen";
}

TEST(WorkingPage, NamesTheClassOfEverySource)
{
    const WorkingPage page = efficiencyPage();
    EXPECT_TRUE(sourceWords(page.steps[0]).startsWith(u"CODATA 2018 ("_s)) << sourceWords(page.steps[0]).toStdString();
}

TEST(WorkingPage, ShowsBothWorkingsAfterACorrection)
{
    WorkingPage page = efficiencyPage();
    page.earlier = page.steps;
    page.earlier[1].result = 87.0;
    page.earlierTitle = u"As first written: 87.0 %"_s;
    const QString text = plainWorking(page, false);
    EXPECT_TRUE(text.contains(u"As first written: 87.0 %"_s));
    EXPECT_TRUE(text.contains(u"= 87 %"_s));
    EXPECT_TRUE(text.contains(u"= 92.103 %"_s));
}

class WorkingPanelTest : public ::testing::Test {
protected:
    Theme theme{*qApp};
    WorkingPanel panel;

    void SetUp() override
    {
        theme.setChoice(ThemeChoice::Light);
        panel.resize(480, 600);
        panel.show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(&panel));
    }
    QTextBrowser* text() { return panel.findChild<QTextBrowser*>(u"working.steps.text"_s); }
};

TEST_F(WorkingPanelTest, RefusesAFigureWithoutWorking)
{
    EXPECT_FALSE(panel.setPage(WorkingPage{.figure = u"efficiency_pct"_s, .title = u"Efficiency"_s}));
    EXPECT_TRUE(panel.setPage(WorkingPage{.figure = u"efficiency_pct"_s, .missing = u"No millivolts were recorded."_s}));
    EXPECT_TRUE(text()->toPlainText().contains(u"No millivolts were recorded."_s));
}

TEST_F(WorkingPanelTest, SpaceShowsFullDigits)
{
    ASSERT_TRUE(panel.setPage(efficiencyPage()));
    EXPECT_TRUE(text()->toPlainText().contains(u"92.103 %"_s)) << text()->toPlainText().toStdString();
    QTest::keyClick(text(), Qt::Key_Space);
    EXPECT_TRUE(panel.fullDigits());
    EXPECT_TRUE(text()->toPlainText().contains(u"92.1034871"_s));
    QTest::keyClick(text(), Qt::Key_Space);
    EXPECT_FALSE(panel.fullDigits());
}

TEST_F(WorkingPanelTest, EnterOnAReadingJumpsToIt)
{
    ASSERT_TRUE(panel.setPage(efficiencyPage()));
    QSignalSpy asked(&panel, &WorkingPanel::readingAsked);
    QTest::keyClick(text(), Qt::Key_Tab);
    QTest::keyClick(text(), Qt::Key_Return);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked.first().at(0).toString(), u"v-1"_s);
    EXPECT_EQ(asked.first().at(1).toString(), u"as_found/ph7.00/1"_s);
}

TEST_F(WorkingPanelTest, CopiesAllOfItWhenNothingIsMarked)
{
    ASSERT_TRUE(panel.setPage(efficiencyPage()));
    QTest::keyClick(text(), Qt::Key_C, Qt::ControlModifier);
    EXPECT_EQ(QApplication::clipboard()->text(), panel.plainText());
}

TEST_F(WorkingPanelTest, HasNamesForReadersAndNoHue)
{
    ASSERT_TRUE(panel.setPage(efficiencyPage()));
    EXPECT_TRUE(test::namelessFocusables(&panel).isEmpty()) << test::namelessFocusables(&panel).join(u", "_s).toStdString();
    const QImage image = test::picture(panel, 480, 600);
    test::keepPicture(image, u"working.png"_s);
    EXPECT_LE(test::strongestHue(image).spread, 16);
}

}  // namespace
}  // namespace halfcell::app
