#include "db/book/book_impl.h"
#include "tests/bench/interleaved.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

/// The book's speed against the floors of the same run: scans through the raw C interface, and bytes written and synced.
/// HALFCELL_BENCH_SENSORS sets the size (260 visits each; 200 if not set, 2000 for the size the goals were set with).
namespace halfcell::db {
namespace {

using bench::ratioToFloor;
namespace fs = std::filesystem;

constexpr int kVisitsEach = 260;
constexpr std::int64_t kStart = 1'700'000'000;
constexpr std::int64_t kWeek = 7 * 86400;

void must(const auto& result)
{
    if (!result) {
        std::cerr << result.error().detail << " " << result.error().field << '\n';
        std::exit(1);
    }
}

std::string serialOf(int sensor)
{
    const std::string number = std::to_string(10000 + sensor);
    return "K7-" + number;
}

core::Visit visitTo(int sensor, std::int64_t when)
{
    core::Visit v;
    v.when = {when, 60};
    v.recorded = v.when;
    v.serial = serialOf(sensor);
    v.tag = "AE-1";
    v.person = "T1";
    v.reason = core::VisitReason::Routine;
    const double drift = static_cast<double>(when - kStart) / static_cast<double>(kWeek) * 0.02;
    for (int i = 0; i < 4; ++i) {
        core::Reading r;
        r.when = {when + 60 * i, 60};
        r.recorded = v.when;
        r.phase = i < 2 ? core::Phase::AsFound : core::Phase::AsLeft;
        r.standard = i % 2 == 0 ? "ph7.00" : "ph10.01";
        r.lot = i % 2 == 0 ? "B7-2231" : "B10-0874";
        r.mv = i % 2 == 0 ? -10.25 - drift : -176.5 + drift;
        r.temp_degc = 19.5;
        r.temp_source = core::TemperatureSource::Measured;
        r.wait_s = 60.0;
        r.t90_s = 24.0;
        r.meter = "H3";
        r.thermometer = "C2";
        r.dip = 1;
        v.readings.push_back(r);
    }
    for (int step = 1; step <= 2; ++step) {
        core::Action a;
        a.when = v.when;
        a.recorded = v.when;
        a.step = step;
        a.action = step == 1 ? core::ActionKey::CleanDetergent : core::ActionKey::CleanAcid;
        a.minutes = 6.0;
        v.actions.push_back(a);
    }
    return v;
}

/// The book of the benches, made once, in time order as a shop would.
class Bench {
public:
    static Bench& instance()
    {
        static Bench bench;
        return bench;
    }
    Bench(const Bench&) = delete;
    Bench& operator=(const Bench&) = delete;

