#include "db/connection/connection.h"
#include "db/connection/guarded.h"
#include "db/connection/statement.h"
#include "tests/db/support/book_fixture.h"

#include <fstream>

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;
using Mode = Connection::Mode;

TEST(Connection, OpensAsTheBookNeedsIt)
{
    Folder folder;
    auto made = Connection::open(folder / "a.halfcell", Mode::Create);
    ASSERT_DONE(made);
    Connection& c = **made;
    EXPECT_EQ(c.number("PRAGMA application_id"), kApplicationId);
    EXPECT_EQ(c.number("PRAGMA foreign_keys"), 1);
    EXPECT_EQ(c.number("PRAGMA synchronous"), 2);
    EXPECT_EQ(c.number("PRAGMA cache_size"), -65536);
    EXPECT_EQ(c.number("PRAGMA mmap_size"), 268435456);
    EXPECT_EQ(c.number("PRAGMA recursive_triggers"), 1);
    EXPECT_GE(c.number("PRAGMA busy_timeout"), 5000);
    EXPECT_TRUE(c.wal());
    EXPECT_TRUE(c.walRefused().empty());
}

TEST(Connection, RunsOnARollbackJournalWhereWalIsUnsafe)
{
    Folder folder;
    auto made = Connection::open(folder / "a.halfcell", Mode::Create, Connection::Wal::Never);
    ASSERT_DONE(made);
    EXPECT_FALSE((*made)->wal());
    EXPECT_EQ((*made)->text("PRAGMA journal_mode"), "truncate");
    EXPECT_EQ((*made)->number("PRAGMA synchronous"), 2);
    EXPECT_FALSE((*made)->walRefused().empty());
}

TEST(Connection, RefusesForeignFiles)
{
    Folder folder;
    std::ofstream(folder / "text") << "this is no database, but it is longer than a header of one hundred bytes would have to be to look "
                                      "like one at all, and it goes on for a while";
    const auto text = Connection::open(folder / "text", Mode::ReadWrite);
    ASSERT_FALSE(text.has_value());
    EXPECT_EQ(text.error().code, Errc::CannotRead);
    EXPECT_NE(text.error().detail.find("not a Halfcell book"), std::string::npos);
    EXPECT_FALSE(text.error().file.empty());
    std::ofstream(folder / "empty").close();
    EXPECT_EQ(Connection::open(folder / "empty", Mode::ReadWrite).error().code, Errc::CannotRead);
    EXPECT_EQ(Connection::open(folder.path(), Mode::ReadWrite).error().code, Errc::CannotRead);
    EXPECT_EQ(Connection::open(folder / "none", Mode::ReadOnly).error().code, Errc::CannotRead);
}

TEST(Connection, AForeignDatabaseIsLeftAlone)
{
    Folder folder;
    {
        auto made = Connection::open(folder / "other.db", Mode::Create);
        ASSERT_DONE(made);
        (*made)->run("PRAGMA application_id = 7");
        (*made)->run("CREATE TABLE t (a)");
    }
    EXPECT_EQ(Connection::open(folder / "other.db", Mode::ReadWrite).error().code, Errc::CannotRead);
}

TEST(Connection, TransactionsRollBackByScope)
{
    Folder folder;
    auto made = Connection::open(folder / "a.halfcell", Mode::Create);
    ASSERT_DONE(made);
    Connection& c = **made;
    c.runScript("CREATE TABLE t (a INTEGER) STRICT; CREATE TRIGGER g BEFORE DELETE ON t BEGIN SELECT RAISE(ABORT, 'no; never'); END;");
    {
        Transaction transaction(c, Transaction::Kind::Write);
        c.run("INSERT INTO t VALUES (1)");
    }
    EXPECT_EQ(c.number("SELECT count(*) FROM t"), 0);
    {
        Transaction transaction(c, Transaction::Kind::Write);
        c.run("INSERT INTO t VALUES (1)");
        transaction.commit();
    }
    EXPECT_EQ(c.number("SELECT count(*) FROM t"), 1);
    const auto refused = guarded([&] { c.run("DELETE FROM t"); });
    EXPECT_EQ(refused.error().code, Errc::Conflict);
    EXPECT_NE(refused.error().detail.find("no; never"), std::string::npos);
}

