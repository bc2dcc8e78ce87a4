#include "app/bench/caution_box.h"
#include "app/bench/did_row.h"
#include "app/bench/entry_field.h"
#include "app/bench/phase_head.h"
#include "app/bench/readings_panel.h"
#include "db/book/book.h"
#include "tests/app/bench/bench_fixture.h"
#include "tests/app/bench/bench_window.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QLabel>
#include <QLineEdit>
#include <QSignalSpy>
#include <QTest>

#include <gtest/gtest.h>

namespace halfcell::app::bench {
namespace {

using namespace core;
using test::BenchWindow;

/// A whole visit of three phases of two dips, key by key.
void logVisit(BenchWindow& w)
{
    w.countFromHere();
    w.type("K7-0412");
    w.countFromHere();  // a scan is one key: its Enter
    w.key(Qt::Key_Return);
    ASSERT_TRUE(QTest::qWaitFor([&] { return w.presenter().hasVisit() && w.focusName() == QStringLiteral("bench.hold.manual"); }, 20000))
        << w.focusName().toStdString();
    w.key(Qt::Key_Space);
    for (const char* grab : {"9.24", "9.41", "31.5"}) {
        w.type(grab);
        w.key(Qt::Key_Enter);
    }
    w.type("2");
    w.type("h");
    const auto dips = [&w](const char* first, const char* temp, const char* second) {
        w.wait(90);
        w.type(first);
        w.key(Qt::Key_Enter);
        w.type(temp);
        w.key(Qt::Key_Enter);
        w.wait(90);
        w.type(second);
        w.key(Qt::Key_Enter);
    };
    dips("-13", "19.0", "-176");
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.did.steps"));
    w.type("d");
    w.type("a");
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.caution.box"));
    QTest::qWait(CautionBox::kGuardMs + 50);
    w.type("y");
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.did.steps"));
    w.key(Qt::Key_Enter);
    dips("-10", "19.0", "-181");
    w.type("u");
    dips("-10", "19.2", "-181");
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.closing.auto"));
    w.key(Qt::Key_Space);
    w.key(Qt::Key_Enter);
    QSignalSpy logged(&w.presenter(), &BenchPresenter::visitLogged);
    w.key(Qt::Key_Enter, Qt::ControlModifier);
    ASSERT_TRUE(QTest::qWaitFor([&] { return logged.count() > 0; }, 20000)) << w.presenter().said().toStdString();
}

TEST(FullVisit, ByKeyboardTakesNoMoreThanTwentyFiveKeysBeyondTheDigits)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    logVisit(w);
    EXPECT_EQ(w.counted(), 23);
    EXPECT_LE(w.counted(), 25);
    w.settle();

    auto book = db::Book::open(w.file(), db::OpenMode::ReadOnly);
    ASSERT_TRUE(book);
    const auto records = book->loadSensorRecords(test::kSerial);
    ASSERT_TRUE(records);
    ASSERT_EQ(records->visits.size(), 2U);
    const Visit& visit = records->visits.back();
    EXPECT_EQ(visit.person, "T1");
    ASSERT_EQ(visit.readings.size(), 6U);
    EXPECT_EQ(visit.readings[0].lot, "B7-2231");
    EXPECT_EQ(visit.readings[0].meter, "H3");
    EXPECT_DOUBLE_EQ(*visit.readings[1].mv, -176.0);
    EXPECT_EQ(visit.readings[1].temp_source, TemperatureSource::Carried);
    EXPECT_EQ(visit.readings[5].phase, Phase::AsLeft);
    ASSERT_EQ(visit.actions.size(), 3U);
    EXPECT_EQ(visit.actions[2].action, ActionKey::Adjust);
    ASSERT_EQ(records->holds.size(), 1U);
    EXPECT_EQ(records->holds[0].point, test::kTag);
    EXPECT_TRUE(records->holds[0].to);
    EXPECT_EQ(records->holds[0].closed_how, HoldClosed::Auto);
    const auto drafts = book->drafts();
    ASSERT_TRUE(drafts);
    EXPECT_TRUE(drafts->empty());
}

TEST(FullVisit, TheHoldIsWrittenWhenItIsStamped)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    w.key(Qt::Key_Space);
    w.settle();
    const auto holds = w.shop().openHolds();
    ASSERT_EQ(holds.size(), 1U);
    EXPECT_EQ(holds[0].point, test::kTag);
}

