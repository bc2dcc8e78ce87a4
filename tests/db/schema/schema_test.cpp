#include "db/connection/guarded.h"
#include "db/connection/statement.h"
#include "db/schema/schema.h"
#include "tests/db/support/book_fixture.h"

#include <fstream>
#include <iterator>

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

std::vector<std::string> column(Connection& connection, const std::string& sql)
{
    Slot text(Slot::Kind::Text);
    Statement query(connection, sql, {}, {&text});
    std::vector<std::string> list;
    for (bool row = query.first(); row; row = query.next())
        list.push_back(text.text);
    return list;
}

std::string schemaText(Connection& connection)
{
    std::string text;
    for (const std::string& sql :
         column(connection, "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'remark_search_%' "
                            "ORDER BY tbl_name, type, name"))
        text += sql + ";\n\n";
    return text;
}

std::unique_ptr<Connection> fresh(const std::filesystem::path& file, std::span<const Migration> migrations = shippedMigrations())
{
    auto connection = Connection::open(file, Connection::Mode::Create);
    EXPECT_TRUE(connection.has_value());
    EXPECT_TRUE(migrate(**connection, migrations).has_value());
    return std::move(*connection);
}

TEST(Schema, IsTheOneReviewersRead)
{
    Folder folder;
    const auto connection = fresh(folder / "a.halfcell");
    const std::string text = schemaText(*connection);
    std::ifstream in(std::string(HALFCELL_TEST_DATA) + "/schema_snapshot.sql");
    const std::string snapshot{std::istreambuf_iterator<char>(in), {}};
    if (text != snapshot) {
        const auto written = folder.path().parent_path() / "schema_snapshot.sql";
        std::ofstream(written) << text;
        ADD_FAILURE() << "the schema differs from tests/data/schema_snapshot.sql; it is now in " << written
                      << ": compare, and copy it over in the commit that changes the schema";
    }
}

TEST(Schema, MigrationsAreNumberedWithoutGaps)
{
    int expected = 1;
    for (const Migration& migration : shippedMigrations())
        EXPECT_EQ(migration.version, expected++) << migration.name;
    EXPECT_EQ(shippedSchema(), expected - 1);
}

TEST(Schema, EveryRecordTableRefusesUpdateAndDelete)
{
    Folder folder;
    const auto connection = fresh(folder / "a.halfcell");
    const auto tables = column(*connection, "SELECT m.name FROM sqlite_master m WHERE m.type = 'table' AND (m.name = 'journal' OR EXISTS "
                                            "(SELECT 1 FROM pragma_table_info(m.name) c WHERE c.name = 'entry')) ORDER BY m.name");
    EXPECT_GE(tables.size(), 27U);
    for (const std::string& table : tables) {
        const auto triggers = column(*connection, "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = '" + table + "' ORDER BY name");
        ASSERT_EQ(triggers, (std::vector<std::string>{table + "_no_delete", table + "_no_update"}));
    }
}

TEST(Schema, TriggersHoldAgainstUpdateDeleteAndReplace)
{
    Folder folder;
    {
        auto book = Book::create(folder / "a.halfcell", kStamp);
        ASSERT_DONE(book);
        core::Records shop = smallShop();
        shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
        core::Correction c;
        c.visit = "v1";
        c.table = "visits";
        c.field = "person";
        c.old_value = "T1";
        c.new_value = "T2";
        c.person = "T2";
        c.why = "it was me";
        shop.corrections.push_back(c);
        ASSERT_DONE(book->add(shop, kStamp));
    }
    auto connection = Connection::open(folder / "a.halfcell", Connection::Mode::ReadWrite);
    ASSERT_DONE(connection);
    for (const char* table : {"journal", "rule_sets", "rule_adoptions", "sites", "points", "models", "sensors", "placements", "parts", "lots",
                              "standards", "equipment", "people", "holds", "visits", "readings", "grabs", "checks", "actions", "corrections",
                              "legacy"}) {
        const std::string name(table);
        const std::string field = column(**connection, "SELECT name FROM pragma_table_info('" + name + "') ORDER BY cid")[0];
        ASSERT_GT((*connection)->number("SELECT count(*) FROM " + name), 0) << name;
        const auto refusedBy = [&](const std::string& sql) {
            const auto result = guarded([&] { (*connection)->run(sql); });
            return !result && result.error().detail.find("record") != std::string::npos;
        };
        EXPECT_TRUE(refusedBy("UPDATE " + name + " SET " + field + " = " + field)) << name;
        EXPECT_TRUE(refusedBy("DELETE FROM " + name)) << name;
        EXPECT_TRUE(refusedBy("INSERT OR REPLACE INTO " + name + " SELECT * FROM " + name + " LIMIT 1")) << name;
    }
}

