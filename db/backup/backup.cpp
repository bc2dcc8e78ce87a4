#include "db/backup/backup.h"

#include "db/connection/connection.h"
#include "db/connection/guarded.h"
#include "embedded/backup_rules.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <map>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Instant;
using core::Result;
namespace fs = std::filesystem;

namespace {

constexpr std::string_view kEnding = ".halfcell";

/// `20260302T080000Z`: sorts by time, and is a name on every file system.
std::string stampOf(const Instant& moment)
{
    std::string text = core::formatInstant({moment.utcSeconds, 0});
    std::erase_if(text, [](char c) { return c == '-' || c == ':'; });
    return text;
}

/// The moment in a backup's name; nothing for another file.
std::optional<Instant> momentIn(const std::string& name, const std::string& stem)
{
    constexpr std::size_t kDigits = 16;
    if (name.size() != stem.size() + 1 + kDigits + kEnding.size() || !name.starts_with(stem + "-") || !name.ends_with(kEnding))
        return std::nullopt;
    const std::string s = name.substr(stem.size() + 1, kDigits);
    const auto moment = core::parseInstant(fmt::format("{}-{}-{}T{}:{}:{}Z", s.substr(0, 4), s.substr(4, 2), s.substr(6, 2), s.substr(9, 2),
                                                       s.substr(11, 2), s.substr(13, 2)));
    if (!moment || stampOf(*moment) != s)
        return std::nullopt;
    return *moment;
}

void removeWithCompanions(const fs::path& file)
{
    std::error_code ec;
    for (const char* suffix : {"", "-wal", "-shm", "-journal", ".part"}) {
        fs::path part = file;
        part += suffix;
        fs::remove(part, ec);
    }
}

}  // namespace

Result<BackupPlan> parseBackupPlan(std::string_view text)
{
    toml::table table;
    try {
        table = toml::parse(text);
    } catch (const toml::parse_error& e) {
        core::Error error{.code = Errc::BadInput, .detail = std::string(e.description()), .remedy = "mend the line"};
        error.line = e.source().begin.line;
        return std::unexpected(std::move(error));
    }
    BackupPlan plan;
    for (const auto& [key, member] :
         {std::pair("daily", &BackupPlan::daily), std::pair("weekly", &BackupPlan::weekly), std::pair("monthly", &BackupPlan::monthly)}) {
        const auto value = table["keep"][key].value<std::int64_t>();
        constexpr std::int64_t kMost = 3650;  // ten years of days: more is a slip of the key
        if (!value || *value < 0 || *value > kMost)
            return std::unexpected(core::Error{.code = Errc::BadInput,
                                               .detail = fmt::format("keep.{} must be a whole number from 0 to {}", key, kMost),
                                               .field = fmt::format("keep.{}", key),
                                               .remedy = "say how many to keep"});
        plan.*member = static_cast<int>(*value);
    }
    return plan;
}

const BackupPlan& shippedBackupPlan()
{
    // The shipped text is sound; a test reads it.
    static const BackupPlan kPlan = parseBackupPlan(embedded::backup_rules).value_or(BackupPlan{});
    return kPlan;
}

std::vector<std::size_t> superseded(std::span<const Instant> made, const BackupPlan& plan)
{
    std::vector<std::size_t> order(made.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return made[b] < made[a]; });
    std::set<std::size_t> kept;
    if (!order.empty())
        kept.insert(order.front());
    const auto keepLatestOf = [&](int count, auto periodOf) {
        std::set<std::int64_t> periods;
        for (const std::size_t i : order) {
            const std::int64_t period = periodOf(core::dayNumber({made[i].utcSeconds, 0}));
            if (periods.contains(period))
                continue;
            if (static_cast<int>(periods.size()) == count)
                return;
            periods.insert(period);
            kept.insert(i);
        }
    };
    keepLatestOf(plan.daily, [](std::int64_t day) { return day; });
    keepLatestOf(plan.weekly, [](std::int64_t day) { return core::mondayOf(core::isoWeekOf(day)); });
    keepLatestOf(plan.monthly, [](std::int64_t day) {
        const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{day}}};
        return static_cast<std::int64_t>(static_cast<int>(date.year())) * 12 + static_cast<unsigned>(date.month());
    });
    std::vector<std::size_t> gone;
    for (std::size_t i = 0; i < made.size(); ++i)
        if (!kept.contains(i))
            gone.push_back(i);
    return gone;
}

Result<Rotation> rotateBackups(const Book& book, const fs::path& folder, const Instant& now, const BackupPlan& plan,
                               const std::function<bool(double)>& progress)
{
    std::error_code ec;
    fs::create_directories(folder, ec);
    if (!fs::is_directory(folder, ec))
        return std::unexpected(core::Error{.code = Errc::CannotWrite,
                                           .detail = "the folder for backups can't be made",
                                           .file = folder.string(),
                                           .remedy = "name another folder, or check its rights"});
    const std::string stem = book.file().stem().string();
    Rotation rotation;
    rotation.made = folder / fmt::format("{}-{}{}", stem, stampOf(now), kEnding);
    if (auto done = book.backupTo(rotation.made, now, progress); !done)
        return std::unexpected(done.error());
    std::vector<fs::path> files;
    std::vector<Instant> made;
    for (const auto& entry : fs::directory_iterator(folder, ec))
        if (const auto moment = momentIn(entry.path().filename().string(), stem); moment && entry.is_regular_file(ec)) {
            files.push_back(entry.path());
            made.push_back(*moment);
        }
    for (const std::size_t i : superseded(made, plan)) {
        if (files[i] == rotation.made)
            continue;
        removeWithCompanions(files[i]);
        rotation.removed.push_back(files[i]);
    }
    std::ranges::sort(rotation.removed);
    rotation.kept = files.size() - rotation.removed.size();
    return rotation;
}

Result<VerifyReport> restoreBook(const fs::path& from, const fs::path& to, const std::function<bool(double)>& progress)
{
    const auto part = [&progress](double begin) -> std::function<bool(double)> {
        if (!progress)
            return {};
        return [&progress, begin](double fraction) { return progress(begin + 0.5 * fraction); };
    };
    auto source = Connection::open(from, Connection::Mode::ReadOnly);
    if (!source)
        return std::unexpected(source.error());
    std::error_code ec;
    if (fs::exists(to, ec))
        return std::unexpected(core::Error{.code = Errc::Conflict,
                                           .detail = "there is already a file of that name",
                                           .file = to.string(),
                                           .remedy = "restore to a new name; a book is never written over"});
    const auto refuse = [&](core::Error error) -> std::unexpected<core::Error> {
        removeWithCompanions(to);
        if (error.file.empty())
            error.file = from.string();
        return std::unexpected(std::move(error));
    };
    if (auto copied = guarded([&] { (*source)->copyTo(to, part(0.0)); }); !copied)
        return refuse(copied.error());
    source->reset();
    const auto book = Book::open(to, OpenMode::ReadWrite);
    if (!book)
        return refuse(book.error());
    auto report = book->verify(part(0.5));
    if (!report)
        return refuse(report.error());
    if (!report->ok)
        return refuse(
            {.code = Errc::DamagedBook, .detail = "the backup does not verify: " + report->firstBad, .remedy = "take an older backup"});
    return report;
}

}  // namespace halfcell::db