void readAsFound(BenchWindow& w, const char* first, const char* temp, const char* second)
{
    w.key(Qt::Key_Space);
    for (int i = 0; i < 3; ++i)
        w.key(Qt::Key_Enter);
    w.type("0");
    w.wait(120);
    w.type(first);
    w.key(Qt::Key_Enter);
    w.type(temp);
    w.key(Qt::Key_Enter);
    w.wait(120);
    w.type(second);
}

TEST(FullVisit, FiguresFollowEveryDigit)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    readAsFound(w, "-13", "19.0", "-176");  // not taken yet
    auto* head = w.find<PhaseHead>("bench.found.head");
    ASSERT_NE(head, nullptr);
    EXPECT_TRUE(head->figuresText().contains(QStringLiteral("92.1"))) << head->figuresText().toStdString();
    EXPECT_TRUE(head->figuresText().contains(QStringLiteral("\u221211.9"))) << head->figuresText().toStdString();
    w.key(Qt::Key_Backspace);
    w.type("7");
    EXPECT_FALSE(head->figuresText().contains(QStringLiteral("92.1")));
    auto* panel = w.find<ReadingsPanel>("bench.readings.panel");
    ASSERT_NE(panel, nullptr);
    EXPECT_TRUE(QTest::qWaitFor([&] { return !panel->findingsText().isEmpty(); }, 5000));
    EXPECT_TRUE(panel->fitnessText().contains(QStringLiteral("tolerance"))) << panel->fitnessText().toStdString();
}

// A sheet with values on the way: each with Space and its seconds, the last with Enter; the response comes from them.
TEST(FullVisit, ASettleSeriesIsTypedFromASheet)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    w.type("0805");
    w.key(Qt::Key_Return);
    for (int i = 0; i < 3; ++i)
        w.key(Qt::Key_Enter);
    w.type("0");
    const std::pair<const char*, const char*> way[] = {{"-90", "10"}, {"-60", "20"}, {"-40", "30"}, {"-27", "40"}};
    for (const auto& [mv, seconds] : way) {
        w.type(mv);
        w.key(Qt::Key_Space);
        ASSERT_EQ(w.focusName(), QStringLiteral("bench.found.1.wait"));
        w.type(seconds);
        w.key(Qt::Key_Enter);
        ASSERT_EQ(w.focusName(), QStringLiteral("bench.found.1.mv"));
        EXPECT_TRUE(w.presenter().said().contains(QStringLiteral("noted"))) << w.presenter().said().toStdString();
    }
    w.type("-13");
    w.key(Qt::Key_Enter);
    w.type("19.0");
    w.key(Qt::Key_Enter);
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.found.1.wait"));
    w.type("120");
    w.key(Qt::Key_Enter);
    const auto& readings = w.presenter().live().visit.readings;
    ASSERT_FALSE(readings.empty());
    ASSERT_EQ(readings[0].settle.size(), 5U);
    EXPECT_EQ(readings[0].settle.back().seconds, 120.0);
    EXPECT_EQ(readings[0].wait_s.value, 120.0);
    ASSERT_TRUE(readings[0].t90_s.value);
    EXPECT_GT(*readings[0].t90_s, 20.0);
    EXPECT_LT(*readings[0].t90_s, 100.0);
}

TEST(FullVisit, TheDecimalCommaGivesTheSameFigures)
{
    QLocale::setDefault(QLocale(QLocale::German, QLocale::Germany));
    {
        BenchWindow w;
        ASSERT_TRUE(w.ready());
        ASSERT_TRUE(w.open(test::kSerial));
        readAsFound(w, "-13", "19,0", "-176");
        auto* head = w.find<PhaseHead>("bench.found.head");
        EXPECT_TRUE(head->figuresText().contains(QStringLiteral("92,1"))) << head->figuresText().toStdString();
        EXPECT_TRUE(head->figuresText().contains(QStringLiteral("\u221211,9")));
        EXPECT_EQ(w.find<EntryField>("bench.found.1.temp")->text(), QStringLiteral("19,0"));
        EXPECT_DOUBLE_EQ(*w.presenter().live().visit.readings[0].temp_degc, 19.0);
    }
    QLocale::setDefault(QLocale::c());
}

