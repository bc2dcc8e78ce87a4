#include "db/book/book.h"
#include "tests/app/bench/bench_fixture.h"
#include "tests/app/bench/bench_window.h"

#include <QSignalSpy>
#include <QTest>

#include <gtest/gtest.h>

#include <algorithm>

/// Another sensor hangs at the point than the book says, and a sensor that goes back outside its limit.
namespace halfcell::app::bench {
namespace {

using namespace core;
using test::BenchWindow;

bool says(BenchWindow& w, const char* words)
{
    return w.presenter().said().contains(QString::fromUtf8(words));
}

std::optional<Placement> openPlacement(const db::Book& book, const std::string& serial)
{
    const auto records = book.loadReference();
    if (!records)
        return std::nullopt;
    const auto at = std::ranges::find_if(records->placements, [&](const Placement& p) { return p.serial == serial && !p.to; });
    return at == records->placements.end() ? std::nullopt : std::optional(*at);
}

TEST(OtherSensor, ASpareScannedAtTheTagIsWrittenDownAsSwappedNow)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kTag));
    w.presenter().scan(QString::fromLatin1(test::kSpare));
    EXPECT_TRUE(says(w, "K7-0470 is in hand; the book has it on the shelf, and K7-0412 here")) << w.presenter().said().toStdString();
    EXPECT_FALSE(says(w, "I stand at"));
    w.type("2");
    EXPECT_TRUE(says(w, "Where is K7-0412 now?"));
    w.type("2");
    ASSERT_TRUE(QTest::qWaitFor([&] { return w.presenter().hasVisit() && w.presenter().model().draft().serial == test::kSpare; }, 20000))
        << w.presenter().said().toStdString();
    EXPECT_EQ(w.presenter().model().draft().tag, test::kTag);
    EXPECT_EQ(w.presenter().model().draft().serialSeen, SerialSeen::Scanned);
    EXPECT_NE(w.presenter().model().draft().remark.find("swapped with K7-0412"), std::string::npos);
    w.settle();
    const auto book = db::Book::open(w.file(), db::OpenMode::ReadOnly);
    ASSERT_TRUE(book);
    EXPECT_EQ(openPlacement(*book, test::kSpare).value_or(Placement{}).place, test::kTag);
    EXPECT_EQ(openPlacement(*book, test::kSerial).value_or(Placement{}).place, kBench);
    EXPECT_FALSE(openPlacement(*book, test::kSpare)->from_latest);
    EXPECT_TRUE(book->verify()->ok);
}

TEST(OtherSensor, WhatTheCableSaysTwiceIsBelievedAndTheUnknownDayIsKept)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kTag));
    w.type("00");
    w.key(Qt::Key_Return);
    EXPECT_TRUE(says(w, "The cable says 00; the book has K7-0412 here")) << w.presenter().said().toStdString();
    w.key(Qt::Key_Return);
    EXPECT_TRUE(says(w, "K7-0500 is in hand; the book has it at AE-5001, and K7-0412 here. 1 I stand at AE-5001"))
        << w.presenter().said().toStdString();
    w.type("3");
    w.type("1");
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return w.presenter().hasVisit() && w.presenter().model().draft().serial == test::kPlainSerial; }, 20000))
        << w.presenter().said().toStdString();
    EXPECT_NE(w.presenter().model().draft().remark.find("found in place of K7-0412, day not known"), std::string::npos);
    w.settle();
    const auto book = db::Book::open(w.file(), db::OpenMode::ReadOnly);
    ASSERT_TRUE(book);
    const auto here = openPlacement(*book, test::kPlainSerial);
    const auto there = openPlacement(*book, test::kSerial);
    ASSERT_TRUE(here && there);
    EXPECT_EQ(here->place, test::kTag);
    EXPECT_EQ(there->place, "AE-5001");
    // Seen last on 16 February at 09:20 (the visit to K7-0412).
    EXPECT_EQ(formatDate(here->from), "2026-02-16");
    ASSERT_TRUE(here->from_latest);
    EXPECT_EQ(here->from_latest->utcSeconds, test::testNow().utcSeconds);
}

TEST(OtherSensor, StandingAtTheOtherPointOpensItsVisitAndMisreadAsksAgain)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kTag));
    w.presenter().scan(QString::fromLatin1(test::kPlainSerial));
    w.type("4");
    EXPECT_TRUE(w.presenter().model().draft().serialTyped.empty());
    EXPECT_EQ(w.presenter().model().stop(), Stop{StopKind::Serial});
    // Any other key goes on typing.
    w.presenter().scan(QString::fromLatin1(test::kPlainSerial));
    w.type("7");
    EXPECT_FALSE(w.presenter().asksByDigit());
    w.key(Qt::Key_Backspace);
    w.presenter().scan(QString::fromLatin1(test::kPlainSerial));
    w.type("1");
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return w.presenter().hasVisit() && w.presenter().model().draft().serial == test::kPlainSerial; }, 20000));
    EXPECT_EQ(w.presenter().model().draft().tag, "AE-5001");
    w.settle();
    const auto book = db::Book::open(w.file(), db::OpenMode::ReadOnly);
    ASSERT_TRUE(book);
    EXPECT_EQ(openPlacement(*book, test::kSerial).value_or(Placement{}).place, test::kTag) << "nothing was moved";
}

