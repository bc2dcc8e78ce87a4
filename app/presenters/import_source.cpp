#include "app/presenters/import_source.h"

#include <algorithm>
#include <array>

namespace halfcell::app {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

/// Tables that a folder of a shop's own may hold.
bool isForeignTable(const fs::path& file)
{
    constexpr std::array<std::string_view, 7> kEndings = {".csv", ".tsv", ".tab", ".txt", ".xlsx", ".xlsm", ".ods"};
    std::string ending = file.extension().string();
    std::ranges::transform(ending, ending.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    return std::ranges::find(kEndings, ending) != kEndings.end() && !file.stem().string().ends_with(".refused");
}

std::vector<fs::path> filesIn(const fs::path& folder)
{
    std::vector<fs::path> files;
    std::error_code ec;
    for (fs::directory_iterator it(folder, ec), end; !ec && it != end; it.increment(ec))
        if (std::error_code kind; it->is_regular_file(kind))
            files.push_back(it->path());
    std::ranges::sort(files);
    return files;
}

/// The first file of a shop's own table, and where it makes sense all of them: a folder opened up. Empty: they are ours.
std::vector<fs::path> foreignFiles(const std::vector<fs::path>& paths)
{
    std::vector<fs::path> files;
    for (const fs::path& path : paths) {
        std::error_code ec;
        if (!fs::is_directory(path, ec)) {
            if (db::isPublicTable(path))
                return {};
            files.push_back(path);
            continue;
        }
        for (const fs::path& file : filesIn(path)) {
            if (!isForeignTable(file))
                continue;
            if (db::isPublicTable(file))
                return {};
            files.push_back(file);
        }
    }
    return files;
}

/// A mapping that takes nothing yet, for a table of which nothing could be guessed.
db::Mapping blankMapping(const fs::path& file)
{
    db::Mapping mapping;
    mapping.name = file.stem().string();
    mapping.rows.push_back({.table = db::PublicTable::Readings, .fields = {}, .constants = {}});
    return mapping;
}

}  // namespace

Result<std::shared_ptr<const ImportLook>> lookAtFiles(const std::vector<fs::path>& paths, const std::optional<db::Mapping>& mapping)
{
    auto look = std::make_shared<ImportLook>();
    look->source.paths = paths;
    const std::vector<fs::path> files = foreignFiles(paths);
    if (files.empty())
        return look;
    look->source.paths = files;
    if (mapping) {
        look->source.mapping = mapping;
    } else if (auto guessed = db::guessMapping(files.front())) {
        look->source.mapping = std::move(guessed->mapping);
        look->because = std::move(guessed->because);
        look->leftOut = std::move(guessed->leftOut);
    } else if (guessed.error().code == Errc::BadInput) {
        look->source.mapping = blankMapping(files.front());
        look->noGuess = guessed.error().detail;
    } else {
        return std::unexpected(guessed.error());
    }
    auto table = db::lookAtTable(files.front(), *look->source.mapping, kImportRowsShown);
    if (!table)
        return std::unexpected(table.error());
    look->table = std::move(*table);
    return look;
}

std::vector<FileState> statesOf(const std::vector<fs::path>& paths)
{
    std::vector<FileState> states;
    const auto add = [&](const fs::path& file) {
        std::error_code ec;
        FileState state{.file = file, .bytes = fs::file_size(file, ec), .changed = {}};
        if (ec)
            return;
        state.changed = fs::last_write_time(file, ec);
        states.push_back(std::move(state));
    };
    for (const fs::path& path : paths) {
        std::error_code ec;
        if (!fs::is_directory(path, ec)) {
            add(path);
            continue;
        }
        for (const fs::path& file : filesIn(path))
            add(file);
    }
    return states;
}

}  // namespace halfcell::app
