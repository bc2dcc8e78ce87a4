#include "tests/db/exchange/tables.h"

#include <cstdlib>

#include <fmt/format.h>

/// Very many readings at once: 100,000, or a million with HALFCELL_LONG=1 in the environment (ctest -L slow).
namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

constexpr int kSensors = 400;
constexpr int kReadingsAVisit = 4;

std::size_t readings()
{
    return std::getenv("HALFCELL_LONG") != nullptr ? 1'000'000 : 100'000;
}

/// Memory of the process that no file stands behind, in MB: what a larger table must not let grow.
double anonymousMegabytes()
{
    std::ifstream status("/proc/self/status");
    for (std::string line; std::getline(status, line);)
        if (line.starts_with("RssAnon:"))
            return std::strtod(line.c_str() + 8, nullptr) / 1024;
    return 0;
}

/// 400 sensors in turn, each visit with two standards as found and as left.
void putLargeTables(const std::filesystem::path& folder, std::size_t rows)
{
    std::string sensors = "serial,model\n";
    for (int s = 0; s < kSensors; ++s)
        sensors += fmt::format("S{:04d},M1\n", s);
    putTables(folder, {{"models", "model,kind,reference,sensing\nM1,ph,double_gel,bulb\n"}, {"sensors", sensors}});
    std::ofstream out(folder / "readings.csv", std::ios::binary);
    out << "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s\n";
    static constexpr const char* kDips[kReadingsAVisit] = {"as_found,ph7.00,-3", "as_found,ph4.01,168", "as_left,ph7.00,-2",
                                                           "as_left,ph4.01,170"};
    for (std::size_t row = 0; row < rows; ++row) {
        const std::size_t visit = row / kReadingsAVisit;
        const std::size_t day = visit / kSensors;
        out << fmt::format("v{},{:04d}-{:02d}-{:02d}T{:02d}:{:02d}:00Z,S{:04d},T1,{},20,120\n", visit, 2000 + day / 336, 1 + day / 28 % 12,
                           1 + day % 28, 8 + visit % kSensors / 60, visit % 60, visit % kSensors, kDips[row % kReadingsAVisit]);
    }
}

class LargeImport : public ExchangeTest {};

TEST_F(LargeImport, TakesFlatMemoryShowsItsShareAndIsStoppedWithoutATrace)
{
    const std::size_t rows = readings();
    putLargeTables(folder / "large", rows);
    const auto before = book->info();
    ASSERT_DONE(before);
    const auto stopped = importTables(*book, {folder / "large"}, {.progress = [](double share) { return share < 0.6; }}, kStamp, report);
    ASSERT_FALSE(stopped.has_value());
    EXPECT_EQ(stopped.error().code, Errc::Cancelled);
    EXPECT_EQ(book->info()->head, before->head);
    EXPECT_EQ(book->info()->visits, before->visits);

    const double start = anonymousMegabytes();
    double peak = start, last = 0;
    int calls = 0;
    report = {};
    const auto done = importTables(*book, {folder / "large"},
                                   {.progress =
                                        [&](double share) {
                                            EXPECT_GE(share, last);
                                            last = share;
                                            ++calls;
                                            peak = std::max(peak, anonymousMegabytes());
                                            return true;
                                        }},
                                   kStamp, report);
    ASSERT_TRUE(done.has_value()) << done.error().detail;
    EXPECT_EQ(report.taken, rows + kSensors + 1);
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(book->info()->visits, before->visits + rows / kReadingsAVisit);
    EXPECT_GT(calls, 20);
    // 64 MB is the page cache of the connection (db/connection); an index of 36 bytes a visit comes on top.
    EXPECT_LT(peak - start, 64 + 36 + 0.000'036 * static_cast<double>(rows / kReadingsAVisit));
    fmt::print("{} readings, {} progress calls, {:.0f} MB more at the peak\n", rows, calls, peak - start);
}

}  // namespace
}  // namespace halfcell::db
