#include "tests/support/disk/recording_disk.h"

#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <string>

/// The system calls that the book makes beside SQLite's: a sync of a finished file or of its folder, and a rename. These
/// stand before the C library's in the test program.
namespace {

using halfcell::test::DiskEvent;
using halfcell::test::RecordingDisk;

std::string pathOf(int fd)
{
    std::array<char, 4096> path{};
    const std::string link = "/proc/self/fd/" + std::to_string(fd);
    const ssize_t length = ::readlink(link.c_str(), path.data(), path.size());
    return length > 0 ? std::string(path.data(), static_cast<std::size_t>(length)) : std::string();
}

}  // namespace

extern "C" int fsync(int fd)
{
    // The C library hands out a plain pointer.
    static const auto next = reinterpret_cast<int (*)(int)>(::dlsym(RTLD_NEXT, "fsync"));
    const int done = next(fd);
    if (done == 0 && !halfcell::test::insideSqlite) {
        struct stat info {};
        const bool folder = ::fstat(fd, &info) == 0 && S_ISDIR(info.st_mode);
        const std::string path = pathOf(fd);
        RecordingDisk::instance().note(folder ? DiskEvent::Kind::SyncFolder : DiskEvent::Kind::Sync, folder ? path + "/" : path);
    }
    return done;
}

extern "C" int rename(const char* from, const char* to) noexcept
{
    static const auto next = reinterpret_cast<int (*)(const char*, const char*)>(::dlsym(RTLD_NEXT, "rename"));
    const int done = next(from, to);
    if (done == 0)
        RecordingDisk::instance().noteRename(from, to);
    return done;
}
