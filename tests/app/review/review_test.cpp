#include "app/review/review_desk.h"
#include "app/review/review_model.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QAbstractItemModelTester>
#include <QLineEdit>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using test::waitFor;

TEST(ReviewDesk, ShowsTheSameFiguresAsTheReviewItself)
{
    test::DemoShop demo;
    ReviewDesk desk(demo.shop());
    desk.resize(1280, 700);
    desk.show();
    desk.presenter().refresh();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().review() != nullptr; }));
    const core::Overview& overview = *demo.shop().overview();
    const core::Review direct = core::reviewFleet(*overview.plant, overview.assessments, overview.figures, overview.rules, std::nullopt);
    ASSERT_EQ(desk.presenter().rows().size(), direct.cases.size());
    for (std::size_t i = 0; i < direct.cases.size(); ++i) {
        const ReviewRow& row = desk.presenter().rows()[i];
        EXPECT_EQ(row.serial.toStdString(), direct.cases[i].serial);
        for (const core::ReviewOption& option : direct.cases[i].options)
            EXPECT_EQ(row.options[static_cast<std::size_t>(option.option)].value, option.cost_per_month);
        EXPECT_FALSE(row.why.isEmpty()) << row.serial.toStdString();
    }
    EXPECT_FALSE(desk.sentence().isEmpty());
    EXPECT_TRUE(test::namelessFocusables(&desk).isEmpty()) << test::namelessFocusables(&desk).join(QLatin1Char('\n')).toStdString();
}

TEST(ReviewDesk, BudgetChoosesWithinTheMoney)
{
    test::DemoShop demo;
    ReviewDesk desk(demo.shop());
    desk.show();
    auto* budget = desk.findChild<QLineEdit*>(QStringLiteral("review.budget"));
    ASSERT_NE(budget, nullptr);
    budget->setFocus();
    QTest::keyClicks(budget, QStringLiteral("900"));
    QTest::keyClick(budget, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return desk.presenter().review() != nullptr && desk.presenter().review()->budget.has_value(); }));
    EXPECT_LE(desk.presenter().review()->asked, 900.0);
    EXPECT_LE(desk.presenter().review()->saving, desk.presenter().review()->savingBound + 1e-6);
    EXPECT_TRUE(desk.sentence().contains(QStringLiteral("900"))) << desk.sentence().toStdString();
    budget->selectAll();
    QTest::keyClicks(budget, QStringLiteral("lots"));
    QTest::keyClick(budget, Qt::Key_Return);
    EXPECT_EQ(desk.presenter().budget(), 900.0);
}

TEST(ReviewDesk, OpensTheWorkingAndTheRecordByKey)
{
    test::DemoShop demo;
    ReviewDesk desk(demo.shop());
    desk.show();
    desk.presenter().refresh();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().review() != nullptr && !desk.presenter().rows().empty(); }));
    auto* table = desk.findChild<QTableView*>(QStringLiteral("review.table"));
    ASSERT_NE(table, nullptr);
    QAbstractItemModelTester tester(table->model());
    table->setFocus();
    QSignalSpy record(&desk, &ReviewDesk::recordAsked);
    QTest::keyClick(table, Qt::Key_Return);
    EXPECT_EQ(record.count(), 1);
    QSignalSpy working(&desk, &ReviewDesk::workingAsked);
    QTest::keyClick(table, Qt::Key_E, Qt::ControlModifier);
    EXPECT_EQ(working.count(), 1);
}

TEST(ReviewDesk, EmptyBookSaysSo)
{
    Shop shop([] { return test::testNow(); });
    ReviewDesk desk(shop);
    desk.show();
    EXPECT_EQ(desk.presenter().rows().size(), 0U);
}

}  // namespace
}  // namespace halfcell::app
