#include "app/frame/find_box.h"
#include "app/style/theme.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QListWidget>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <QVBoxLayout>

#include <gtest/gtest.h>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
namespace test = halfcell::test;

namespace {

struct FindBoxTest : ::testing::Test {
    Theme theme{test::application()};
    QWidget window;
    FindBox* box = new FindBox(&window);
    QPushButton* giver = new QPushButton(u"row"_s, &window);
    FindBox::Answer late;  // kept when `hold` is set
    bool hold = false;
    std::vector<FindHit> opened, visits;

    void SetUp() override
    {
        window.resize(600, 400);
        box->setGeometry(10, 10, 300, 30);
        giver->setGeometry(10, 60, 100, 30);
        box->setSource([this](const QString& fragment, const FindBox::Answer& answer) {
            if (hold) {
                late = answer;
                return;
            }
            std::vector<FindHit> hits;
            const QStringList sensors{u"K7-0412"_s, u"K7-0421"_s, u"K7-0431"_s};
            for (const QString& serial : sensors)
                if (serial.contains(fragment))
                    hits.push_back({u"Sensors"_s, serial, u"sensor"_s, serial, serial});
            if (QStringLiteral("AE-3104").contains(fragment))
                hits.push_back({u"Points"_s, u"AE-3104"_s, u"point"_s, u"AE-3104"_s, u"M2-0118"_s});
            answer(std::move(hits));
        });
        QObject::connect(box, &FindBox::openAsked, box, [this](const FindHit& hit) { opened.push_back(hit); });
        QObject::connect(box, &FindBox::visitAsked, box, [this](const FindHit& hit) { visits.push_back(hit); });
        window.show();
        window.activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(&window));
        giver->setFocus();
    }
};

}  // namespace

TEST_F(FindBoxTest, FindsFromTheFirstCharacterAndOpensWithEnter)
{
    box->take();
    QTest::keyClicks(box, u"4"_s);
    EXPECT_EQ(box->hitCount(), 4);
    QTest::keyClicks(box, u"31"_s);
    EXPECT_EQ(box->hitCount(), 1);
    EXPECT_EQ(box->accessibleDescription(), u"1 of 1: Sensors, K7-0431"_s);
    QTest::keyClick(box, Qt::Key_Return);
    ASSERT_EQ(opened.size(), 1u);
    EXPECT_EQ(opened[0].key, u"K7-0431"_s);
    EXPECT_TRUE(box->text().isEmpty());
    EXPECT_TRUE(giver->hasFocus());
}

TEST_F(FindBoxTest, DownWalksAndCtrlEnterStartsAVisit)
{
    box->take();
    QTest::keyClicks(box, u"04"_s);
    QTest::keyClick(box, Qt::Key_Down);
    QTest::keyClick(box, Qt::Key_Down);
    QTest::keyClick(box, Qt::Key_Up);
    EXPECT_EQ(box->accessibleDescription(), u"2 of 4: Sensors, K7-0421"_s);
    QTest::keyClick(box, Qt::Key_Return, Qt::ControlModifier);
    ASSERT_EQ(visits.size(), 1u);
    EXPECT_EQ(visits[0].serial, u"K7-0421"_s);
    EXPECT_TRUE(opened.empty());
}

TEST_F(FindBoxTest, EscGivesTheFocusBack)
{
    box->take();
    QTest::keyClicks(box, u"04"_s);
    auto* list = window.findChild<QListWidget*>(u"frame.top.hits"_s);
    ASSERT_NE(list, nullptr);
    EXPECT_TRUE(list->isVisible());
    test::keepPicture(window.grab().toImage(), u"find_box.png"_s);
    QTest::keyClick(box, Qt::Key_Escape);
    EXPECT_FALSE(list->isVisible());
    EXPECT_TRUE(giver->hasFocus());
    EXPECT_TRUE(box->text().isEmpty());
}

TEST_F(FindBoxTest, LateAnswersAreDroppedAndEnterWaitsForItsOwn)
{
    box->take();
    hold = true;
    QTest::keyClicks(box, u"0"_s);
    const FindBox::Answer first = late;
    QTest::keyClicks(box, u"4"_s);
    QTest::keyClick(box, Qt::Key_Return);
    first({{u"Sensors"_s, u"K7-0001"_s, u"sensor"_s, u"K7-0001"_s, u"K7-0001"_s}});
    EXPECT_TRUE(opened.empty());
    late({{u"Sensors"_s, u"K7-0412"_s, u"sensor"_s, u"K7-0412"_s, u"K7-0412"_s}});
    ASSERT_EQ(opened.size(), 1u);
    EXPECT_EQ(opened[0].key, u"K7-0412"_s);
}

TEST_F(FindBoxTest, NothingFoundIsSaid)
{
    QSignalSpy nothing(box, &FindBox::nothingFound);
    box->take();
    QTest::keyClicks(box, u"H3-0021"_s);
    EXPECT_EQ(box->hitCount(), 0);
    QTest::keyClick(box, Qt::Key_Return);
    ASSERT_EQ(nothing.count(), 1);
    EXPECT_EQ(nothing.at(0).at(0).toString(), u"H3-0021"_s);
}

TEST_F(FindBoxTest, LettersTypedElsewhereArriveWhole)
{
    box->typeFrom(giver, u"4"_s);
    EXPECT_TRUE(box->hasFocus());
    QTest::keyClicks(box, u"31"_s);
    EXPECT_EQ(box->text(), u"431"_s);
    QTest::keyClick(box, Qt::Key_Escape);
    EXPECT_TRUE(giver->hasFocus());
}
