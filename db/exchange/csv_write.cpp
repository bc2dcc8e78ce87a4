#include "db/exchange/csv_write.h"

#include "db/connection/durable_files.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace halfcell::db {

void appendCell(std::string& out, std::string_view cell)
{
    const bool quotes = cell.find_first_of(",\"\r\n") != std::string_view::npos || cell.starts_with(' ') || cell.ends_with(' ') ||
                        cell.starts_with('\t') || cell.ends_with('\t');
    if (!quotes) {
        out += cell;
        return;
    }
    out += '"';
    for (const char c : cell) {
        out += c;
        if (c == '"')
            out += c;
    }
    out += '"';
}

void appendRecord(std::string& out, const std::vector<std::string>& cells)
{
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0)
            out += ',';
        appendCell(out, cells[i]);
    }
    out += "\r\n";
}

core::Result<void> writeFile(const std::filesystem::path& file, std::string_view content)
{
    std::filesystem::path part = file;
    part += ".part";
    const auto failed = [&](int error) -> core::Result<void> {
        ::unlink(part.c_str());
        return std::unexpected(core::Error{.code = error == ENOSPC ? core::Errc::DiskFull : core::Errc::CannotWrite,
                                           .detail = std::strerror(error),
                                           .file = file.string(),
                                           .remedy = "check the folder, its rights and its room"});
    };
    const int fd = ::open(part.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (fd < 0)
        return failed(errno);
    while (!content.empty()) {
        const ssize_t written = ::write(fd, content.data(), content.size());
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0) {
            const int error = errno;
            ::close(fd);
            return failed(error);
        }
        content.remove_prefix(static_cast<std::size_t>(written));
    }
    const int synced = ::fsync(fd);
    const int error = errno;
    if (::close(fd) != 0 || synced != 0)
        return failed(synced != 0 ? error : errno);
    return renameDurably(part, file);
}

}  // namespace halfcell::db
