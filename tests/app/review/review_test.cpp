#include "app/review/frozen_table.h"
#include "app/review/review_desk.h"
#include "app/review/review_model.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QAbstractItemModelTester>
#include <QHeaderView>
#include <QLineEdit>
#include <QRegularExpression>
#include <QScrollBar>
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

TEST(ReviewDesk, AnAssumptionSaysWhatHowMuchAndWhereFromOnce)
{
    using core::SourceClass;
    EXPECT_EQ(assumptionWords({"a service visit", 60.0, "", "rule set default@1", true, SourceClass::Assumed}),
              QStringLiteral("a service visit 60 (assumed: rule set default@1)"));
    EXPECT_EQ(assumptionWords({"chance of sudden failure", 0.01, "a month", "", true, SourceClass::Assumed}),
              QStringLiteral("chance of sudden failure 0.01 a month (assumed)"));
    EXPECT_EQ(assumptionWords({"usual life", 24.0, "months", "common practice: verify weekly", false, SourceClass::Memory}),
              QStringLiteral("usual life 24 months (known from memory: common practice, verify weekly)"));
    EXPECT_EQ(assumptionWords({"price of K7", 290.0, "", "model record", false, SourceClass::Record}),
              QStringLiteral("price of K7 290 (model record)"));
    test::DemoShop demo;
    ReviewPresenter presenter(demo.shop());
    presenter.refresh();
    ASSERT_TRUE(waitFor([&] { return presenter.review() != nullptr; }));
    static const QRegularExpression form(QStringLiteral(R"(^\D.* [\d.,]+( [a-z ]+)? \(.+\)$)"));
    static const QRegularExpression twice(QStringLiteral(R"(\b([a-z]{3,})\b \1\b)"));
    for (std::size_t i = 0; i < presenter.rows().size(); ++i) {
        const auto lines = presenter.assumptionsOf(i);
        EXPECT_FALSE(lines.empty());
        for (const QString& line : lines) {
            EXPECT_TRUE(form.match(line).hasMatch()) << line.toStdString();
            EXPECT_FALSE(twice.match(line).hasMatch()) << line.toStdString();
            EXPECT_FALSE(line.contains(QStringLiteral(" :")) || line.contains(QStringLiteral("  "))) << line.toStdString();
        }
    }
    for (const QString& line : presenter.fleetLines())
        EXPECT_FALSE(line.contains(QLatin1Char('_'))) << line.toStdString();
}

TEST(ReviewDesk, SensorAndPointStayWhileTheRestScrollsSideways)
{
    test::DemoShop demo;
    ReviewDesk desk(demo.shop());
    desk.resize(960, 430);
    desk.show();
    desk.presenter().refresh();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().review() != nullptr && !desk.presenter().rows().empty(); }));
    QTest::qWait(50);
    auto* table = desk.findChild<FrozenTable*>(QStringLiteral("review.table"));
    auto* staying = desk.findChild<QTableView*>(QStringLiteral("review.table.frozen"));
    ASSERT_TRUE(table != nullptr && staying != nullptr);
    EXPECT_TRUE(table->isColumnHidden(ReviewModel::Class));
    ASSERT_GT(table->horizontalScrollBar()->maximum(), 0);
    EXPECT_TRUE(table->isFrozen());
    table->setCurrentIndex(table->model()->index(0, ReviewModel::Why));
    table->horizontalScrollBar()->setValue(table->horizontalScrollBar()->maximum());
    QTest::qWait(20);
    EXPECT_TRUE(staying->isVisible());
    EXPECT_EQ(staying->columnViewportPosition(ReviewModel::Sensor), 0);
    EXPECT_EQ(staying->width(), table->columnWidth(ReviewModel::Sensor) + table->columnWidth(ReviewModel::Point));
    EXPECT_EQ(staying->rowHeight(0), table->rowHeight(0));
    EXPECT_EQ(staying->currentIndex().row(), table->currentIndex().row());
    EXPECT_EQ(staying->visualRect(staying->model()->index(0, 0)).top(), table->visualRect(table->model()->index(0, 0)).top());
    // Walking back with keys never leaves a cell under the columns that stay.
    table->setFocus();
    for (int i = 0; i < 8; ++i) {
        QTest::keyClick(table, Qt::Key_Left);
        const QModelIndex now = table->currentIndex();
        EXPECT_TRUE(now.column() <= ReviewModel::Point || table->visualRect(now).left() >= table->frozenWidth()) << now.column();
    }
    // The reason has a full tool tip, and a wide window shows all columns at rest.
    const ReviewRow& first = desk.presenter().rows().front();
    EXPECT_TRUE(table->model()->index(0, ReviewModel::Why).data(Qt::ToolTipRole).toString().contains(first.why));
    desk.resize(1900, 800);
    QTest::qWait(50);
    EXPECT_FALSE(table->isColumnHidden(ReviewModel::Class));
    EXPECT_FALSE(table->isFrozen());
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