TEST(Schema, RefusesRowsThatCannotBe)
{
    Folder folder;
    const auto connection = fresh(folder / "a.halfcell");
    const auto refused = [&](const std::string& sql) { return !guarded([&] { connection->run(sql); }).has_value(); };
    connection->run("INSERT INTO journal VALUES (1, 0, 0, NULL, 'site', 'x', NULL, 'x', '" + std::string(64, '0') + "', '" + std::string(64, '0') + "')");
    connection->run("INSERT INTO sites VALUES ('S', NULL, 0, 0, 1)");
    EXPECT_TRUE(refused("INSERT INTO sites VALUES ('T', NULL, 0, 0, 2)"));                   // no such journal entry
    EXPECT_TRUE(refused("INSERT INTO sites VALUES ('', NULL, 0, 0, 1)"));                    // an empty key
    EXPECT_TRUE(refused("INSERT INTO sites VALUES ('T', NULL, 1.5, 0, 1)"));                 // STRICT
    EXPECT_TRUE(refused("INSERT INTO sites VALUES ('T', NULL, 0, 2000, 1)"));                // no such offset
    EXPECT_TRUE(refused("INSERT INTO sensors (serial, model, recorded_s, recorded_offset_min, entry) VALUES ('K', 'none', 0, 0, 1)"));
    EXPECT_TRUE(refused("INSERT INTO models (model, kind, recorded_s, recorded_offset_min, entry) VALUES ('K', 'redox', 0, 0, 1)"));
}

TEST(Schema, ANewerBookIsRefusedInPlainWords)
{
    Folder folder;
    ASSERT_DONE(Book::create(folder / "a.halfcell", kStamp));
    {
        auto connection = Connection::open(folder / "a.halfcell", Connection::Mode::ReadWrite);
        ASSERT_DONE(connection);
        (*connection)->setUserVersion(99);
    }
    for (const OpenMode mode : {OpenMode::ReadOnly, OpenMode::ReadWrite}) {
        const auto refused = Book::open(folder / "a.halfcell", mode);
        ASSERT_FALSE(refused.has_value());
        EXPECT_EQ(refused.error().code, Errc::NewerBook);
        EXPECT_NE(refused.error().detail.find("newer program"), std::string::npos);
        EXPECT_FALSE(refused.error().file.empty());
    }
}

TEST(Schema, AnOlderBookIsBroughtUpToDateAfterABackup)
{
    Folder folder;
    const auto first = shippedMigrations().first(2);
    { const auto old = fresh(folder / "a.halfcell", first); }
    EXPECT_EQ(Book::open(folder / "a.halfcell", OpenMode::ReadOnly).error().code, Errc::CannotRead);
    const auto opened = Book::open(folder / "a.halfcell", OpenMode::ReadWrite);
    ASSERT_DONE(opened);
    EXPECT_EQ(opened->info()->schema, shippedSchema());
    const auto backup = folder / "a.halfcell.before-schema-3";
    ASSERT_TRUE(std::filesystem::exists(backup));
    auto before = Connection::open(backup, Connection::Mode::ReadOnly);
    ASSERT_DONE(before);
    EXPECT_EQ((*before)->userVersion(), 2);
}

TEST(Schema, AFailedStepLeavesTheVersionBeforeIt)
{
    Folder folder;
    std::vector<Migration> migrations(shippedMigrations().begin(), shippedMigrations().end());
    const int next = shippedSchema() + 1;
    migrations.push_back({.version = next, .name = "good", .script = "CREATE TABLE extra (a INTEGER) STRICT;"});
    migrations.push_back({.version = next + 1, .name = "bad", .script = "CREATE TABLE more (a INTEGER) STRICT; CREATE TABLE extra (a INTEGER) STRICT;"});
    const auto connection = fresh(folder / "a.halfcell");
    EXPECT_FALSE(migrate(*connection, migrations).has_value());
    EXPECT_EQ(connection->userVersion(), next);
    EXPECT_EQ(connection->number("SELECT count(*) FROM sqlite_master WHERE name = 'more'"), 0);
    EXPECT_EQ(connection->number("SELECT count(*) FROM sqlite_master WHERE name = 'extra'"), 1);
}

TEST(Schema, ARebuiltTableKeepsItsReferences)
{
    Folder folder;
    std::vector<Migration> migrations(shippedMigrations().begin(), shippedMigrations().end());
    const int next = shippedSchema() + 1;
    migrations.push_back({.version = next,
                          .name = "good",
                          .script = "-- rebuilds tables\nCREATE TABLE parent (a TEXT PRIMARY KEY) STRICT; CREATE TABLE child (a TEXT REFERENCES "
                                    "parent (a)) STRICT; INSERT INTO parent VALUES ('x'); INSERT INTO child VALUES ('x');"});
    const auto connection = fresh(folder / "a.halfcell");
    ASSERT_DONE(migrate(*connection, migrations));
    migrations.push_back({.version = next + 1, .name = "loses", .script = "-- rebuilds tables\nDROP TABLE parent; CREATE TABLE parent (a TEXT PRIMARY KEY) STRICT;"});
    const auto refused = migrate(*connection, migrations);
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, Errc::DamagedBook);
    EXPECT_EQ(connection->number("SELECT count(*) FROM parent"), 1);
    EXPECT_EQ(connection->number("PRAGMA foreign_keys"), 1);
}

}  // namespace
}  // namespace halfcell::db