TEST(FullVisit, AForbiddenLetterSaysWhyInItsRow)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    readAsFound(w, "-13", "19.0", "-176");
    w.key(Qt::Key_Enter);
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.did.steps"));
    w.type("f");
    auto* note = w.find<QLabel>("bench.did.note");
    ASSERT_NE(note, nullptr);
    EXPECT_TRUE(note->isVisible());
    EXPECT_TRUE(note->text().contains(QStringLiteral("nothing to refill"))) << note->text().toStdString();
    EXPECT_TRUE(w.presenter().model().draft().steps.empty());
}

TEST(FullVisit, TheCautionBoxTakesNoKeyInItsFirstMomentAndOnlyYOrN)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    readAsFound(w, "-13", "19.0", "-176");
    w.key(Qt::Key_Enter);
    w.type("ay");  // typed ahead: the Y comes too early
    auto* box = w.find<CautionBox>("bench.caution.box");
    ASSERT_TRUE(box->isVisible());
    EXPECT_TRUE(w.presenter().model().box());
    QTest::qWait(CautionBox::kGuardMs + 50);
    w.key(Qt::Key_Enter);
    w.type("5");
    w.key(Qt::Key_Tab);
    EXPECT_TRUE(w.presenter().model().box());
    EXPECT_EQ(w.focusName(), QStringLiteral("bench.caution.box"));
    w.type("n");
    EXPECT_FALSE(w.presenter().model().box());
    EXPECT_FALSE(box->isVisible());
    EXPECT_EQ(w.focusName(), QStringLiteral("bench.did.steps"));
    EXPECT_TRUE(w.presenter().model().draft().steps.empty());
}

TEST(FullVisit, NobodyLogsWithoutAsFoundUnlessAReasonIsGiven)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    w.key(Qt::Key_Space);
    QSignalSpy logged(&w.presenter(), &BenchPresenter::visitLogged);
    w.key(Qt::Key_Enter, Qt::ControlModifier);
    w.settle();
    EXPECT_EQ(logged.count(), 0);
    EXPECT_EQ(w.focusName(), QStringLiteral("bench.found.1.mv"));
    EXPECT_TRUE(w.presenter().said().contains(QStringLiteral("Why none")));
    w.type("w");
    w.key(Qt::Key_Enter, Qt::ControlModifier);
    EXPECT_TRUE(QTest::qWaitFor([&] { return logged.count() == 1; }, 20000)) << w.presenter().said().toStdString();
}

TEST(FullVisit, TheDraftIsThereInASecondProgram)
{
    std::filesystem::path file;
    QTemporaryDir kept;
    {
        BenchWindow w;
        ASSERT_TRUE(w.ready());
        ASSERT_TRUE(w.open(test::kSerial));
        readAsFound(w, "-13", "19.0", "-176");
        w.key(Qt::Key_Enter);
        w.type("d");
        w.key(Qt::Key_Enter);
        w.wait(100);
        w.type("-10");
        w.key(Qt::Key_Enter);  // the third dip
        w.settle();
        // The book as it lies on the disk, as a second program would find it after a kill.
        file = std::filesystem::path(kept.path().toStdString()) / "killed.halfcell";
        for (const char* tail : {"", "-wal", "-shm"}) {
            const std::filesystem::path from = w.file().string() + tail;
            if (std::filesystem::exists(from))
                std::filesystem::copy_file(from, file.string() + tail);
        }
    }
    BenchWindow again(file);
    ASSERT_TRUE(again.ready());
    const auto drafts = again.presenter().drafts();
    ASSERT_EQ(drafts.size(), 1U);
    EXPECT_TRUE(drafts[0].text.startsWith(QStringLiteral("An unfinished visit to AE-3107 was kept at"))) << drafts[0].text.toStdString();
    auto* go = again.find<QAbstractButton>("bench.draft.1.go");
    ASSERT_NE(go, nullptr);
    go->click();
    ASSERT_TRUE(QTest::qWaitFor([&] { return again.presenter().hasVisit(); }, 20000)) << again.presenter().said().toStdString();
    const VisitDraft& draft = again.presenter().model().draft();
    EXPECT_EQ(draft.found.dips[0].mv.text, "-13");
    EXPECT_EQ(draft.found.dips[1].mv.text, "-176");
    EXPECT_EQ(draft.clean.dips[0].mv.text, "-10");
    EXPECT_EQ(again.presenter().model().stop(), (Stop{StopKind::Temp, Phase::AfterClean, 0}));
    // The hold is still open and belongs to this visit.
    EXPECT_EQ(again.shop().openHolds().size(), 1U);
}

