#pragma once

#include "core/quantity/result.h"

#include <filesystem>

/// Files that are on disk, not merely written, when the call returns.
namespace halfcell::db {

/// Waits until a file's content is on the device.
[[nodiscard]] core::Result<void> syncFile(const std::filesystem::path& file);
/// Renames and waits until the folder's new entry is on the device. Both names lie in the same folder.
[[nodiscard]] core::Result<void> renameDurably(const std::filesystem::path& from, const std::filesystem::path& to);

}  // namespace halfcell::db