TEST(Connection, TwoWritersWaitForEachOther)
{
    Folder folder;
    auto first = Connection::open(folder / "a.halfcell", Mode::Create);
    ASSERT_DONE(first);
    (*first)->run("CREATE TABLE t (a INTEGER) STRICT");
    auto second = Connection::open(folder / "a.halfcell", Mode::ReadWrite);
    ASSERT_DONE(second);
    (*second)->run("PRAGMA busy_timeout = 50");
    Transaction writing(**first, Transaction::Kind::Write);
    const auto locked = guarded([&] { Transaction other(**second, Transaction::Kind::Write); });
    EXPECT_EQ(locked.error().code, Errc::Locked);
    // A reader never waits for a writer.
    EXPECT_EQ((*second)->number("SELECT count(*) FROM t"), 0);
    writing.commit();
    EXPECT_TRUE(guarded([&] { Transaction other(**second, Transaction::Kind::Write); }).has_value());
}

TEST(Connection, CopiesConsistently)
{
    Folder folder;
    auto made = Connection::open(folder / "a.halfcell", Mode::Create);
    ASSERT_DONE(made);
    (*made)->run("CREATE TABLE t (a INTEGER) STRICT");
    (*made)->run("INSERT INTO t VALUES (7)");
    (*made)->setUserVersion(3);
    const auto target = folder / "it's a copy.halfcell";
    ASSERT_TRUE(guarded([&] { (*made)->copyTo(target); }).has_value());
    auto copy = Connection::open(target, Mode::ReadOnly);
    ASSERT_DONE(copy);
    EXPECT_EQ((*copy)->number("SELECT a FROM t"), 7);
    EXPECT_EQ((*copy)->userVersion(), 3);
    EXPECT_EQ(guarded([&] { (*made)->copyTo(target); }).error().code, Errc::Conflict);
    EXPECT_EQ(guarded([&] { (*copy)->run("INSERT INTO t VALUES (8)"); }).error().code, Errc::CannotWrite);
}

TEST(Statement, CarriesTextsNumbersAndNulls)
{
    Folder folder;
    auto made = Connection::open(folder / "a.halfcell", Mode::Create);
    ASSERT_DONE(made);
    Connection& c = **made;
    c.run("CREATE TABLE t (a TEXT, b REAL, c INTEGER) STRICT");
    Slot a(Slot::Kind::Text), b(Slot::Kind::Real), i(Slot::Kind::Integer);
    Statement insert(c, "INSERT INTO t VALUES (:a, :b, :c)", {&a, &b, &i});
    a.set(std::string_view("µS, \"x\""));
    b.set(-0.1);
    i.set(1LL << 40);
    insert.run();
    a.clear();
    b.clear();
    i.clear();
    insert.run();
    Slot ra(Slot::Kind::Text), rb(Slot::Kind::Real), ri(Slot::Kind::Integer);
    Statement select(c, "SELECT a, b, c FROM t ORDER BY rowid", {}, {&ra, &rb, &ri});
    for (int round = 0; round < 2; ++round) {
        ASSERT_TRUE(select.first());
        EXPECT_EQ(ra.text, "µS, \"x\"");
        EXPECT_EQ(rb.real, -0.1);
        EXPECT_EQ(ri.integer, 1LL << 40);
        ASSERT_TRUE(select.next());
        EXPECT_TRUE(ra.isNull() && rb.isNull() && ri.isNull());
        EXPECT_FALSE(select.next());
    }
}

}  // namespace
}  // namespace halfcell::db
