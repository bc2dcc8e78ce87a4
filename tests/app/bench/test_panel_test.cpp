#include "app/bench/test_panel.h"

#include "tests/app/bench/bench_fixture.h"
#include "tests/app/bench/bench_window.h"
#include "tests/support/qt/widgets.h"

#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QTest>

#include <gtest/gtest.h>

#include <algorithm>

/// F3: tests by hand on the Bench, guided step by step, by keyboard alone.
namespace halfcell::app::bench {
namespace {

using test::BenchWindow;
using test::Hand;

class Tests : public ::testing::Test {
protected:
    void SetUp() override
    {
        ASSERT_TRUE(w.ready());
        ASSERT_TRUE(w.open(test::kSerial));
        w.key(Qt::Key_F3);
        w.settle();
    }
    [[nodiscard]] QString words(const char* row, const char* part)
    {
        auto* label = w.find<QLabel>((std::string("bench.test.row.") + row + part).c_str());
        return label && label->isVisible() ? label->text() : QString();
    }
    void go(const char* field)
    {
        for (int tries = 0; tries < 20 && w.focusName() != QLatin1String("bench.test.") + QLatin1String(field); ++tries)
            w.key(Qt::Key_Return);
        ASSERT_EQ(w.focusName().toStdString(), std::string("bench.test.") + field);
        w.settle();
    }
    BenchWindow w;
};

TEST_F(Tests, TheOneWithTheFocusShowsItsGuideCautionsFirst)
{
    go("dilution_ph");
    const QString guide = words("dilution", ".guide");
    const auto caution = guide.indexOf(QStringLiteral("Only pH 6.86 is known for this"));
    const auto step = guide.indexOf(QStringLiteral("45 mL of pure water"), guide.indexOf(QStringLiteral("<ol")));
    EXPECT_GE(caution, 0) << guide.toStdString();
    EXPECT_GT(step, caution) << guide.toStdString();
    EXPECT_GT(guide.indexOf(QStringLiteral("a clogged junction")), step);
    int open = 0;
    for (QLabel* label : w.desk().findChildren<QLabel*>())
        open += label->objectName().endsWith(QStringLiteral(".guide")) && label->isVisible();
    EXPECT_EQ(open, 1) << "one guide at a time";
    auto* field = w.find<QLineEdit>("bench.test.dilution_ph");
    EXPECT_TRUE(field->accessibleDescription().contains(QStringLiteral("stir gently"))) << "the steps are read out with the field";
}

TEST_F(Tests, AResultIsWrittenDownAndSaysWhichWayItCameOut)
{
    go("dilution_ph");
    EXPECT_TRUE(words("dilution", ".outcome").isEmpty());
    w.type("7.25");
    EXPECT_TRUE(words("dilution", ".outcome").contains(QStringLiteral("clogged junction"))) << words("dilution", ".outcome").toStdString();
    EXPECT_EQ(w.presenter().model().draft().tests.at("dilution_ph"), "7.25");
    for (int i = 0; i < 4; ++i)
        w.key(Qt::Key_Backspace);
    w.type("7.05");
    EXPECT_TRUE(words("dilution", ".outcome").contains(QStringLiteral("lets the reference through")));
    w.key(Qt::Key_Escape);
    EXPECT_FALSE(w.find<QWidget>("bench.test.panel")->isVisible());
    EXPECT_EQ(w.presenter().live().visit.checks.at(0).dilution_ph.value, 7.05) << "a reading of the visit";
}

TEST_F(Tests, AnAnswerIsChosenByKey)
{
    go("short_open");
    w.key(Qt::Key_Down);
    auto* choice = w.find<QComboBox>("bench.test.short_open");
    EXPECT_EQ(choice->currentData().toString().toStdString(), "same");
    EXPECT_TRUE(words("short_open", ".outcome").contains(QStringLiteral("look at the sensor")))
        << words("short_open", ".outcome").toStdString();
}

TEST_F(Tests, GlassAsksForItsTemperatureAndAFirstValue)
{
    go("glass_mohm");
    w.type("180");
    EXPECT_TRUE(words("glass_resistance", ".outcome").contains(QStringLiteral("Without the temperature")));
    go("glass_temp_degc");
    w.type("19");
    EXPECT_TRUE(words("glass_resistance", ".outcome").contains(QStringLiteral("this becomes its first")));
    EXPECT_EQ(w.presenter().model().draft().tests.at("glass_temp_degc"), "19");
}

TEST_F(Tests, MillivoltsByHandAreWrittenAsDips)
{
    go("hand_millivolt");
    const QString guide = words("hand_millivolt", ".guide");
    EXPECT_TRUE(guide.contains(QStringLiteral("An ordinary multimeter loads the glass"))) << guide.toStdString();
    EXPECT_TRUE(guide.contains(QStringLiteral("Measuring lead")));
    w.key(Qt::Key_Return);
    EXPECT_EQ(w.focusName(), QStringLiteral("bench.test.cable")) << "nothing is typed here: on to the next";
    w.key(Qt::Key_Return);
    EXPECT_FALSE(w.find<QWidget>("bench.test.panel")->isVisible()) << "after the last of them back to the dips";
}

TEST_F(Tests, TheRowInHandStaysInSightWithItsGuide)
{
    const auto rows = testsFor(w.presenter().model().hand());
    ASSERT_GT(rows.size(), 8U);
    auto* ladder = w.find<QWidget>("bench.test.panel")->parentWidget()->parentWidget();
    for (const BenchTest& t : rows) {
        go(t.columns.empty() ? "hand_millivolt" : std::string(t.columns.front().column).c_str());
        ASSERT_TRUE(QTest::qWaitFor([&] {
            auto* row = w.find<QWidget>(("bench.test.row." + t.guide.key).c_str());
            return row->mapTo(ladder, QPoint(0, 0)).y() >= 0 && row->mapTo(ladder, QPoint(0, row->height())).y() <= ladder->height();
        })) << t.guide.key;
    }
}

TEST(TestsFor, OnlyWhatTheDesignAllowsCheapestFirst)
{
    const Hand glass;
    const auto tests = testsFor(*glass.get());
    EXPECT_TRUE(std::ranges::is_sorted(tests, {}, [](const BenchTest& t) { return t.guide.minutes; }));
    const auto has = [](const std::vector<BenchTest>& in, const char* key) {
        return std::ranges::any_of(in, [&](const BenchTest& t) { return t.guide.key == key; });
    };
    EXPECT_TRUE(has(tests, "glass_resistance") && has(tests, "dilution") && has(tests, "hand_millivolt"));
    const Hand metal(test::kOrpSerial);
    const auto orp = testsFor(*metal.get());
    EXPECT_FALSE(has(orp, "glass_resistance")) << "a metal electrode has no glass";
    EXPECT_FALSE(has(orp, "dilution") || has(orp, "stir"));
    EXPECT_TRUE(has(orp, "hysteresis")) << "the standard read again after another one tells a filmed metal";
}

}  // namespace
}  // namespace halfcell::app::bench