    Book& book() { return *m_book; }
    sqlite3* raw() { return m_raw; }
    const fs::path& file() const { return m_file; }
    int sensors() const { return m_sensors; }
    std::int64_t nextTime() { return m_time += 600; }

private:
    Bench()
    {
        if (const char* wanted = std::getenv("HALFCELL_BENCH_SENSORS"))
            m_sensors = std::max(1, std::atoi(wanted));
        m_folder = fs::temp_directory_path() / ("halfcell_bench_" + std::to_string(::getpid()));
        fs::create_directories(m_folder);
        m_file = m_folder / "bench.halfcell";
        const BookStamp stamp{.person = "T1", .now = {kStart, 0}};
        auto made = Book::create(m_file, stamp);
        must(made);
        m_book = std::make_unique<Book>(std::move(*made));
        core::Records plant;
        core::Site site;
        site.site = "S";
        plant.sites.push_back(site);
        core::Point point;
        point.tag = "AE-1";
        point.site = "S";
        plant.points.push_back(point);
        core::Model model;
        model.model = "K7";
        model.reference = core::ReferenceDesign::DoubleGel;
        model.sensing = core::Sensing::Bulb;
        plant.models.push_back(model);
        for (int s = 0; s < m_sensors; ++s) {
            core::Sensor sensor;
            sensor.serial = serialOf(s);
            sensor.model = "K7";
            plant.sensors.push_back(sensor);
        }
        must(m_book->add(plant, stamp));
        for (int v = 0; v < kVisitsEach; ++v) {
            core::Records week;
            for (int s = 0; s < m_sensors; ++s) {
                core::Visit visit = visitTo(s, kStart + v * kWeek + s * 300);
                // Keys in the order of time, as UUIDv7 keys are.
                std::string number = std::to_string(v * m_sensors + s);
                visit.visit = "0190a3f0-0000-7000-8000-" + std::string(12 - number.size(), '0') + number;
                week.visits.push_back(std::move(visit));
            }
            must(m_book->add(week, stamp));
        }
        m_time = kStart + kVisitsEach * kWeek;
        must(m_book->refreshLatest({}, {m_time, 0}));
        if (sqlite3_open_v2(m_file.c_str(), &m_raw, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK)
            std::exit(1);
        for (const char* pragma : {"PRAGMA cache_size = -65536", "PRAGMA mmap_size = 268435456"})
            sqlite3_exec(m_raw, pragma, nullptr, nullptr, nullptr);
        std::cerr << "book: " << m_sensors << " sensors, " << m_sensors * kVisitsEach << " visits, " << fs::file_size(m_file) / 1000000 << " MB\n";
    }
    ~Bench()
    {
        sqlite3_close(m_raw);
        m_book.reset();
        std::error_code ec;
        fs::remove_all(m_folder, ec);
    }

    int m_sensors = 200;
    fs::path m_folder, m_file;
    std::unique_ptr<Book> m_book;
    sqlite3* m_raw = nullptr;
    std::int64_t m_time = 0;
};

/// Steps through a prepared query and reads every column as what it is.
std::size_t stepThrough(sqlite3_stmt* statement)
{
    std::size_t sum = 0;
    const int columns = sqlite3_column_count(statement);
    while (sqlite3_step(statement) == SQLITE_ROW)
        for (int c = 0; c < columns; ++c)
            switch (sqlite3_column_type(statement, c)) {
            case SQLITE_TEXT: {
                const auto* text = sqlite3_column_text(statement, c);
                sum += text[0] + static_cast<std::size_t>(sqlite3_column_bytes(statement, c));
                break;
            }
            case SQLITE_FLOAT: sum += static_cast<std::size_t>(sqlite3_column_double(statement, c) != 0.0); break;
            case SQLITE_INTEGER: sum += static_cast<std::size_t>(sqlite3_column_int64(statement, c) != 0); break;
            default: break;
            }
    sqlite3_reset(statement);
    return sum;
}

sqlite3_stmt* prepare(const std::string& sql)
{
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(Bench::instance().raw(), sql.c_str(), -1, &statement, nullptr) != SQLITE_OK) {
        std::cerr << sqlite3_errmsg(Bench::instance().raw()) << '\n';
        std::exit(1);
    }
    return statement;
}

/// The columns of a reading as the store reads them.
std::string readingColumns(std::string_view prefix)
{
    const RowSlots<core::Reading> slots;
    return joinNames(slots.names(), prefix);
}

// G1: all readings through the store, as row structs, against the raw scan of the same columns.
void allReadings(benchmark::State& state)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* scan = prepare("SELECT visit, " + readingColumns("") + " FROM readings ORDER BY visit, seq");
    std::size_t sum = 0;
    ratioToFloor(
        state, 1.9, [&] { sum += stepThrough(scan); },
        [&] {
            b.book().impl().visits.allReadings([&](std::string_view visit, core::Reading&& r) {
                sum += visit.size() + static_cast<std::size_t>(r.mv.has_value());
            });
        });
    benchmark::DoNotOptimize(sum);
    sqlite3_finalize(scan);
}

// G3: one sensor's history, 1,040 readings, against the raw run of the same query.
void oneHistory(benchmark::State& state)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* query = prepare("SELECT r.visit, " + readingColumns("r.") +
                                  " FROM visits v JOIN readings r ON r.visit = v.visit WHERE v.serial = ? ORDER BY v.when_s, v.visit, r.seq");
    constexpr int kSensors = 20;
    std::size_t sum = 0;
    ratioToFloor(
        state, 1.5,
        [&] {
            for (int s = 0; s < kSensors; ++s) {
                const std::string serial = serialOf(s * b.sensors() / kSensors);
                sqlite3_bind_text(query, 1, serial.c_str(), -1, SQLITE_TRANSIENT);
                sum += stepThrough(query);
            }
        },
        [&] {
            for (int s = 0; s < kSensors; ++s) {
                std::vector<core::Reading> readings;
                b.book().impl().visits.readingsOfSensor(serialOf(s * b.sensors() / kSensors),
                                                        [&](std::string_view, core::Reading&& r) { readings.push_back(std::move(r)); });
                sum += readings.size();
            }
        });
    benchmark::DoNotOptimize(sum);
    sqlite3_finalize(query);
}

