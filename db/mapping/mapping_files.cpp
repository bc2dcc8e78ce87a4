#include "db/exchange/csv_write.h"
#include "db/mapping/foreign_cell.h"
#include "db/mapping/mapping.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace halfcell::db {

using core::Errc;
using core::Error;
using core::Result;
namespace fs = std::filesystem;

Result<Mapping> readMapping(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    if (!in)
        return std::unexpected(Error{.code = Errc::CannotRead,
                                     .detail = "the mapping can't be read",
                                     .file = file.string(),
                                     .remedy = "check the name and the rights of the file"});
    const std::string content{std::istreambuf_iterator<char>(in), {}};
    auto mapping = mappingFromToml(content);
    if (!mapping)
        mapping.error().file = file.filename().string();
    else if (mapping->name.empty())
        mapping->name = file.stem().string();
    return mapping;
}

Result<fs::path> saveMapping(const fs::path& folder, const Mapping& mapping, bool overwrite)
{
    std::string name;
    for (const char c : lowerCase(trimmedCell(mapping.name))) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80U;
        if (plain)
            name += c;
        else if (!name.empty() && name.back() != '_')
            name += '_';
    }
    while (name.ends_with('_'))
        name.pop_back();
    if (name.empty())
        return std::unexpected(Error{.code = Errc::BadInput,
                                     .detail = "the mapping has no name",
                                     .field = "mapping",
                                     .remedy = "give it one with a letter or a digit"});
    std::error_code ec;
    fs::create_directories(folder, ec);
    const fs::path file = folder / (name + ".toml");
    if (!overwrite && fs::exists(file, ec))
        return std::unexpected(Error{.code = Errc::Conflict,
                                     .detail = fmt::format("there is already a mapping named \"{}\"", mapping.name),
                                     .file = file.string(),
                                     .remedy = "choose another name, or say that it may be replaced"});
    if (auto written = writeFile(file, mappingToToml(mapping)); !written)
        return std::unexpected(written.error());
    return file;
}

std::vector<std::pair<std::string, fs::path>> savedMappings(const fs::path& folder)
{
    std::vector<std::pair<std::string, fs::path>> list;
    std::error_code ec;
    for (const auto& entry : fs::directory_iterator(folder, ec)) {
        if (entry.path().extension() != ".toml")
            continue;
        if (auto mapping = readMapping(entry.path()))
            list.emplace_back(mapping->name, entry.path());
    }
    std::ranges::sort(list);
    return list;
}

}  // namespace halfcell::db
