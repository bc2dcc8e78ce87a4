#include "db/backup/backup.h"
#include "db/connection/connection.h"
#include "db/connection/guarded.h"
#include "db/schema/schema.h"
#include "tests/db/support/book_fixture.h"

#include <fmt/format.h>

#include <fstream>
#include <iterator>

/// Books of earlier schemas, from tests/data/books: as their rows were written then, in one file of INSERT statements.
namespace halfcell::db {
namespace {

using namespace testing;
namespace fs = std::filesystem;

/// The first schema that holds every table of the fixture; the steps after it added tables.
constexpr int kFirst = 3;

std::string fixture()
{
    std::ifstream in(std::string(HALFCELL_TEST_DATA) + "/books/shop_regression.sql");
    return std::string(std::istreambuf_iterator<char>(in), {});
}

void makeBookOf(int schema, const fs::path& file)
{
    auto connection = Connection::open(file, Connection::Mode::Create);
    ASSERT_DONE(connection);
    ASSERT_DONE(migrate(**connection, shippedMigrations().first(static_cast<std::size_t>(schema))));
    const auto filled = guarded([&] { (*connection)->runScript(fixture()); });
    ASSERT_DONE(filled);
}

class OlderBooks : public ::testing::TestWithParam<int> {};

TEST_P(OlderBooks, AreBroughtUpToDateAfterABackupAndReadTheSame)
{
    const Folder folder;
    makeBookOf(GetParam(), folder / "shop");
    auto opened = Book::open(folder / "shop", OpenMode::ReadWrite);
    ASSERT_DONE(opened);
    EXPECT_EQ(opened->info()->schema, shippedSchema());
    const auto report = opened->verify();
    ASSERT_DONE(report);
    EXPECT_TRUE(report->ok) << report->firstBad;
    // The head as it was when the fixture was made: nothing about old rows is computed differently since.
    EXPECT_NE(fixture().find("-- head " + report->head), std::string::npos) << report->head;
    const auto records = opened->loadRecords();
    ASSERT_DONE(records);
    EXPECT_EQ(records->visits.size(), 2U);
    EXPECT_EQ(records->corrections.size(), 1U);
    ASSERT_DONE(opened->refreshLatest({}, at("2026-03-02T08:00:00Z")));
    EXPECT_EQ(opened->latestStates()->size(), 3U);
    ASSERT_DONE(opened->recordVisit(ordinaryVisit("v3", "2026-03-01"), {.person = "T1", .now = at("2026-03-02T08:00:00Z")}));
    EXPECT_TRUE(opened->verify()->ok);

    // What it was before lies beside it, whole, and can be restored.
    if (GetParam() < shippedSchema()) {
        const fs::path before = folder / fmt::format("shop.before-schema-{}", GetParam() + 1);
        ASSERT_TRUE(fs::exists(before));
        const auto restored = restoreBook(before, folder / "restored");
        ASSERT_DONE(restored);
        EXPECT_EQ(restored->head, report->head);
    }
}

INSTANTIATE_TEST_SUITE_P(Schemas, OlderBooks, ::testing::Range(kFirst, shippedSchema() + 1));

TEST(NewerBook, IsRefusedInPlainWordsAndNotTouched)
{
    const Folder folder;
    makeBookOf(shippedSchema(), folder / "shop");
    {
        auto connection = Connection::open(folder / "shop", Connection::Mode::ReadWrite);
        (*connection)->setUserVersion(shippedSchema() + 2);
    }
    const auto read = [&] {
        std::ifstream in(folder / "shop", std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(in), {});
    };
    const std::string before = read();
    const auto refused = Book::open(folder / "shop", OpenMode::ReadWrite);
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, core::Errc::NewerBook);
    EXPECT_NE(refused.error().detail.find(fmt::format("its schema is {}, this program knows {}", shippedSchema() + 2, shippedSchema())),
              std::string::npos)
        << refused.error().detail;
    EXPECT_EQ(restoreBook(folder / "shop", folder / "new").error().code, core::Errc::NewerBook);
    EXPECT_FALSE(fs::exists(folder / "new"));
    EXPECT_EQ(read(), before);
}

}  // namespace
}  // namespace halfcell::db
