#include "db/book/verifier.h"
#include "db/connection/guarded.h"
#include "db/connection/statement.h"
#include "db/merge/merge.h"
#include "db/stores/record_tables.h"
#include "tests/db/support/book_fixture.h"

#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <limits>
#include <map>
#include <random>

/// Whoever changes a book behind its back is found: every column of every table, every row and entry, every byte.
namespace halfcell::db {
namespace {

using namespace testing;
namespace fs = std::filesystem;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

/// A book with rows in every record table, clashes among them.
void makeFullBook(const Folder& folder)
{
    const auto fill = [&](const char* name, const char* lotNote) {
        auto made = Book::create(folder / name, kStamp);
        ASSERT_DONE(made);
        Book& book = *made;
        core::Records shop = smallShop();
        shop.lots[0].note = lotNote;
        shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
        shop.visits.push_back(ordinaryVisit("v2", "2025-04-02"));
        for (const char* value : {"-167", "-166"}) {
            core::Correction c;
            c.visit = "v1";
            c.table = "readings";
            c.row = 2;
            c.field = "mv";
            c.old_value = *value == '-' && value[3] == '7' ? "-176" : "-167";
            c.new_value = value;
            c.person = "T2";
            c.why = "digits swapped";
            c.recorded = at(value[3] == '7' ? "2026-01-01" : "2026-01-02");
            shop.corrections.push_back(c);
        }
        ASSERT_DONE(book.add(shop, kStamp));
        ASSERT_DONE(book.nameShop("Wexmoor Utilities", kStamp));
        ASSERT_DONE(book.moveSensor("K7-0412", "shelf", at("2026-03-01"), core::RemovalReason::Slow, kStamp));
        ASSERT_DONE(
            book.closeHold("AE-3107", at("2025-03-02T08:12:00Z"), at("2025-03-02T09:30:00Z"), "T2", core::HoldClosed::Auto, kStamp));
        ASSERT_DONE(book.openLot("B7-2231", at("2025-03-01"), kStamp));
        ASSERT_DONE(book.endPart("R2-0007", core::Part::Electrolyte, at("2025-02-01"), at("2025-08-01"), kStamp));
    };
    fill("shop", "first");
    fill("other", "second");
    auto book = Book::open(folder / "shop", OpenMode::ReadWrite);
    ASSERT_DONE(book);
    const auto merged = mergeFrom(*book, folder / "other", kStamp);
    ASSERT_DONE(merged);
    ASSERT_EQ(merged->clashes.size(), 1U);
    ASSERT_DONE(settleClash(*book, merged->clashes[0].id, 2, kStamp, "read off the bottle"));
}

struct ColumnInfo {
    std::string name, type;
    bool key = false;
};

class Tampering {
public:
    explicit Tampering(const fs::path& file)
    {
        auto opened = Connection::open(file, Connection::Mode::ReadWrite);
        EXPECT_TRUE(opened.has_value());
        m_connection = std::move(*opened);
        m_connection->run("PRAGMA foreign_keys = OFF");
        m_connection->run("PRAGMA ignore_check_constraints = ON");
        for (const std::string& trigger : texts("SELECT name FROM sqlite_master WHERE type = 'trigger'"))
            m_connection->run("DROP TRIGGER " + trigger);
        EXPECT_TRUE(verifyBook(*m_connection, {}).ok);
        m_head = m_connection->text("SELECT hash FROM journal ORDER BY seq DESC LIMIT 1");
        m_last = m_connection->number("SELECT max(seq) FROM journal");
    }

    std::vector<std::string> texts(const std::string& sql)
    {
        Slot text(Slot::Kind::Text);
        Statement query(*m_connection, sql, {}, {&text});
        std::vector<std::string> list;
        for (bool row = query.first(); row; row = query.next())
            list.push_back(text.text);
        return list;
    }
    std::vector<ColumnInfo> columns(const std::string& table)
    {
        std::vector<ColumnInfo> list;
        for (const std::string& line : texts("SELECT name || ' ' || type || ' ' || pk FROM pragma_table_info('" + table + "')")) {
            const std::size_t a = line.find(' ');
            const std::size_t b = line.rfind(' ');
            list.push_back({line.substr(0, a), line.substr(a + 1, b - a - 1), line.substr(b + 1) != "0"});
        }
        return list;
    }
    std::int64_t number(const std::string& sql) { return m_connection->number(sql); }

