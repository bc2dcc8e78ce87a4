#pragma once

#include "db/exchange/exchange.h"
#include "db/mapping/look.h"
#include "db/mapping/mapping.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// Tables from outside on their way into the book: looked at, counted, taken in. Values; any thread.
namespace halfcell::app {

/// What is to be taken in.
struct ImportSource {
    std::vector<std::filesystem::path> paths;  ///< files, or folders and workbooks of Halfcell's own tables
    std::optional<db::Mapping> mapping = {};   ///< how a shop's own tables become ours; absent: they are ours

    bool operator==(const ImportSource&) const = default;
};

/// What files seem to be. Immutable; shared.
struct ImportLook {
    ImportSource source;                    ///< a folder of a shop's own tables opened up
    std::vector<std::string> because = {};  ///< what was guessed and why
    std::vector<std::string> leftOut = {};  ///< columns that the guess leaves out
    std::string noGuess = {};               ///< why nothing could be guessed; the mapping is an empty one then
    db::TableLook table = {};               ///< of the first file, where there is a mapping
};

/// A file as it lay there when it was counted.
struct FileState {
    std::filesystem::path file;
    std::uintmax_t bytes = 0;
    std::filesystem::file_time_type changed = {};

    bool operator==(const FileState&) const = default;
};

/// What taking a source in would do. Immutable; shared. Only what was counted can be taken in.
struct ImportCount {
    ImportSource source;
    std::vector<FileState> files;
    db::ImportReport report;
    db::MappingPreview mapped = {};         ///< first lines of the first file under a mapping (its report is `report`)
    std::vector<db::PreviewRow> rows = {};  ///< first rows of Halfcell's own tables
};

/// What was taken in, and where the refused rows went (empty: none).
struct ImportTaken {
    db::ImportReport report;
    std::filesystem::path refusedFile = {}, mendFolder = {};
};

/// Rows shown before and after.
inline constexpr std::size_t kImportRowsShown = 50;

/// Looks what files or folders are. A shop's own tables are read as `mapping` says, or as can be guessed. Errc::CannotRead for what can't
/// be read, BadInput (with a remedy) for what can't be taken as a whole. Reads the beginning of a file only.
[[nodiscard]] core::Result<std::shared_ptr<const ImportLook>> lookAtFiles(const std::vector<std::filesystem::path>& paths,
                                                                          const std::optional<db::Mapping>& mapping);
/// The files of a source, a folder's own among them, in the order of their names; what is gone is left out.
[[nodiscard]] std::vector<FileState> statesOf(const std::vector<std::filesystem::path>& paths);

}  // namespace halfcell::app
