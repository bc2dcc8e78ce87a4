#include "tests/bench/interleaved.h"
#include "tests/bench/process.h"

#include <filesystem>

// G24: a verb of the command line that reads little, against a process that links SOCI and returns.
namespace {

using namespace halfcell;

constexpr int kTurns = 10;

void floorProcess()
{
    for (int i = 0; i < kTurns; ++i)
        bench::run(HALFCELL_SOCI_START, {});
}

/// The journal of a book that is just made.
void verbThatReadsLittle(benchmark::State& state)
{
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / "halfcell-start-bench";
    std::filesystem::create_directories(folder);
    const std::string book = (folder / "small.halfcell").string();
    std::filesystem::remove(book);
    bench::run(HALFCELL_CLI, {"new", "--book", book});
    bench::ratioToFloor(state, 2.0, floorProcess, [&] {
        for (int i = 0; i < kTurns; ++i)
            bench::run(HALFCELL_CLI, {"changes", "--book", book});
    });
    std::filesystem::remove_all(folder);
}

/// A calculation without a book: the shipped rules are read.
void calculation(benchmark::State& state)
{
    bench::ratioToFloor(state, 2.0, floorProcess, [] {
        for (int i = 0; i < kTurns; ++i)
            bench::run(HALFCELL_CLI, {"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=160,temp=25"});
    });
}

}  // namespace

BENCHMARK(verbThatReadsLittle)->Name("G24_changes")->UseManualTime()->Iterations(11)->Unit(benchmark::kMillisecond);
BENCHMARK(calculation)->Name("G24_calc")->UseManualTime()->Iterations(11)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
