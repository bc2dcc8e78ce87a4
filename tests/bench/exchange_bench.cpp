#include "core/quantity/number.h"
#include "db/exchange/csv_split.h"
#include "db/exchange/csv_write.h"
#include "db/exchange/export_rows.h"
#include "db/exchange/mapped_file.h"
#include "tests/bench/interleaved.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <string>

/// Tables in and out, against a scan of the same file for line ends (G16) and the same cells as CSV text (G17).
/// HALFCELL_BENCH_ROWS sets the rows read (1,000,000 if not set).
namespace halfcell::db {
namespace {

namespace fs = std::filesystem;

class Folder {
public:
    Folder()
    {
        std::string name = (fs::temp_directory_path() / "halfcell-bench-XXXXXX").string();
        m_path = ::mkdtemp(name.data());
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder()
    {
        std::error_code ec;
        fs::remove_all(m_path, ec);
    }
    [[nodiscard]] const fs::path& path() const { return m_path; }

private:
    fs::path m_path;
};

/// Readings of nine columns, about 98 bytes a row; quotes around a cell in 5 % of them.
const fs::path& bigTable()
{
    static const Folder folder;
    static const fs::path file = [] {
        const char* asked = std::getenv("HALFCELL_BENCH_ROWS");
        const int rows = asked == nullptr ? 1'000'000 : std::atoi(asked);
        fs::path made = folder.path() / "readings.csv";
        std::ofstream out(made, std::ios::binary);
        out << "visit,when,serial,person,phase,standard,mv,temp_degc,note\n";
        for (int i = 0; i < rows; ++i)
            out << fmt::format("0190a1b2-c3d4-7e5f-8a9b-{:012},2025-03-02T08:{:02}:00Z,K7-{:05},T{},as_found,ph7.00,{:.1f},{:.1f},{}\n",
                               i / 4, i % 60, i % 2000, i % 5, -12.5 + i % 40, 15.0 + i % 10,
                               i % 20 == 0 ? "\"slow, then \"\"ok\"\"\"" : "");
        return made;
    }();
    return file;
}

void scan(std::string_view text)
{
    std::size_t lines = 0;
    for (const char* at = text.data();
         (at = static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(text.data() + text.size() - at)))) != nullptr; ++at)
        ++lines;
    benchmark::DoNotOptimize(lines);
}

void csvParse(benchmark::State& state)
{
    const auto map = MappedFile::open(bigTable());
    bench::ratioToFloor(
        state, 4.0, [&] { scan(map->text()); },
        [&] {
            CsvSplitter splitter(map->text());
            CsvRecord record;
            double sum = 0.0;
            while (splitter.next(record))
                for (const std::size_t column : {std::size_t{6}, std::size_t{7}})
                    if (const auto number = core::parseNumber(record.cells[column]))
                        sum += *number;
            benchmark::DoNotOptimize(sum);
        });
}

struct Row {
    std::string visit, when, serial, person, note;
    double mv = 0.0, temp = 0.0;
};

void csvRows(benchmark::State& state)
{
    const auto map = MappedFile::open(bigTable());
    bench::ratioToFloor(
        state, 12.0, [&] { scan(map->text()); },
        [&] {
            CsvSplitter splitter(map->text());
            CsvRecord record;
            std::size_t held = 0;
            while (splitter.next(record)) {
                Row row{std::string(record.cells[0]), std::string(record.cells[1]), std::string(record.cells[2]),
                        std::string(record.cells[3]), std::string(record.cells[8])};
                row.mv = core::parseNumber(record.cells[6]).value_or(0.0);
                row.temp = core::parseNumber(record.cells[7]).value_or(0.0);
                held += row.visit.size() + row.note.size();
            }
            benchmark::DoNotOptimize(held);
        });
}

/// 25,000 visits of four readings: 100,000 rows of readings.
core::Records manyVisits()
{
    core::Records records;
    for (int i = 0; i < 25'000; ++i) {
        core::Visit visit;
        visit.visit = fmt::format("v{:06}", i);
        visit.when = {1'700'000'000 + 600 * static_cast<std::int64_t>(i), 0};
        visit.serial = fmt::format("K7-{:04}", i % 200);
        visit.person = "T1";
        for (int r = 0; r < 4; ++r) {
            core::Reading reading;
            reading.when = visit.when;
            reading.phase = r < 2 ? core::Phase::AsFound : core::Phase::AsLeft;
            reading.standard = r % 2 == 0 ? "ph7.00" : "ph10.01";
            reading.mv = -12.5 - r * 40.25 - i % 7;
            reading.temp_degc = 19.5;
            reading.wait_s = 60.0;
            visit.readings.push_back(std::move(reading));
        }
        records.visits.push_back(std::move(visit));
    }
    return records;
}

void workbookOut(benchmark::State& state)
{
    const Folder folder;
    const core::Records records = manyVisits();
    const core::Instant asOf{1'800'000'000, 0};
    bench::ratioToFloor(
        state, 25.0,
        [&] {
            for (std::size_t i = 0; i < kPublicTables; ++i) {
                std::string text;
                exportRows(records, static_cast<PublicTable>(i), [&](const std::vector<std::string>& cells) { appendRecord(text, cells); });
                if (!writeFile(folder.path() / "table.csv", text))
                    std::abort();
            }
        },
        [&] {
            std::error_code ec;
            fs::remove(folder.path() / "tables.xlsx", ec);
            if (!writeWorkbook(records, folder.path() / "tables.xlsx", asOf))
                std::abort();
        });
}

BENCHMARK(csvParse)->Name("G16 CSV in, split and numbers")->UseManualTime()->Iterations(7)->Unit(benchmark::kMillisecond);
BENCHMARK(csvRows)->Name("G16 CSV in, rows of strings")->UseManualTime()->Iterations(7)->Unit(benchmark::kMillisecond);
BENCHMARK(workbookOut)->Name("G17 XLSX out")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace halfcell::db

BENCHMARK_MAIN();
