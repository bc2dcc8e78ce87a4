#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

/// A file layer under SQLite (a VFS over the system's own) for tests: it notes every write, truncation, sync, creation,
/// deletion and rename below one folder, so that a power cut at any of them can be played back, and it fails at the n-th call
/// when it is told to. Installed as SQLite's default for the whole test program; files elsewhere pass through untouched.
namespace halfcell::test {

/// One thing that happened to a file, in the order it was asked for.
struct DiskEvent {
    enum class Kind { Create, Write, Truncate, Sync, Delete, Rename, SyncFolder, Mark };
    Kind kind = Kind::Mark;
    std::string file;         ///< name within the folder; of a rename the old one
    std::string to;           ///< of a rename the new name; of a mark its text
    std::int64_t offset = 0;  ///< of a write; of a truncation the new size
    std::vector<char> bytes;  ///< of a write
};

class RecordingDisk {
public:
    static RecordingDisk& instance();

    /// Notes what happens below `folder` from now on.
    void record(const std::filesystem::path& folder);
    /// Stops, and gives what was noted.
    std::vector<DiskEvent> stop();
    /// What a test wants to find among the events: a visit was acknowledged.
    void mark(std::string text);

    /// SQLite is told that files have no shared memory: books then run on a rollback journal.
    void withoutSharedMemory(bool without) { m_withoutSharedMemory = without; }

    /// The `n`-th call (from 1) that `which` names, and every one after it, fails with this SQLite code; files below the
    /// folder only.
    enum class Calls { Write, Sync, Truncate, Open, Read, Delete, Any };
    void failFrom(const std::filesystem::path& folder, Calls which, int n, int code);
    /// Works again; true if a call was failed meanwhile.
    bool heal();

    // --- for the file layer and the system calls ---
    [[nodiscard]] bool concerns(const std::string& path) const;
    void note(DiskEvent::Kind kind, const std::string& path, std::int64_t offset = 0, const void* bytes = nullptr, std::size_t count = 0);
    void noteRename(const std::string& from, const std::string& to);
    [[nodiscard]] int failure(Calls call, const std::string& path);
    [[nodiscard]] bool sharedMemory() const { return !m_withoutSharedMemory; }

private:
    RecordingDisk();
    [[nodiscard]] std::string nameOf(const std::string& path) const;

    std::string m_folder, m_failFolder;
    bool m_recording = false, m_withoutSharedMemory = false;
    std::vector<DiskEvent> m_events;
    Calls m_failing = Calls::Any;
    int m_failAt = 0, m_calls = 0, m_code = 0;
    bool m_failed = false;
};

/// True while SQLite itself calls the system: what it syncs is noted by the file layer, not by the system calls.
extern thread_local bool insideSqlite;

}  // namespace halfcell::test
