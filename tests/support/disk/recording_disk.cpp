#include "tests/support/disk/recording_disk.h"

#include <sqlite3.h>

#include <cstdlib>
#include <cstring>
#include <new>

namespace halfcell::test {

thread_local bool insideSqlite = false;

namespace {

/// Marks the time SQLite's own layer works in.
class Inside {
public:
    Inside() : m_before(insideSqlite) { insideSqlite = true; }
    ~Inside() { insideSqlite = m_before; }
    Inside(const Inside&) = delete;
    Inside& operator=(const Inside&) = delete;

private:
    bool m_before;
};

sqlite3_vfs* system()
{
    static sqlite3_vfs* const vfs = sqlite3_vfs_find("unix");
    return vfs;
}

/// An open file: ours in front, the system's own behind it in the same allocation.
struct File {
    sqlite3_file base;
    std::string* path;
    sqlite3_file* inner() { return reinterpret_cast<sqlite3_file*>(this + 1); }  // SQLite allocates szOsFile bytes for both
};

File* fileOf(sqlite3_file* file)
{
    return reinterpret_cast<File*>(file);  // SQLite hands back what xOpen was given
}

using Calls = RecordingDisk::Calls;
using Kind = DiskEvent::Kind;

int failed(Calls call, File* f)
{
    return RecordingDisk::instance().failure(call, *f->path);
}

int xClose(sqlite3_file* file)
{
    const Inside inside;
    File* f = fileOf(file);
    const int code = f->inner()->pMethods->xClose(f->inner());
    delete f->path;
    f->path = nullptr;
    return code;
}
int xRead(sqlite3_file* file, void* out, int count, sqlite3_int64 offset)
{
    const Inside inside;
    File* f = fileOf(file);
    if (const int code = failed(Calls::Read, f); code != SQLITE_OK)
        return code;
    return f->inner()->pMethods->xRead(f->inner(), out, count, offset);
}
int xWrite(sqlite3_file* file, const void* bytes, int count, sqlite3_int64 offset)
{
    const Inside inside;
    File* f = fileOf(file);
    if (const int code = failed(Calls::Write, f); code != SQLITE_OK)
        return code;
    RecordingDisk::instance().note(Kind::Write, *f->path, offset, bytes, static_cast<std::size_t>(count));
    return f->inner()->pMethods->xWrite(f->inner(), bytes, count, offset);
}
int xTruncate(sqlite3_file* file, sqlite3_int64 size)
{
    const Inside inside;
    File* f = fileOf(file);
    if (const int code = failed(Calls::Truncate, f); code != SQLITE_OK)
        return code;
    RecordingDisk::instance().note(Kind::Truncate, *f->path, size);
    return f->inner()->pMethods->xTruncate(f->inner(), size);
}
int xSync(sqlite3_file* file, int flags)
{
    const Inside inside;
    File* f = fileOf(file);
    if (const int code = failed(Calls::Sync, f); code != SQLITE_OK)
        return code;
    const int code = f->inner()->pMethods->xSync(f->inner(), flags);
    if (code == SQLITE_OK)
        RecordingDisk::instance().note(Kind::Sync, *f->path);
    return code;
}
int xFileSize(sqlite3_file* file, sqlite3_int64* size)
{
    return fileOf(file)->inner()->pMethods->xFileSize(fileOf(file)->inner(), size);
}
int xLock(sqlite3_file* file, int level)
{
    return fileOf(file)->inner()->pMethods->xLock(fileOf(file)->inner(), level);
}
int xUnlock(sqlite3_file* file, int level)
{
    return fileOf(file)->inner()->pMethods->xUnlock(fileOf(file)->inner(), level);
}
int xCheckReservedLock(sqlite3_file* file, int* out)
{
    return fileOf(file)->inner()->pMethods->xCheckReservedLock(fileOf(file)->inner(), out);
}
int xFileControl(sqlite3_file* file, int op, void* arg)
{
    const Inside inside;
    // Space set aside ahead of time would be written without our seeing it.
    if (op == SQLITE_FCNTL_SIZE_HINT || op == SQLITE_FCNTL_CHUNK_SIZE)
        return SQLITE_OK;
    return fileOf(file)->inner()->pMethods->xFileControl(fileOf(file)->inner(), op, arg);
}
int xSectorSize(sqlite3_file* file)
{
    return fileOf(file)->inner()->pMethods->xSectorSize(fileOf(file)->inner());
}
int xDeviceCharacteristics(sqlite3_file* file)
{
    return fileOf(file)->inner()->pMethods->xDeviceCharacteristics(fileOf(file)->inner());
}
int xShmMap(sqlite3_file* file, int page, int size, int extend, void volatile** out)
{
    return fileOf(file)->inner()->pMethods->xShmMap(fileOf(file)->inner(), page, size, extend, out);
}
int xShmLock(sqlite3_file* file, int offset, int n, int flags)
{
    return fileOf(file)->inner()->pMethods->xShmLock(fileOf(file)->inner(), offset, n, flags);
}
void xShmBarrier(sqlite3_file* file)
{
    fileOf(file)->inner()->pMethods->xShmBarrier(fileOf(file)->inner());
}
int xShmUnmap(sqlite3_file* file, int remove)
{
    const Inside inside;
    return fileOf(file)->inner()->pMethods->xShmUnmap(fileOf(file)->inner(), remove);
}
int xFetch(sqlite3_file* file, sqlite3_int64 offset, int amount, void** out)
{
    return fileOf(file)->inner()->pMethods->xFetch(fileOf(file)->inner(), offset, amount, out);
}
int xUnfetch(sqlite3_file* file, sqlite3_int64 offset, void* page)
{
    return fileOf(file)->inner()->pMethods->xUnfetch(fileOf(file)->inner(), offset, page);
}

const sqlite3_io_methods* methods(bool sharedMemory)
{
    static const sqlite3_io_methods kWith = {3,
                                             xClose,
                                             xRead,
                                             xWrite,
                                             xTruncate,
                                             xSync,
                                             xFileSize,
                                             xLock,
                                             xUnlock,
                                             xCheckReservedLock,
                                             xFileControl,
                                             xSectorSize,
                                             xDeviceCharacteristics,
                                             xShmMap,
                                             xShmLock,
                                             xShmBarrier,
                                             xShmUnmap,
                                             xFetch,
                                             xUnfetch};
    static const sqlite3_io_methods kWithout = {1,
                                                xClose,
                                                xRead,
                                                xWrite,
                                                xTruncate,
                                                xSync,
                                                xFileSize,
                                                xLock,
                                                xUnlock,
                                                xCheckReservedLock,
                                                xFileControl,
                                                xSectorSize,
                                                xDeviceCharacteristics,
                                                nullptr,
                                                nullptr,
                                                nullptr,
                                                nullptr,
                                                nullptr,
                                                nullptr};
    return sharedMemory ? &kWith : &kWithout;
}

int xOpen(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* outFlags)
{
    const Inside inside;
    File* f = fileOf(file);
    f->base.pMethods = nullptr;
    const std::string path = name == nullptr ? std::string() : name;
    RecordingDisk& disk = RecordingDisk::instance();
    if (const int code = disk.failure(Calls::Open, path); code != SQLITE_OK)
        return code;
    std::error_code ec;
    const bool isNew = !path.empty() && disk.concerns(path) && !std::filesystem::exists(path, ec);
    const int code = system()->xOpen(system(), name, f->inner(), flags, outFlags);
    if (f->inner()->pMethods == nullptr)
        return code;
    f->path = new std::string(path);
    f->base.pMethods = methods(disk.sharedMemory() || !disk.concerns(path));
    if (code == SQLITE_OK && isNew)
        disk.note(Kind::Create, path);
    return code;
}
int xDelete(sqlite3_vfs*, const char* name, int syncFolder)
{
    const Inside inside;
    RecordingDisk& disk = RecordingDisk::instance();
    if (const int code = disk.failure(Calls::Delete, name); code != SQLITE_OK)
        return code;
    const int code = system()->xDelete(system(), name, syncFolder);
    if (code == SQLITE_OK) {
        disk.note(Kind::Delete, name);
        if (syncFolder != 0)
            disk.note(Kind::SyncFolder, name);
    }
    return code;
}

}  // namespace

RecordingDisk& RecordingDisk::instance()
{
    static RecordingDisk disk;
    return disk;
}

RecordingDisk::RecordingDisk()
{
    static sqlite3_vfs vfs = *system();
    vfs.pNext = nullptr;
    vfs.zName = "recording";
    vfs.szOsFile = static_cast<int>(sizeof(File)) + system()->szOsFile;
    vfs.xOpen = xOpen;
    vfs.xDelete = xDelete;
    sqlite3_vfs_register(&vfs, 1);
}

void RecordingDisk::record(const std::filesystem::path& folder)
{
    m_folder = folder.string() + "/";
    m_events.clear();
    m_recording = true;
}

std::vector<DiskEvent> RecordingDisk::stop()
{
    m_recording = false;
    return std::move(m_events);
}

void RecordingDisk::mark(std::string text)
{
    m_events.push_back({.kind = DiskEvent::Kind::Mark, .file = {}, .to = std::move(text), .offset = 0, .bytes = {}});
}

bool RecordingDisk::concerns(const std::string& path) const
{
    return (m_recording && path.starts_with(m_folder)) || (m_failAt > 0 && path.starts_with(m_failFolder)) ||
           (m_withoutSharedMemory && !path.empty());
}

std::string RecordingDisk::nameOf(const std::string& path) const
{
    return path.substr(m_folder.size());
}

void RecordingDisk::note(DiskEvent::Kind kind, const std::string& path, std::int64_t offset, const void* bytes, std::size_t count)
{
    if (!m_recording || !path.starts_with(m_folder))
        return;
    const char* first = static_cast<const char*>(bytes);
    m_events.push_back({.kind = kind, .file = nameOf(path), .to = {}, .offset = offset, .bytes = std::vector<char>(first, first + count)});
}

void RecordingDisk::noteRename(const std::string& from, const std::string& to)
{
    if (!m_recording || !from.starts_with(m_folder) || !to.starts_with(m_folder))
        return;
    m_events.push_back({.kind = DiskEvent::Kind::Rename, .file = nameOf(from), .to = nameOf(to), .offset = 0, .bytes = {}});
}

void RecordingDisk::failFrom(const std::filesystem::path& folder, Calls which, int n, int code)
{
    m_failFolder = folder.string() + "/";
    m_failing = which;
    m_failAt = n;
    m_code = code;
    m_calls = 0;
    m_failed = false;
}

bool RecordingDisk::heal()
{
    m_failAt = 0;
    return m_failed;
}

int RecordingDisk::failure(Calls call, const std::string& path)
{
    if (m_failAt == 0 || !path.starts_with(m_failFolder) || (m_failing != Calls::Any && m_failing != call))
        return SQLITE_OK;
    if (++m_calls < m_failAt)
        return SQLITE_OK;
    m_failed = true;
    return m_code;
}

}  // namespace halfcell::test