    /// Does it, asks, and takes it back. `noted`: with the head that was noted before.
    void attempt(const std::string& kind, const std::string& sql, bool noted = false)
    {
        m_connection->run("BEGIN");
        const auto done = guarded([&] { m_connection->runScript(sql); });
        if (!done) {
            ++refused;
        } else {
            ++tried[kind];
            const VerifyReport report = verifyBook(*m_connection, {}, noted ? fmt::format("{}:{}", m_last, m_head) : std::string());
            if (report.ok || report.firstBad.empty() || report.firstBadSeq <= 0)
                ADD_FAILURE() << "not found: " << sql;
            else
                ++found[kind];
        }
        m_connection->run("ROLLBACK");
    }

    std::map<std::string, int> tried, found;
    int refused = 0;

private:
    std::unique_ptr<Connection> m_connection;
    std::string m_head;
    std::int64_t m_last = 0;
};

std::string listOf(const std::vector<ColumnInfo>& columns, bool keysOnly)
{
    std::string text;
    for (const ColumnInfo& c : columns)
        if (c.key || !keysOnly)
            text += (text.empty() ? "" : ", ") + c.name;
    return text;
}

/// Another value for a column, whatever it holds.
std::string changed(const ColumnInfo& c)
{
    if (c.type == "TEXT")
        return fmt::format("coalesce({0} || 'x', 'x')", c.name);
    return c.type == "REAL" ? fmt::format("coalesce({0} + 0.000001, 1.0)", c.name) : fmt::format("coalesce({0} + 1, 1)", c.name);
}

TEST(Tamper, EveryColumnRowAndEntryIsFound)
{
    const Folder folder;
    makeFullBook(folder);
    Tampering t(folder / "shop");
    std::vector<std::string> tables{"journal"};
    for (const RecordTable& table : recordTables())
        if (table.shape.table != "visit_heads")
            tables.push_back(table.shape.table);
    for (const std::string& table : tables) {
        const auto columns = t.columns(table);
        const std::string keys = listOf(columns, true);
        const std::int64_t rows = t.number("SELECT count(*) FROM " + table);
        ASSERT_GT(rows, 0) << table;
        const auto row = [&](std::int64_t at) {
            return fmt::format("({0}) = (SELECT {0} FROM {1} ORDER BY {0} LIMIT 1 OFFSET {2})", keys, table, at);
        };
        for (std::int64_t at = 0; at < rows; at += std::max<std::int64_t>(1, rows / 2)) {
            for (const ColumnInfo& column : columns) {
                t.attempt("changed", fmt::format("UPDATE {} SET {} = {} WHERE {}", table, column.name, changed(column), row(at)));
                if (t.number(fmt::format("SELECT count({}) FROM {} WHERE {}", column.name, table, row(at))) == 0)
                    continue;
                t.attempt("emptied", fmt::format("UPDATE {} SET {} = NULL WHERE {}", table, column.name, row(at)));
                if (column.type != "TEXT" || at > 0)
                    continue;
                // Each kind of byte: a letter, a digit, a sign, a control character, one above 127, an end of text.
                for (const char* byte : {"'q'", "'7'", "'-'", "char(9)", "char(233)", "' '", "char(10)"})
                    t.attempt("byte",
                              fmt::format("UPDATE {0} SET {1} = {2} || substr({1}, 2) WHERE {3} AND substr({1}, 1, 1) <> {2}; SELECT CASE "
                                          "changes() WHEN 0 THEN json('nothing changed') END",
                                          table, column.name, byte, row(at)));
            }
            t.attempt("deleted", fmt::format("DELETE FROM {} WHERE {}", table, row(at)));
            for (const ColumnInfo& key : columns) {
                if (!key.key)
                    continue;
                std::string values;
                for (const ColumnInfo& c : columns)
                    values += (values.empty() ? "" : ", ") +
                              (c.name == key.name ? (c.type == "TEXT" ? c.name + " || 'x'" : c.name + " + 1000") : c.name);
                t.attempt("inserted", fmt::format("INSERT INTO {0} ({1}) SELECT {2} FROM {0} WHERE {3}", table, listOf(columns, false),
                                                  values, row(at)));
            }
        }
        if (table == "journal" || rows < 2)
            continue;
        // Two rows that say what the other's entry promised; two rows of a visit in each other's place.
        t.attempt("reordered",
                  fmt::format("UPDATE {0} SET entry = (SELECT max(entry) + min(entry) FROM {0}) - entry WHERE entry IN ((SELECT "
                              "max(entry) FROM {0}), (SELECT min(entry) FROM {0})) AND (SELECT count(DISTINCT entry) FROM {0}) > 1; "
                              "SELECT CASE changes() WHEN 0 THEN json('nothing changed') END",
                              table));
        if (keys == "visit, seq")
            t.attempt("reordered",
                      fmt::format("UPDATE {0} SET seq = seq + 100 WHERE seq < 3; UPDATE {0} SET seq = 103 - seq WHERE seq > 100; SELECT "
                                  "CASE (SELECT max(seq) FROM {0}) WHEN 1 THEN json('one row only') END",
                                  table));
    }
    const std::int64_t entries = t.number("SELECT count(*) FROM journal");
    for (std::int64_t seq = 1; seq < entries; ++seq) {
        t.attempt("entry gone", fmt::format("DELETE FROM journal WHERE seq = {}", seq));
        t.attempt(
            "entries swapped",
            fmt::format("UPDATE journal SET seq = -seq WHERE seq IN ({0}, {1}); UPDATE journal SET seq = {0} + {1} + seq WHERE seq < 0",
                        seq, seq + 1));
    }
    // Cut off together with its rows, a chain fits in itself: only a head that was noted tells.
    std::string cut;
    for (std::int64_t last = entries; last > entries - 12; --last) {
        cut += fmt::format("DELETE FROM journal WHERE seq = {};", last);
        for (std::size_t i = 1; i < tables.size(); ++i)
            cut += fmt::format("DELETE FROM {} WHERE entry = {};", tables[i], last);
        t.attempt("cut off", cut, true);
    }
    int tried = 0;
    int found = 0;
    for (const auto& [kind, count] : t.tried) {
        std::cout << fmt::format("{}: {} tried, {} found\n", kind, count, t.found[kind]);
        tried += count;
        found += t.found[kind];
    }
    EXPECT_EQ(found, tried);
    EXPECT_GT(tried, 1000);
    EXPECT_EQ(t.tried["cut off"], 12);
    std::cout << fmt::format("{} changes of {} tables: {} found; {} the database refused by itself\n", tried, tables.size(), found,
                             t.refused);
}

// A second connection takes its share of a large book: what is found, and what it is called, stays the same.
TEST(Tamper, TwoConnectionsFindWhatOneFinds)
{
    const Folder folder;
    makeFullBook(folder);
    const fs::path file = folder / "shop";
    {
        auto book = Book::open(file, OpenMode::ReadWrite);
        ASSERT_DONE(book);
        core::Records more;
        for (int i = 0; i < 300; ++i)
            more.visits.push_back(ordinaryVisit(fmt::format("w{:03}", i).c_str(), "2025-05-02"));
        ASSERT_DONE(book->add(more, kStamp));
    }
    const auto one = [](Connection& c) { return verifyBook(c, {}, {}, std::numeric_limits<std::int64_t>::max()); };
    const auto two = [](Connection& c) {
        Transaction view(c, Transaction::Kind::Read);
        return verifyBook(c, {}, {}, 1);
    };
    int asked = 0;
    for (const char* change : {
             "SELECT 1",
             "UPDATE readings SET mv = mv + 0.5 WHERE visit = 'v1' AND seq = 1",
             "UPDATE readings SET mv = mv + 0.5 WHERE visit = 'w299' AND seq = 1",
             "UPDATE readings SET mv = mv + 0.5 WHERE visit >= 'w150' AND seq = 2",
             "UPDATE readings SET visit = 'w3' WHERE visit = 'w007'",
             "DELETE FROM actions WHERE visit = 'w120'",
             "DELETE FROM visits WHERE visit = 'w299'",
             "UPDATE visits SET entry = 100000 WHERE visit = 'w010'",
             "UPDATE visits SET entry = (SELECT min(entry) FROM visits) WHERE visit = 'w011'",
             "UPDATE lots SET note = 'other'",
             "UPDATE journal SET person = 'T9' WHERE seq = 60",
             "DELETE FROM journal WHERE seq = 60",
             "UPDATE journal SET content = 'z' || substr(content, 2) WHERE seq = 60",
         }) {
        const fs::path copy = folder / fmt::format("copy{}", asked++);
        fs::copy_file(file, copy);
        auto opened = Connection::open(copy, Connection::Mode::ReadWrite);
        ASSERT_TRUE(opened.has_value());
        Connection& connection = **opened;
        connection.run("PRAGMA foreign_keys = OFF");
        {
            Slot name(Slot::Kind::Text);
            std::vector<std::string> triggers;
            {
                Statement query(connection, "SELECT name FROM sqlite_master WHERE type = 'trigger'", {}, {&name});
                for (bool row = query.first(); row; row = query.next())
                    triggers.push_back(name.text);
            }
            for (const std::string& trigger : triggers)
                connection.run("DROP TRIGGER " + trigger);
        }
        connection.runScript(change);
        const VerifyReport alone = one(connection);
        EXPECT_EQ(alone.ok, asked == 1) << change;
        for (int round = 0; round < 5; ++round) {
            const VerifyReport shared = two(connection);
            EXPECT_EQ(shared.ok, alone.ok) << change;
            EXPECT_EQ(shared.firstBad, alone.firstBad) << change;
            EXPECT_EQ(shared.firstBadSeq, alone.firstBadSeq) << change;
            EXPECT_EQ(shared.entries, alone.entries) << change;
            EXPECT_EQ(shared.head, alone.head) << change;
        }
        // Changes that are not saved yet are seen too: no second connection could.
        {
            Transaction writing(connection, Transaction::Kind::Write);
            connection.runScript("UPDATE lots SET note = 'unsaved'");
            EXPECT_FALSE(verifyBook(connection, {}, {}, 1).ok) << change;
        }
        const auto stopped = guarded([&] {
            return verifyBook(
                connection, [](double) { return false; }, {}, 1);
        });
        EXPECT_TRUE(stopped.has_value() || stopped.error().code == core::Errc::Cancelled) << change;
    }
}

TEST(Tamper, ANotedHeadNamesTheFirstEntryThatDoesNotFit)
{
    const Folder folder;
    makeFullBook(folder);
    const auto book = Book::open(folder / "shop", OpenMode::ReadOnly);
    ASSERT_DONE(book);
    const auto journal = book->journal();
    const std::string old = (*journal)[4].hash;
    EXPECT_TRUE(book->verify({}, old)->ok);
    EXPECT_TRUE(book->verify({}, old.substr(0, 12))->ok);
    EXPECT_TRUE(book->verify({}, "5:" + old)->ok);
    const auto elsewhere = book->verify({}, "6:" + old);
    EXPECT_FALSE(elsewhere->ok);
    EXPECT_EQ(elsewhere->firstBadSeq, 6);
    const auto beyond = book->verify({}, "100000:" + old);
    EXPECT_EQ(beyond->firstBadSeq, static_cast<std::int64_t>(journal->size()) + 1);
    EXPECT_FALSE(book->verify({}, std::string(64, '0'))->ok);
    for (const char* bad : {"12345", "xyzxyzxyzxyzxyz", "0:0123456789abcdef", "a:0123456789abcdef"})
        EXPECT_EQ(book->verify({}, bad).error().code, core::Errc::BadInput) << bad;
}

// Any byte of the file: what the book reads stays the same, or verify says that it does not.
TEST(Tamper, NoByteOfTheFileChangesARecordUnseen)
{
    const Folder folder;
    makeFullBook(folder);
    const fs::path file = folder / "shop";
    const auto reads = [&]() -> core::Result<core::Records> {
        const auto book = Book::open(file, OpenMode::ReadOnly);
        if (!book)
            return std::unexpected(book.error());
        return book->loadRecords();
    };
    const auto original = reads();
    ASSERT_DONE(original);
    std::string bytes;
    {
        std::ifstream in(file, std::ios::binary);
        bytes.assign(std::istreambuf_iterator<char>(in), {});
    }
    std::mt19937 random(3);
    const int flips = std::getenv("HALFCELL_LONG") != nullptr ? 40000 : 250;
    int damaged = 0;
    int harmless = 0;
    for (int i = 0; i < flips; ++i) {
        const std::size_t place = random() % bytes.size();
        const char flipped = static_cast<char>(bytes[place] ^ static_cast<char>(1U << (random() % 8U)));
        const auto write = [&](char byte) {
            std::fstream out(file, std::ios::binary | std::ios::in | std::ios::out);
            out.seekp(static_cast<std::streamoff>(place));
            out.put(byte);
        };
        write(flipped);
        bool seen = true;
        if (const auto book = Book::open(file, OpenMode::ReadOnly)) {
            const auto report = book->verify();
            seen = !report || !report->ok;
        }
        if (seen) {
            ++damaged;
        } else {
            ++harmless;
            const auto now = reads();
            EXPECT_TRUE(now.has_value() && *now == *original) << "byte " << place;
        }
        write(bytes[place]);
    }
    std::cout << fmt::format("{} bytes flipped: {} found, {} changed no record\n", flips, damaged, harmless);
    EXPECT_GT(damaged, 0);
}

}  // namespace
}  // namespace halfcell::db
