#include "tests/support/qt/scripted_prompts.h"
#include "tests/support/qt/watched_application.h"

#include <QObject>
#include <QTest>
#include <QTimer>

#include <gtest/gtest.h>

#include <chrono>
#include <thread>

namespace test = halfcell::test;
using namespace Qt::Literals::StringLiterals;

TEST(Watchdog, NamesTheEventThatHeldTheLoop)
{
    test::application().forgetHeld();
    QObject worker;
    worker.setObjectName(u"slow.worker"_s);
    QTimer::singleShot(0, &worker, [] { std::this_thread::sleep_for(std::chrono::milliseconds(80)); });
    QTest::qWait(100);
    const auto& held = test::application().held();
    ASSERT_FALSE(held.empty());
    bool found = false;
    for (const test::HeldEvent& event : held)
        found = found || event.wallMs >= 75;
    EXPECT_TRUE(found);
    EXPECT_NE(held.front().what.find("event"), std::string::npos);
}

TEST(Watchdog, QuickEventsAreNotReported)
{
    test::application().forgetHeld();
    test::application().setHeldLimit(500);
    QObject worker;
    for (int i = 0; i < 20; ++i)
        QTimer::singleShot(i, &worker, [] {});
    QTest::qWait(50);
    EXPECT_TRUE(test::application().held().empty());
    test::application().setHeldLimit(50);
}

TEST(ScriptedPrompts, AnswerInOrderAndRefuseWhenTheScriptEnds)
{
    test::ScriptedPrompts prompts;
    prompts.lines = {u"T1"_s};
    prompts.choices = {2};
    EXPECT_EQ(prompts.line(nullptr, u"Who works"_s, {}, {}), u"T1"_s);
    EXPECT_EQ(prompts.line(nullptr, u"Who works"_s, {}, {}), std::nullopt);
    EXPECT_EQ(prompts.choose(nullptr, u"Close?"_s, {}, {}), 2);
    EXPECT_EQ(prompts.choose(nullptr, u"Close?"_s, {}, {}), -1);
    EXPECT_EQ(prompts.asked.size(), 4);
    EXPECT_TRUE(prompts.openFiles(nullptr, {}, {}).empty());
}