TEST(FullVisit, OrpShowsOffsetAndSpanAndNoWordOfEfficiency)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kOrpSerial));
    w.type("n");
    for (int i = 0; i < 4; ++i)
        w.key(Qt::Key_Enter);
    w.type("0");
    w.wait(120);
    w.type("+55");
    w.key(Qt::Key_Enter);
    w.type("21.0");
    w.key(Qt::Key_Enter);
    w.wait(120);
    w.type("+228");
    w.key(Qt::Key_Enter);
    auto* head = w.find<PhaseHead>("bench.found.head");
    ASSERT_NE(head, nullptr);
    EXPECT_TRUE(head->figuresText().contains(QStringLiteral("\u221227"))) << head->figuresText().toStdString();
    EXPECT_TRUE(head->figuresText().contains(QStringLiteral("98"))) << head->figuresText().toStdString();
    QTest::qWait(60);
    const auto labels = w.desk().findChildren<QLabel*>();
    for (const QLabel* label : labels)
        EXPECT_FALSE(label->text().contains(QStringLiteral("fficiency"))) << label->text().toStdString();
    EXPECT_EQ(w.find<QWidget>("bench.readings.slope"), nullptr);
    EXPECT_NE(w.find<QWidget>("bench.readings.gauge"), nullptr);
}

TEST(FullVisit, AScanOfAnotherSensorAsksAndALotBecomesTheBottle)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    readAsFound(w, "-13", "19.0", "");
    w.presenter().scan(QStringLiteral("B10-0850"));
    EXPECT_EQ(w.presenter().model().draft().found.dips[1].lot, "B10-0850");
    EXPECT_EQ(w.presenter().model().draft().found.dips[0].lot, "B7-2231");
    w.presenter().scan(QString::fromLatin1(test::kPlainSerial));
    EXPECT_TRUE(w.presenter().said().contains(QStringLiteral("1 go on")));
    w.type("1");
    EXPECT_EQ(w.presenter().model().draft().serial, test::kSerial);
    EXPECT_EQ(w.presenter().model().typed(w.presenter().model().stop()), "");
    w.presenter().scan(QString::fromLatin1(test::kPlainSerial));
    w.type("2");
    EXPECT_TRUE(
        QTest::qWaitFor([&] { return w.presenter().hasVisit() && w.presenter().model().draft().serial == test::kPlainSerial; }, 20000));
    EXPECT_EQ(w.presenter().drafts().size(), 1U);
}

TEST(FullVisit, WhatAScannerTypedIsTakenOutAgain)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    readAsFound(w, "-13", "19.0", "-176");
    w.key(Qt::Key_Enter);
    ASSERT_EQ(w.focusName(), QStringLiteral("bench.did.steps"));
    const QVariant before = w.desk().stateBeforeScan();
    w.type("d72");  // a burst that turns out to be a scan
    ASSERT_EQ(w.presenter().model().draft().steps.size(), 1U);
    w.desk().restoreAfterScan(before);
    EXPECT_TRUE(w.presenter().model().draft().steps.empty());
}

TEST(FullVisit, EveryFieldHasANameForReadersAndTests)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    EXPECT_EQ(test::namelessFocusables(&w.desk()), QStringList());
    ASSERT_TRUE(w.open(test::kSerial));
    EXPECT_EQ(test::namelessFocusables(&w.desk()), QStringList());
    EXPECT_EQ(test::unnamedObjects(&w.desk()), QStringList());
    EXPECT_EQ(w.find<EntryField>("bench.found.2.mv")->accessibleName(), QStringLiteral("As found, pH 10.01, millivolts"));
}

}  // namespace
}  // namespace halfcell::app::bench