// G4: the fleet list from the stored states, against the raw scan of all visits, and of all readings.
void fleetList(benchmark::State& state, const char* table, double goal)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* scan = prepare(std::string("SELECT * FROM ") + table);
    std::size_t sum = 0;
    ratioToFloor(
        state, goal, [&] { sum += stepThrough(scan); }, [&] { sum += b.book().latestStates()->size(); });
    benchmark::DoNotOptimize(sum);
    sqlite3_finalize(scan);
}

/// Bytes that one durable visit adds to the write-ahead log.
std::size_t walBytesOfAVisit()
{
    Bench& b = Bench::instance();
    fs::path log = b.file();
    log += "-wal";
    b.book().impl().connection->run("PRAGMA wal_checkpoint(TRUNCATE)");
    constexpr int kVisits = 50;
    for (int i = 0; i < kVisits; ++i)
        must(b.book().recordVisit(visitTo(i % b.sensors(), b.nextTime()), {.person = "T1", .now = {b.nextTime(), 0}}));
    return static_cast<std::size_t>(fs::file_size(log)) / kVisits;
}

// G5: a durable visit (one visit, four readings, two actions, its journal entry), against writing and syncing as many bytes
// as it adds to the log, over bytes that are there already.
void durableVisit(benchmark::State& state)
{
    Bench& b = Bench::instance();
    const std::size_t bytes = walBytesOfAVisit();
    constexpr int kVisits = 40;
    const std::string content(bytes, 'x');
    fs::path name = b.file();
    name += ".floor";
    const int fd = ::open(name.c_str(), O_RDWR | O_CREAT | O_TRUNC, 0600);
    if (fd < 0)
        std::exit(1);
    for (int i = 0; i < kVisits; ++i)
        if (::pwrite(fd, content.data(), bytes, static_cast<off_t>(static_cast<std::size_t>(i) * bytes)) < 0)
            std::exit(1);
    ::fsync(fd);
    ratioToFloor(
        state, 1.6,
        [&] {
            for (int i = 0; i < kVisits; ++i) {
                if (::pwrite(fd, content.data(), bytes, static_cast<off_t>(static_cast<std::size_t>(i) * bytes)) < 0)
                    std::exit(1);
                ::fdatasync(fd);
            }
        },
        [&] {
            for (int i = 0; i < kVisits; ++i)
                must(b.book().recordVisit(visitTo(i % b.sensors(), b.nextTime()), {.person = "T1", .now = {b.nextTime(), 0}}));
        });
    state.counters["wal_bytes"] = static_cast<double>(bytes);
    ::close(fd);
}

BENCHMARK(allReadings)->Name("G1_all_readings")->UseManualTime()->Iterations(7)->Unit(benchmark::kMillisecond);
BENCHMARK(oneHistory)->Name("G3_one_history")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(fleetList, against_visits, "visits", 1.9)->Name("G4_fleet_list/visits")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(fleetList, against_readings, "readings", 0.7)
    ->Name("G4_fleet_list/readings")
    ->UseManualTime()
    ->Iterations(7)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(durableVisit)->Name("G5_durable_visit")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace halfcell::db

BENCHMARK_MAIN();