TEST(OtherSensor, WhereReadingsWereTakenTheNextScanIsTheNextSensor)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    w.presenter().scan(QString::fromLatin1(test::kSpare));
    EXPECT_TRUE(says(w, "1 go on")) << w.presenter().said().toStdString();
    w.type("1");
    EXPECT_EQ(w.presenter().model().draft().serial, test::kSerial);
}

// Written on a sheet of the night in which the clocks went back.
TEST(TwiceTheSameHour, IsAskedAndTheAnswerIsKept)
{
    qputenv("TZ", "Europe/Berlin");
    {
        BenchWindow w;
        ASSERT_TRUE(w.ready());
        const auto autumn = parseInstant("2026-10-25T08:30:00+01:00").value();
        w.wait(static_cast<double>(autumn.utcSeconds - w.presenter().now().utcSeconds));
        ASSERT_TRUE(w.open(test::kSerial));
        w.type("0230");
        w.key(Qt::Key_Return);
        EXPECT_TRUE(says(w, "twice that night. 1 before they went back (+02:00) · 2 after (+01:00)")) << w.presenter().said().toStdString();
        EXPECT_EQ(w.focusName(), QStringLiteral("bench.hold.manual"));
        w.type("1");
        ASSERT_TRUE(w.presenter().model().draft().manualFrom);
        EXPECT_EQ(formatInstant(*w.presenter().model().draft().manualFrom), "2026-10-25T02:30:00+02:00");
        EXPECT_EQ(w.presenter().model().stop(), Stop{StopKind::Loop});
    }
    qunsetenv("TZ");
}

/// A visit that ends with the efficiency given by the second millivolts; at its end Ctrl+Enter was pressed.
void visitUpToItsLog(BenchWindow& w, const char* second)
{
    w.key(Qt::Key_Space);
    for (int i = 0; i < 3; ++i)
        w.key(Qt::Key_Enter);
    w.type("0");
    w.wait(120);
    w.type("-13");
    w.key(Qt::Key_Enter);
    w.type("19.0");
    w.key(Qt::Key_Enter);
    w.wait(120);
    w.type(second);
    w.key(Qt::Key_Enter);
    while (w.presenter().model().asked()) {
        w.type("k");
        w.type("r");
    }
    w.key(Qt::Key_Enter);
    w.type("=");
    w.key(Qt::Key_Space);
    w.key(Qt::Key_Enter, Qt::ControlModifier);
}

TEST(ReturnOutsideItsLimit, SomebodyElseApprovesItByNameOrNobodyWasReached)
{
    for (const bool nobody : {false, true}) {
        BenchWindow w;
        ASSERT_TRUE(w.ready());
        ASSERT_TRUE(w.open(test::kSerial));
        QSignalSpy logged(&w.presenter(), &BenchPresenter::visitLogged);
        visitUpToItsLog(w, "-145");
        EXPECT_TRUE(says(w, "goes back to AE-3107 (control loop), outside its limit of 80 %")) << w.presenter().said().toStdString();
        EXPECT_EQ(w.focusName(), QStringLiteral("bench.closing.approve"));
        w.key(Qt::Key_Enter);
        EXPECT_TRUE(says(w, "Who approves?"));
        if (const QString folder = qEnvironmentVariable("HALFCELL_PICTURES"); !folder.isEmpty())
            w.desk().grab().save(folder + QStringLiteral("/approval.png"));
        w.type("t1");
        w.key(Qt::Key_Enter);
        EXPECT_TRUE(says(w, "Somebody else approves it")) << w.presenter().said().toStdString();
        w.key(Qt::Key_Backspace);
        w.key(Qt::Key_Backspace);
        EXPECT_EQ(logged.count(), 0);
        w.type(nobody ? "o" : "p1");
        w.key(Qt::Key_Enter, nobody ? Qt::NoModifier : Qt::ControlModifier);
        ASSERT_TRUE(QTest::qWaitFor([&] { return logged.count() > 0; }, 20000)) << w.presenter().said().toStdString();
        w.settle();
        const auto book = db::Book::open(w.file(), db::OpenMode::ReadOnly);
        ASSERT_TRUE(book);
        const auto records = book->loadSensorRecords(test::kSerial);
        ASSERT_TRUE(records);
        const std::string remark = records->visits.back().remark.value_or("");
        EXPECT_NE(remark.find(nobody ? "return_outside_limit: nobody reached T1" : "return_outside_limit: approved by P1 T1"),
                  std::string::npos)
            << remark;
    }
}

TEST(ReturnOutsideItsLimit, InsideNobodyIsAsked)
{
    BenchWindow w;
    ASSERT_TRUE(w.ready());
    ASSERT_TRUE(w.open(test::kSerial));
    QSignalSpy logged(&w.presenter(), &BenchPresenter::visitLogged);
    visitUpToItsLog(w, "-180");
    ASSERT_TRUE(QTest::qWaitFor([&] { return logged.count() > 0; }, 20000)) << w.presenter().said().toStdString();
}

}  // namespace
}  // namespace halfcell::app::bench
