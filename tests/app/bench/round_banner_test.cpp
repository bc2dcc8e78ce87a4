#include "app/bench/readings_panel.h"
#include "db/book/book.h"
#include "tests/app/bench/bench_fixture.h"
#include "tests/app/bench/bench_window.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/records/wrong_bottle.h"

#include <QSettings>
#include <QTemporaryDir>
#include <QTest>

#include <gtest/gtest.h>

/// A round in which the bottle is wrong: it is questioned across the top of every later visit, before that sensor is even read.
namespace halfcell::app::bench {
namespace {

using namespace core;
using test::BenchWindow;
using test::kRoundSensors;
using test::roundSerial;
using test::roundVisit;

/// A book with that round; all but the last of its sensors were read this morning with `inTheBeaker`.
std::filesystem::path roundBook(const QTemporaryDir& folder, const char* inTheBeaker)
{
    QSettings().clear();
    const Instant now = test::testNow();
    const std::filesystem::path file = std::filesystem::path(folder.path().toStdString()) / "round.halfcell";
    const db::BookStamp stamp{.person = "T1", .now = now};
    auto book = db::Book::create(file, stamp);
    EXPECT_TRUE(book && book->add(test::roundShop(addDays(now, -200.0)), stamp));
    for (const double ago : {90.0, 60.0, 30.0})
        for (int i = 0; i < kRoundSensors; ++i)
            EXPECT_TRUE(book->recordVisit(roundVisit(i, addDays(now, -ago + 0.01 * i), Phase::AsLeft, "ph7.00"), stamp));
    for (int i = 0; i + 1 < kRoundSensors; ++i)
        EXPECT_TRUE(book->recordVisit(roundVisit(i, addDays(now, -0.06 + 0.01 * i), Phase::AsFound, inTheBeaker), stamp));
    EXPECT_TRUE(book->refreshLatest({}, now));
    return file;
}

void typeFound(BenchWindow& w, const char* inTheBeaker)
{
    const int last = kRoundSensors - 1;
    auto* panel = w.find<ReadingsPanel>("bench.readings.panel");
    ASSERT_NE(panel, nullptr);
    for (int tries = 0; tries < 20 && !w.focusName().startsWith(QStringLiteral("bench.found.1.mv")); ++tries)
        w.key(w.focusName().contains(QStringLiteral("coating")) ? Qt::Key_0 : Qt::Key_Return);
    ASSERT_TRUE(w.focusName().startsWith(QStringLiteral("bench.found.1.mv"))) << w.focusName().toStdString();
    w.type(QString::number(test::roundMv(last, inTheBeaker), 'f', 1).toLatin1().constData());
    w.key(Qt::Key_Return);
    w.type("21");
    w.key(Qt::Key_Return);
    w.type("120");
    w.key(Qt::Key_Return);
    w.type(QString::number(test::roundMv(last, "ph4.01"), 'f', 1).toLatin1().constData());
    w.key(Qt::Key_Return);
}

TEST(RoundBanner, AWrongBottleIsQuestionedBeforeTheNextSensorIsRead)
{
    QTemporaryDir folder;
    BenchWindow w(roundBook(folder, "ph6.86"));
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(roundSerial(kRoundSensors - 1).c_str()));
    auto* panel = w.find<ReadingsPanel>("bench.readings.panel");
    ASSERT_NE(panel, nullptr);
    EXPECT_TRUE(panel->commonText().startsWith(QStringLiteral("4 of 4 sensors of this round shifted together")))
        << panel->commonText().toStdString();
    EXPECT_TRUE(panel->commonText().contains(QStringLiteral("6.86"))) << panel->commonText().toStdString();
    EXPECT_TRUE(panel->commonText().contains(QStringLiteral("Question the bottle"))) << panel->commonText().toStdString();
    for (int i = 0; i + 1 < kRoundSensors; ++i)
        EXPECT_TRUE(panel->evidenceText().contains(QString::fromStdString(roundSerial(i)))) << panel->evidenceText().toStdString();
    typeFound(w, "ph6.86");
    ASSERT_TRUE(QTest::qWaitFor([&] { return panel->commonText().startsWith(QStringLiteral("5 of 5")); }))
        << panel->commonText().toStdString();
    EXPECT_TRUE(panel->commonText().contains(QStringLiteral("held back until the bottle is cleared"))) << panel->commonText().toStdString();
    EXPECT_EQ(w.presenter().live().verdict, Verdict::CheckStandards);
    EXPECT_TRUE(panel->isVisible());
}

TEST(RoundBanner, SaysNothingOfAGoodRound)
{
    QTemporaryDir folder;
    BenchWindow w(roundBook(folder, "ph7.00"));
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(roundSerial(kRoundSensors - 1).c_str()));
    typeFound(w, "ph7.00");
    auto* panel = w.find<ReadingsPanel>("bench.readings.panel");
    ASSERT_TRUE(QTest::qWaitFor([&] { return !w.presenter().live().findings.empty(); }));
    EXPECT_TRUE(panel->commonText().isEmpty()) << panel->commonText().toStdString();
    EXPECT_TRUE(panel->evidenceText().isEmpty());
    EXPECT_NE(w.presenter().live().verdict, Verdict::CheckStandards);
}

}  // namespace
}  // namespace halfcell::app::bench
