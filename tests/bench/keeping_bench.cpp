#include "db/stores/record_tables.h"
#include "db/stores/row_cursor.h"
#include "tests/bench/bench_book.h"
#include "tests/bench/interleaved.h"

#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <map>
#include <string>
#include <vector>

/// Writing a great many visits, and checking them all, against the floors of the same run. HALFCELL_BENCH_VISITS sets how many are
/// written (20,000 if not set; 100,000 for the size the goal was set with).
namespace halfcell::db {
namespace {

using bench::ratioToFloor;
using namespace bench_book;
namespace fs = std::filesystem;

constexpr int kSensors = 100;
constexpr std::size_t kPerTransaction = 10'000;

void removeBook(const fs::path& file)
{
    std::error_code ec;
    for (const char* suffix : {"", "-wal", "-shm"}) {
        fs::path part = file;
        part += suffix;
        fs::remove(part, ec);
    }
}

/// Parsed visits in memory, and an empty book with the plant they refer to.
struct ImportWork {
    std::vector<core::Records> batches;
    fs::path empty, file;
    const BookStamp stamp{.person = "T1", .now = {kStart, 0}};

    ImportWork()
    {
        int visits = 20'000;
        if (const char* wanted = std::getenv("HALFCELL_BENCH_VISITS"))
            visits = std::max(100, std::atoi(wanted));
        for (int i = 0; i < visits; ++i) {
            if (static_cast<std::size_t>(i) % kPerTransaction == 0)
                batches.emplace_back();
            core::Visit visit = visitTo(i % kSensors, kStart + i * 600);
            visit.visit = keyOf(i);
            batches.back().visits.push_back(std::move(visit));
        }
        const fs::path folder = Bench::instance().folder();
        empty = folder / "empty";
        file = folder / "import";
        auto book = Book::create(empty, stamp);
        must(book);
        must(book->add(plantOf(kSensors), stamp));
    }
};

/// A prepared INSERT on a raw connection, bound from slots.
class RawInsert {
public:
    RawInsert(sqlite3* raw, const TableShape& shape)
    {
        if (sqlite3_prepare_v2(raw, insertSql(shape.table, shape.names).c_str(), -1, &m_statement, nullptr) != SQLITE_OK)
            std::exit(1);
    }
    RawInsert(const RawInsert&) = delete;
    RawInsert& operator=(const RawInsert&) = delete;
    ~RawInsert() { sqlite3_finalize(m_statement); }
    void run(const std::vector<Slot>& slots)
    {
        int place = 0;
        for (const Slot& slot : slots) {
            ++place;
            if (slot.isNull())
                sqlite3_bind_null(m_statement, place);
            else if (slot.kind == Slot::Kind::Text)
                sqlite3_bind_text(m_statement, place, slot.text.c_str(), static_cast<int>(slot.text.size()), SQLITE_STATIC);
            else if (slot.kind == Slot::Kind::Real)
                sqlite3_bind_double(m_statement, place, slot.real);
            else
                sqlite3_bind_int64(m_statement, place, slot.integer);
        }
        sqlite3_bind_int64(m_statement, place + 1, 1);
        if (sqlite3_step(m_statement) != SQLITE_DONE)
            std::exit(1);
        sqlite3_reset(m_statement);
    }

private:
    sqlite3_stmt* m_statement = nullptr;
};

/// The rows of the visits, ready to bind.
std::vector<std::pair<std::string, std::vector<Slot>>> rowsOf(const ImportWork& work)
{
    std::vector<std::pair<std::string, std::vector<Slot>>> rows;
    const auto add = [&](auto& slots, const auto& row, const std::string& visit, std::int64_t seq) {
        slots.fill(row);
        std::vector<Slot> all;
        if (seq > 0) {
            all.emplace_back(Slot::Kind::Text).set(visit);
            all.emplace_back(Slot::Kind::Integer).set(static_cast<long long>(seq));
        }
        all.insert(all.end(), slots.slots().begin(), slots.slots().end());
        return all;
    };
    RowSlots<VisitRow> visits;
    RowSlots<core::Reading> readings;
    RowSlots<core::Action> actions;
    for (const core::Records& batch : work.batches)
        for (const core::Visit& visit : batch.visits) {
            rows.emplace_back("visits", add(visits, VisitRow{visit}, visit.visit, 0));
            std::int64_t seq = 0;
            for (const core::Reading& reading : visit.readings)
                rows.emplace_back("readings", add(readings, reading, visit.visit, ++seq));
            seq = 0;
            for (const core::Action& action : visit.actions)
                rows.emplace_back("actions", add(actions, action, visit.visit, ++seq));
        }
    return rows;
}

// G7: visits that are parsed already, into a new book with their chained journal, on disk at the end, against the bare rows written
// through the raw interface in one transaction without any journal and without waiting for the disk.
void importVisits(benchmark::State& state)
{
    const ImportWork work;
    const auto rows = rowsOf(work);
    ratioToFloor(
        state, 2.5,
        [&] {
            removeBook(work.file);
            fs::copy_file(work.empty, work.file);
            sqlite3* raw = nullptr;
            if (sqlite3_open_v2(work.file.c_str(), &raw, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK)
                std::exit(1);
            for (const char* sql : {"PRAGMA journal_mode = OFF", "PRAGMA synchronous = OFF", "PRAGMA cache_size = -65536", "BEGIN"})
                sqlite3_exec(raw, sql, nullptr, nullptr, nullptr);
            {
                std::map<std::string, RawInsert> inserts;
                for (const auto& [table, slots] : rows) {
                    auto at = inserts.find(table);
                    if (at == inserts.end())
                        at = inserts.try_emplace(table, raw, recordTable(table)->shape).first;
                    at->second.run(slots);
                }
            }
            sqlite3_exec(raw, "COMMIT", nullptr, nullptr, nullptr);
            sqlite3_close(raw);
        },
        [&] {
            removeBook(work.file);
            fs::copy_file(work.empty, work.file);
            auto book = Book::open(work.file, OpenMode::ReadWrite);
            must(book);
            for (const core::Records& batch : work.batches)
                must(book->add(batch, work.stamp));
        });
    removeBook(work.file);
    removeBook(work.empty);
}

// G8: verify, against the digests of as many bytes and a raw scan of the same rows.
void verifyAll(benchmark::State& state)
{
    Bench& b = Bench::instance();
    std::size_t bytes = 0;
    std::vector<sqlite3_stmt*> scans;
    for (const RecordTable& table : recordTables()) {
        std::string content;
        for (RowCursor cursor(*b.book().impl().connection, table.shape, table.keys); cursor.hasRow(); cursor.next()) {
            content.clear();
            cursor.content(content);
            bytes += content.size();
        }
        scans.push_back(prepare("SELECT " + joinNames(table.shape.names) + ", entry FROM " + table.shape.table));
    }
    scans.push_back(prepare("SELECT * FROM journal"));
    const auto entries = static_cast<std::size_t>(b.book().info()->entries);
    // An entry's own text for the chain: the fields, the hash before it and the digest, with their lengths.
    constexpr std::size_t kChainBytes = 320;
    const std::string content(bytes / entries, 'x');
    const std::string chained(kChainBytes, 'y');
    Sha256 sha;
    std::size_t sum = 0;
    ratioToFloor(
        state, 1.5,
        [&] {
            for (std::size_t i = 0; i < entries; ++i)
                sum += sha.digest(content)[0] + sha.digest(chained)[0];
            for (sqlite3_stmt* scan : scans)
                sum += stepThrough(scan);
        },
        [&] {
            const auto report = b.book().verify();
            must(report);
            sum += report->ok ? 1 : 0;
        });
    benchmark::DoNotOptimize(sum);
    for (sqlite3_stmt* scan : scans)
        sqlite3_finalize(scan);
}

BENCHMARK(importVisits)->Name("G7_import")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);
BENCHMARK(verifyAll)->Name("G8_verify")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace halfcell::db

BENCHMARK_MAIN();
