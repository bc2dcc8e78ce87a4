#include "app/service/refused_files.h"

#include <string>

namespace halfcell::app {

std::filesystem::path refusedBeside(const std::filesystem::path& first)
{
    std::error_code ec;
    const std::filesystem::path plain = first.filename().empty() ? first.parent_path() : first;
    std::filesystem::path beside = plain.parent_path() / (std::filesystem::is_directory(plain, ec) ? plain.filename() : plain.stem());
    beside += ".refused.csv";
    return beside;
}

std::filesystem::path mendBeside(const std::filesystem::path& refusedFile)
{
    std::filesystem::path folder = refusedFile;
    folder.replace_extension();
    if (folder == refusedFile)
        folder += ".rows";
    std::filesystem::path free = folder;
    std::error_code ec;
    for (int i = 2; std::filesystem::exists(free, ec); ++i) {
        free = folder;
        free += "-" + std::to_string(i);
    }
    return free;
}

}  // namespace halfcell::app
