#pragma once

#include "db/exchange/exchange.h"
#include "db/merge/merge.h"
#include "tests/db/support/book_fixture.h"

#include <cstdlib>
#include <filesystem>
#include <map>
#include <set>
#include <string>

namespace halfcell::db::testing {

/// Whether to try at length (HALFCELL_LONG in the environment), and how often then.
[[nodiscard]] inline int times(int usually, int atLength)
{
    return std::getenv("HALFCELL_LONG") != nullptr ? atLength : usually;
}

/// A folder of its own in memory where there is such a file system, else a temporary one: nothing here measures the disk.
class MemoryFolder {
public:
    explicit MemoryFolder(const std::string& name);
    ~MemoryFolder();
    MemoryFolder(const MemoryFolder&) = delete;
    MemoryFolder& operator=(const MemoryFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }
    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return m_path / name; }
    void clear() const;

private:
    std::filesystem::path m_path;
};

inline const BookStamp kStamp{.person = "T1", .now = *core::parseInstant("2026-03-02T08:00:00Z")};

/// The small shop in a closed file, with these visits (v1, v2 ...).
void makeBook(const std::filesystem::path& file, int visits);
/// A visit of its own for a key.
[[nodiscard]] core::Visit visitFor(const std::string& key, int number);
/// readings.csv with visits `prefix`1 to n, two readings each.
void writeReadings(const std::filesystem::path& file, const std::string& prefix, int visits);

/// What a book holds, by visit.
using Visits = std::map<std::string, core::Visit>;
[[nodiscard]] core::Result<Visits> visitsOf(const std::filesystem::path& file);

/// Opens a book that has been through something: empty if it is in order (verified, each visit whole as in `expected`, all of
/// `acknowledged` there), else what is wrong.
[[nodiscard]] std::string wrongWith(const std::filesystem::path& file, const Visits& expected, const std::set<std::string>& acknowledged);

}  // namespace halfcell::db::testing
