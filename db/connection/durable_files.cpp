#include "db/connection/durable_files.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

std::unexpected<core::Error> failed(const fs::path& file, int error)
{
    core::Error e{.code = error == ENOSPC ? Errc::DiskFull : Errc::CannotWrite,
                  .detail = std::strerror(error),
                  .file = file.string(),
                  .remedy = "check the device, the folder and its rights"};
    return std::unexpected(std::move(e));
}

Result<void> syncPath(const fs::path& path, int flags)
{
    const int fd = ::open(path.c_str(), flags | O_CLOEXEC);
    if (fd < 0)
        return failed(path, errno);
    const int done = ::fsync(fd);
    const int error = errno;
    ::close(fd);
    if (done != 0)
        return failed(path, error);
    return {};
}

}  // namespace

Result<void> syncFile(const fs::path& file)
{
    return syncPath(file, O_RDONLY);
}

Result<void> renameDurably(const fs::path& from, const fs::path& to)
{
    std::error_code ec;
    fs::rename(from, to, ec);
    if (ec)
        return failed(to, ec.value());
    const fs::path folder = to.has_parent_path() ? to.parent_path() : fs::path(".");
    return syncPath(folder, O_RDONLY | O_DIRECTORY);
}

}  // namespace halfcell::db
