#include "tests/support/shop/demo_shop.h"

#include "core/simulator/simulate.h"

#include <QCoreApplication>
#include <QElapsedTimer>

#include <gtest/gtest.h>

namespace halfcell::test {

bool waitFor(const std::function<bool()>& done, int milliseconds)
{
    QElapsedTimer clock;
    clock.start();
    while (!done()) {
        if (clock.elapsed() > milliseconds)
            return false;
        QCoreApplication::processEvents(QEventLoop::AllEvents, 20);
    }
    return true;
}

core::Instant testNow()
{
    return *core::parseInstant("2026-03-02T08:47:00Z");
}

const std::filesystem::path& demoMaster()
{
    static const QTemporaryDir folder;
    static const std::filesystem::path file = [] {
        const std::filesystem::path book = std::filesystem::path(folder.path().toStdString()) / "demo.halfcell";
        const core::Instant until = *core::parseInstant("2026-03-01T23:59:59Z");
        const core::SimulatedPlant plant = core::simulatePlant({.seed = 1, .years = 2.5, .sensors = 120, .until = until});
        const db::BookStamp stamp{.person = "demo", .now = until};
        auto made = db::Book::create(book, stamp);
        EXPECT_TRUE(made.has_value()) << made.error().detail;
        if (made) {
            const auto added = made->add(plant.records, stamp);
            EXPECT_TRUE(added.has_value()) << added.error().detail;
            EXPECT_TRUE(made->refreshLatest({}, until).has_value());
        }
        return book;
    }();
    return file;
}

DemoShop::DemoShop() : m_shop(std::make_unique<app::Shop>([] { return testNow(); }))
{
    const std::filesystem::path book = folder() / "demo.halfcell";
    std::filesystem::copy_file(demoMaster(), book);
    m_shop->setPerson(QStringLiteral("T1"));
    m_shop->open(book);
    EXPECT_TRUE(waitFor([this] { return m_shop->isOpen() && m_shop->overview() != nullptr; }));
}

}  // namespace halfcell::test
