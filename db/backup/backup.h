#pragma once

#include "db/book/book.h"

#include <filesystem>
#include <functional>
#include <span>
#include <string_view>
#include <vector>

/// Backups of a book in a folder, thinned out as they grow old, and the way back from one.
namespace halfcell::db {

/// How many days, weeks and months keep their latest backup.
struct BackupPlan {
    int daily = 0, weekly = 0, monthly = 0;
    bool operator==(const BackupPlan&) const = default;
};

/// The plan of resources/rules/backups.toml.
[[nodiscard]] const BackupPlan& shippedBackupPlan();
/// A plan from such a text. Errc::BadInput names the key.
core::Result<BackupPlan> parseBackupPlan(std::string_view toml);

/// Which backups, made at these moments, are to go: all but the latest of each of the last `daily` days, `weekly` ISO weeks and
/// `monthly` months that have one, and the newest. Days are those of UTC. Gives places in `made`, ascending.
[[nodiscard]] std::vector<std::size_t> superseded(std::span<const core::Instant> made, const BackupPlan& plan);

struct Rotation {
    std::filesystem::path made;
    std::vector<std::filesystem::path> removed;
    std::size_t kept = 0;
};

/// A new backup in `folder` (made if missing) named after the book and the moment, opened again and verified; then those that the
/// plan no longer keeps are removed. `progress` as in Book::backupTo. Only files of this book's name and pattern are ever touched. A second
/// one of the same second: Errc::Conflict.
core::Result<Rotation> rotateBackups(const Book& book, const std::filesystem::path& folder, const core::Instant& now,
                                     const BackupPlan& plan = shippedBackupPlan(), const std::function<bool(double)>& progress = {});

/// Makes a book from a backup under a new name: copied, brought up to date if it is older, opened and verified. Errc::Conflict
/// if `to` exists (a book is never written over); DamagedBook if the backup does not verify; nothing is left behind then.
/// `progress` gets 0..1 and returns false to cancel (Errc::Cancelled; nothing is left behind).
core::Result<VerifyReport> restoreBook(const std::filesystem::path& from, const std::filesystem::path& to,
                                       const std::function<bool(double)>& progress = {});

}  // namespace halfcell::db
