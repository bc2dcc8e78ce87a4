#include "db/connection/connection.h"
#include "tests/db/crash/small_book.h"

#include <fmt/format.h>

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <fstream>
#include <iostream>
#include <iterator>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

/// Several programs at one book, and programs killed at any moment.
namespace halfcell::db {
namespace {

using namespace testing;
namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

/// Words a child writes for its parent, one line each, in one piece.
void tell(const fs::path& file, const std::string& line)
{
    std::ofstream out(file, std::ios::app);
    out << line + "\n" << std::flush;
}

std::vector<std::string> told(const fs::path& file)
{
    std::ifstream in(file);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

/// Logs, imports and reads until the time is over; 0 when nothing went wrong.
int work(const fs::path& folder, int hand, Clock::time_point until)
{
    const fs::path diary = folder / fmt::format("diary{}", hand);
    const auto bad = [&](const core::Error& error) {
        tell(diary, "error " + error.detail);
        return 1;
    };
    auto book = Book::open(folder / "shop", hand % 4 == 3 ? OpenMode::ReadOnly : OpenMode::ReadWrite);
    if (!book)
        return bad(book.error());
    std::size_t seen = 0;
    for (int i = 0; Clock::now() < until; ++i) {
        if (hand % 4 == 3) {
            // A reader sees whole visits only, never fewer than before.
            const auto records = book->loadRecords();
            if (!records)
                return bad(records.error());
            if (records->visits.size() < seen)
                return bad({.code = core::Errc::Internal, .detail = "visits went away"});
            seen = records->visits.size();
            for (const core::Visit& visit : records->visits)
                if (visit.readings.size() != (visit.visit.starts_with("imp") ? 2U : 4U))
                    return bad({.code = core::Errc::Internal, .detail = "half a visit " + visit.visit});
            tell(diary, "read");
        } else if (hand % 4 == 2) {
            const std::string prefix = fmt::format("imp{}-{}-", hand, i);
            const fs::path table = folder / fmt::format("in{}", hand) / "readings.csv";
            fs::create_directories(table.parent_path());
            writeReadings(table, prefix, 5);
            ImportReport report;
            if (const auto done = importTables(*book, {table}, {}, kStamp, report); !done)
                return bad(done.error());
            if (report.taken != 10)
                return bad({.code = core::Errc::Internal, .detail = fmt::format("{} rows taken", report.taken)});
            for (int v = 1; v <= 5; ++v)
                tell(diary, fmt::format("visit {}{}", prefix, v));
        } else {
            const std::string key = fmt::format("log{}-{}", hand, i);
            if (const auto stored = book->recordVisit(visitFor(key, i), kStamp); !stored)
                return bad(stored.error());
            tell(diary, "visit " + key);
        }
    }
    return 0;
}

TEST(ManyHands, LoseDoubleAndHalveNothing)
{
    const MemoryFolder folder("hands");
    makeBook(folder / "shop", 2);
    constexpr int kHands = 8;
    const auto until = Clock::now() + std::chrono::seconds(times(3, 60));
    std::vector<pid_t> children;
    for (int hand = 0; hand < kHands; ++hand) {
        const pid_t child = ::fork();
        ASSERT_GE(child, 0);
        if (child == 0)
            ::_exit(work(folder.path(), hand, until));
        children.push_back(child);
    }
    for (const pid_t child : children) {
        int status = 0;
        ::waitpid(child, &status, 0);
        EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    }
    std::set<std::string> acknowledged;
    std::size_t reads = 0;
    for (int hand = 0; hand < kHands; ++hand)
        for (const std::string& line : told(folder / fmt::format("diary{}", hand))) {
            EXPECT_FALSE(line.starts_with("error")) << "hand " << hand << ": " << line;
            if (line.starts_with("visit "))
                acknowledged.insert(line.substr(6));
            reads += line == "read" ? 1 : 0;
        }
    const auto visits = visitsOf(folder / "shop");
    ASSERT_DONE(visits);
    EXPECT_EQ(visits->size(), acknowledged.size() + 2);
    for (const std::string& key : acknowledged)
        EXPECT_TRUE(visits->contains(key)) << key;
    EXPECT_GT(reads, 0U);
    std::cout << fmt::format("{} hands: {} visits acknowledged, {} in the book, {} reads\n", kHands, acknowledged.size(),
                             visits->size() - 2, reads);
}

TEST(ManyHands, AReaderDoesNotWaitForAWriter)
{
    const MemoryFolder folder("reader");
    makeBook(folder / "shop", 2);
    auto writer = Connection::open(folder / "shop", Connection::Mode::ReadWrite);
    ASSERT_DONE(writer);
    if (!(*writer)->wal())
        GTEST_SKIP() << "no WAL here";
    Transaction held(**writer, Transaction::Kind::Write);
    const auto reader = Book::open(folder / "shop", OpenMode::ReadOnly);
    ASSERT_DONE(reader);
    const auto start = Clock::now();
    ASSERT_DONE(reader->loadRecords());
    EXPECT_LT(Clock::now() - start, std::chrono::seconds(2));  // another writer would wait 15
}

/// A program that logs visits until it is killed, and says each one's key once it is acknowledged.
struct Logger {
    pid_t child = -1;
    int said = -1;
};

Logger startLogger(const std::filesystem::path& file, const std::string& prefix)
{
    std::array<int, 2> pipe{};
    if (::pipe(pipe.data()) != 0)
        return {};
    const pid_t child = ::fork();
    if (child != 0) {
        ::close(pipe[1]);
        return {.child = child, .said = pipe[0]};
    }
    ::close(pipe[0]);
    auto book = Book::open(file, OpenMode::ReadWrite);
    if (!book)
        ::_exit(1);
    for (int i = 0;; ++i) {
        const std::string key = fmt::format("{}-{}", prefix, i);
        if (!book->recordVisit(visitFor(key, i), kStamp))
            ::_exit(1);
        const std::string line = key + "\n";
        if (::write(pipe[1], line.data(), line.size()) < 0)
            ::_exit(1);
    }
}

/// Kills it; what it said, with `heard` before.
std::vector<std::string> killed(const Logger& logger, std::string heard = {})
{
    ::kill(logger.child, SIGKILL);
    int status = 0;
    ::waitpid(logger.child, &status, 0);
    EXPECT_TRUE(WIFSIGNALED(status));
    std::array<char, 4096> buffer{};
    for (ssize_t got = 0; (got = ::read(logger.said, buffer.data(), buffer.size())) > 0;)
        heard.append(buffer.data(), static_cast<std::size_t>(got));
    ::close(logger.said);
    std::vector<std::string> keys;
    std::istringstream lines(heard);
    for (std::string key; std::getline(lines, key);)
        keys.push_back(key);
    return keys;
}

// A program killed at any moment loses nothing that it had acknowledged.
TEST(Killed, AtRandomMoments)
{
    const MemoryFolder folder("killed");
    makeBook(folder / "shop", 2);
    std::mt19937 random(7);
    std::set<std::string> acknowledged;
    // Moments from before the book is open to after some visits, however slow this build is.
    const auto start = Clock::now();
    const Logger first = startLogger(folder / "shop", "first");
    ASSERT_GE(first.child, 0);
    std::string heard(1, ' ');
    ASSERT_EQ(::read(first.said, heard.data(), 1), 1);
    const auto one = std::chrono::duration_cast<std::chrono::microseconds>(Clock::now() - start).count();
    const auto span = static_cast<unsigned>(std::clamp<std::int64_t>(2 * one, 20'000, 2'000'000));
    const auto early = killed(first, heard);
    acknowledged.insert(early.begin(), early.end());
    const int kills = times(40, 500);
    int undone = 0;
    for (int round = 0; round < kills; ++round) {
        const Logger logger = startLogger(folder / "shop", fmt::format("k{}", round));
        ASSERT_GE(logger.child, 0);
        std::this_thread::sleep_for(std::chrono::microseconds(random() % span));
        const auto keys = killed(logger);
        acknowledged.insert(keys.begin(), keys.end());
        undone += keys.empty() ? 1 : 0;
        if (round % 10 != 9 && round + 1 != kills)
            continue;
        const auto visits = visitsOf(folder / "shop");
        ASSERT_DONE(visits);
        for (const std::string& key : acknowledged)
            EXPECT_TRUE(visits->contains(key)) << key;
        for (const auto& [key, visit] : *visits)
            EXPECT_EQ(visit.readings.size(), 4U) << key;
    }
    EXPECT_LT(undone, kills);
    EXPECT_GT(undone, 0);
    std::cout << fmt::format("{} kills, {} visits acknowledged, {} killed before the first\n", kills, acknowledged.size(), undone);
}

}  // namespace
}  // namespace halfcell::db
