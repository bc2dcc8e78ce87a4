#include "app/cabinet/import_page.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>

#include <fstream>

namespace halfcell::app {
namespace {

using test::waitFor;

QString textOf(const QWidget& page, const char* name)
{
    const auto* label = page.findChild<QLabel*>(QString::fromLatin1(name));
    return label != nullptr ? label->text() : QString();
}

TEST(ImportPage, ShowsBeforeItWritesAndTakesInByKeyboard)
{
    test::DemoShop demo;
    const std::filesystem::path file = demo.folder() / "sites.csv";
    std::ofstream(file) << "site,note\r\nNorth Annex,new building\r\n,no name\r\n";
    ImportPage page(
        demo.shop(), [&](QWidget*) { return std::vector<std::filesystem::path>{file}; },
        [](QWidget*) { return std::vector<std::filesystem::path>{}; });
    page.resize(1000, 600);
    page.show();
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&page));
    auto* choose = page.findChild<QPushButton*>(QStringLiteral("cabinet.import.files"));
    auto* take = page.findChild<QPushButton*>(QStringLiteral("cabinet.import.take"));
    ASSERT_NE(choose, nullptr);
    ASSERT_NE(take, nullptr);
    EXPECT_FALSE(take->isEnabled());
    QTest::keyClick(choose, Qt::Key_Space);
    ASSERT_TRUE(waitFor([&] { return take->isEnabled(); })) << textOf(page, "cabinet.import.sentence").toStdString();
    EXPECT_TRUE(textOf(page, "cabinet.import.sentence").startsWith(QStringLiteral("1 row would be taken, 1 refused")))
        << textOf(page, "cabinet.import.sentence").toStdString();
    const auto siteKnown = [&] {
        const auto& sites = demo.shop().reference()->sites;
        return std::ranges::any_of(sites, [](const core::Site& s) { return s.site == "North Annex"; });
    };
    EXPECT_FALSE(siteKnown());
    auto* refused = page.findChild<QTableView*>(QStringLiteral("cabinet.import.refused"));
    ASSERT_NE(refused, nullptr);
    ASSERT_EQ(refused->model()->rowCount(), 1);
    EXPECT_EQ(refused->model()->index(0, 1).data().toString(), QStringLiteral("3"));
    EXPECT_FALSE(refused->model()->index(0, 5).data().toString().isEmpty());
    QTest::keyClick(&page, Qt::Key_Return, Qt::ControlModifier);
    ASSERT_TRUE(waitFor(siteKnown)) << textOf(page, "cabinet.import.sentence").toStdString();
    EXPECT_TRUE(test::namelessFocusables(&page).isEmpty()) << test::namelessFocusables(&page).join(QLatin1Char('\n')).toStdString();
}

TEST(ImportPage, SaysWhatCannotBeRead)
{
    test::DemoShop demo;
    ImportPage page(
        demo.shop(), [](QWidget*) { return std::vector<std::filesystem::path>{}; },
        [](QWidget*) { return std::vector<std::filesystem::path>{}; });
    page.show();
    page.preview({demo.folder() / "not there.csv"});
    ASSERT_TRUE(waitFor([&] { return !textOf(page, "cabinet.import.sentence").startsWith(QStringLiteral("Reading")); }));
    EXPECT_FALSE(page.findChild<QPushButton*>(QStringLiteral("cabinet.import.take"))->isEnabled());
}

TEST(ImportPage, WritesTablesOut)
{
    test::DemoShop demo;
    ImportPage page(
        demo.shop(), [](QWidget*) { return std::vector<std::filesystem::path>{}; },
        [](QWidget*) { return std::vector<std::filesystem::path>{}; });
    page.show();
    auto* path = page.findChild<QLineEdit*>(QStringLiteral("cabinet.export.path"));
    path->setText(QString::fromStdString((demo.folder() / "tables").string()));
    QTest::keyClick(path, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return textOf(page, "cabinet.export.sentence").contains(QStringLiteral("written")); }))
        << textOf(page, "cabinet.export.sentence").toStdString();
    EXPECT_TRUE(std::filesystem::exists(demo.folder() / "tables" / "readings.csv"));
}

}  // namespace
}  // namespace halfcell::app
