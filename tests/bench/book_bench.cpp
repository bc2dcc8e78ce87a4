#include "tests/bench/bench_book.h"
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
namespace halfcell::db {
namespace {

using bench::ratioToFloor;
using namespace bench_book;
namespace fs = std::filesystem;

// G1: all readings through the store, as row structs, against the raw scan of the same columns.
void allReadings(benchmark::State& state)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* scan = prepare("SELECT visit, " + readingColumns("") + " FROM readings ORDER BY visit, seq");
    std::size_t sum = 0;
    ratioToFloor(
        state, 1.9, [&] { sum += stepThrough(scan); },
        [&] {
            b.book().impl().visits.allReadings(
                [&](std::string_view visit, core::Reading&& r) { sum += visit.size() + static_cast<std::size_t>(r.mv.has_value()); });
        });
    benchmark::DoNotOptimize(sum);
    sqlite3_finalize(scan);
}

// G2: all readings grouped by sensor, against the raw scan of the same columns.
void groupedReadings(benchmark::State& state)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* scan = prepare("SELECT visit, " + readingColumns("") + " FROM readings ORDER BY visit, seq");
    std::size_t sum = 0;
    ratioToFloor(
        state, 3.0, [&] { sum += stepThrough(scan); }, [&] { sum += b.book().impl().visits.readingsBySensor().size(); });
    benchmark::DoNotOptimize(sum);
    sqlite3_finalize(scan);
}

// G3: one sensor's history, 1,040 readings, against the raw run of the same query.
void oneHistory(benchmark::State& state)
{
    Bench& b = Bench::instance();
    sqlite3_stmt* query =
        prepare("SELECT r.visit, " + readingColumns("r.") +
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

// G6: the 99th percentile of a durable visit, against their median. The write-ahead log is written back in between, as it falls.
void slowestVisits(benchmark::State& state)
{
    Bench& b = Bench::instance();
    constexpr int kVisits = 1000;
    std::vector<double> ratios;
    for ([[maybe_unused]] auto round : state) {
        std::vector<double> taken;
        for (int i = 0; i < kVisits; ++i)
            taken.push_back(bench::secondsOf([&] {
                must(b.book().recordVisit(visitTo(i % b.sensors(), b.nextTime()), {.person = "T1", .now = {b.nextTime(), 0}}));
            }));
        std::ranges::sort(taken);
        state.SetIterationTime(taken[kVisits * 99 / 100]);
        ratios.push_back(taken[kVisits * 99 / 100] / taken[kVisits / 2]);
    }
    std::ranges::sort(ratios);
    state.counters["ratio"] = ratios[ratios.size() / 2];
    state.counters["least"] = ratios.front();
    state.counters["most"] = ratios.back();
    state.counters["goal"] = 10.0;
}

BENCHMARK(allReadings)->Name("G1_all_readings")->UseManualTime()->Iterations(7)->Unit(benchmark::kMillisecond);
BENCHMARK(groupedReadings)->Name("G2_grouped_readings")->UseManualTime()->Iterations(7)->Unit(benchmark::kMillisecond);
BENCHMARK(oneHistory)->Name("G3_one_history")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(fleetList, against_visits, "visits", 1.9)
    ->Name("G4_fleet_list/visits")
    ->UseManualTime()
    ->Iterations(9)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(fleetList, against_readings, "readings", 0.7)
    ->Name("G4_fleet_list/readings")
    ->UseManualTime()
    ->Iterations(7)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(durableVisit)->Name("G5_durable_visit")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(slowestVisits)->Name("G6_slowest_visits")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace halfcell::db

BENCHMARK_MAIN();
