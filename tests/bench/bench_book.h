#pragma once

#include "db/book/book_impl.h"

#include <sqlite3.h>

#include <string>
#include <string_view>

/// The book of the benches: made once, in time order as a shop would, 260 visits of four readings and two actions for each
/// sensor. HALFCELL_BENCH_SENSORS sets the size (200 if not set, 2000 for the size the goals were set with).
namespace halfcell::db::bench_book {

inline constexpr int kVisitsEach = 260;
inline constexpr std::int64_t kStart = 1'700'000'000;
inline constexpr std::int64_t kWeek = 7 * 86400;

/// Ends the program with the error's words.
[[noreturn]] void stop(const core::Error& error);
void must(const auto& result)
{
    if (!result)
        stop(result.error());
}

[[nodiscard]] std::string serialOf(int sensor);
[[nodiscard]] core::Visit visitTo(int sensor, std::int64_t when);
/// Keys in the order of time, as UUIDv7 keys are.
[[nodiscard]] std::string keyOf(int number);
/// One site, point and model, and the sensors.
[[nodiscard]] core::Records plantOf(int sensors);

class Bench {
public:
    static Bench& instance();
    Bench(const Bench&) = delete;
    Bench& operator=(const Bench&) = delete;

    Book& book() { return *m_book; }
    sqlite3* raw() { return m_raw; }
    const std::filesystem::path& file() const { return m_file; }
    const std::filesystem::path& folder() const { return m_folder; }
    int sensors() const { return m_sensors; }
    std::int64_t nextTime() { return m_time += 600; }

private:
    Bench();
    ~Bench();

    int m_sensors = 200;
    std::filesystem::path m_folder, m_file;
    std::unique_ptr<Book> m_book;
    sqlite3* m_raw = nullptr;
    std::int64_t m_time = 0;
};

/// Steps through a prepared query and reads every column as what it is.
std::size_t stepThrough(sqlite3_stmt* statement);
/// A query on the bench's own raw connection.
[[nodiscard]] sqlite3_stmt* prepare(const std::string& sql);
/// The columns of a reading as the store reads them.
[[nodiscard]] std::string readingColumns(std::string_view prefix);

}  // namespace halfcell::db::bench_book
