#include "db/connection/connection.h"

#include "db/connection/durable_files.h"
#include "db/connection/guarded.h"

#include <fmt/format.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <sys/vfs.h>

#include <algorithm>
#include <array>
#include <exception>
#include <utility>

namespace halfcell::db {

using core::Errc;
using core::Error;
namespace fs = std::filesystem;

namespace {

Error errorOfCode(int code, const std::string& message)
{
    switch (code & 0xFF) {
    case SQLITE_FULL: return {.code = Errc::DiskFull, .detail = "no room left on the device", .remedy = "free some space and try again"};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return {.code = Errc::Locked, .detail = "another program holds the book", .remedy = "wait for it to finish and try again"};
    case SQLITE_CORRUPT:
        return {.code = Errc::DamagedBook, .detail = "the file is damaged: " + message, .remedy = "go back to the last good backup"};
    case SQLITE_NOTADB:
        return {.code = Errc::CannotRead,
                .detail = "the file is not a Halfcell book",
                .remedy = "choose a book, or import the file as a table"};
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return {.code = Errc::CannotWrite,
                .detail = "the book can't be written: " + message,
                .remedy = "check the rights of the file and its folder"};
    case SQLITE_CANTOPEN:
        return {.code = Errc::CannotRead,
                .detail = "the book can't be opened",
                .remedy = "check that the file and its folder can be read and written"};
    case SQLITE_IOERR:
        return {
            .code = Errc::CannotWrite, .detail = "the device failed: " + message, .remedy = "check the device and the connection to it"};
    case SQLITE_CONSTRAINT:
        return {.code = Errc::Conflict, .detail = message, .remedy = "records are only ever added; write a correction instead"};
    default: return {.code = Errc::Internal, .detail = message, .remedy = {}};
    }
}

/// File systems without shared memory that all users of the file see: WAL would lose or tear writes there.
const char* unsafeFileSystem(const fs::path& file)
{
    struct Kind {
        unsigned long magic;
        const char* name;
    };
    // Magic numbers of statfs(2).
    constexpr std::array kUnsafe = {Kind{0x6969, "NFS"},      Kind{0x517B, "SMB"},
                                    Kind{0xFF534D42, "CIFS"}, Kind{0xFE534D42, "SMB2"},
                                    Kind{0x564C, "NCP"},      Kind{0x5346414F, "AFS"},
                                    Kind{0x73757245, "Coda"}, Kind{0x65735546, "FUSE"},
                                    Kind{0x01021997, "9P"},   Kind{0x786F4256, "shared folder"}};
    struct statfs info {};
    if (::statfs(file.parent_path().c_str(), &info) != 0)
        return nullptr;
    for (const Kind& kind : kUnsafe)
        if (static_cast<unsigned long>(info.f_type) == kind.magic)
            return kind.name;
    return nullptr;
}

/// SOCI takes a bare file name unless it holds an equals sign.
std::string connectText(const fs::path& file)
{
    const std::string name = file.string();
    if (name.find('=') == std::string::npos)
        return name;
    if (name.find('"') != std::string::npos)
        throwError(Errc::CannotRead, "a book's name can't hold both \" and =", "rename the file or its folder");
    return "dbname=\"" + name + "\"";
}

sqlite_api::sqlite3* raw(soci::session& session)
{
    return static_cast<soci::sqlite3_session_backend*>(session.get_backend())->conn_;
}

/// A connection belongs to one thread or serial queue, so SQLite need not lock it at every call. Works only before SQLite's first use;
/// where somebody came first, it goes on locking.
void lockNothingTwice()
{
    static const int once = sqlite_api::sqlite3_config(SQLITE_CONFIG_MULTITHREAD);
    static_cast<void>(once);
}

}  // namespace

Error currentError()
{
    try {
        throw;
    } catch (const Thrown& thrown) {
        return thrown.error();
    } catch (const soci::sqlite3_soci_error& e) {
        return errorOfCode(e.result(), e.get_error_message());
    } catch (const std::exception& e) {
        return {.code = Errc::Internal, .detail = e.what(), .remedy = {}};
    }
}

core::Result<std::unique_ptr<Connection>> Connection::open(const fs::path& file, Mode mode, Wal wal)
{
    auto opened = guarded([&] {
        std::error_code ec;
        const fs::path full = fs::absolute(file, ec);
        const bool exists = fs::exists(full, ec);
        if (mode == Mode::Create && exists)
            throwError(Errc::Conflict, "there is already a file of that name", "choose another name; a book is never written over");
        if (mode != Mode::Create && !exists)
            throwError(Errc::CannotRead, "there is no such book", "check the name, or make a new book");
        if (mode != Mode::Create && !fs::is_regular_file(full, ec))
            throwError(Errc::CannotRead, "that is not a file", "name the book's file");
        if (mode == Mode::Create && !fs::is_directory(full.parent_path(), ec))
            throwError(Errc::CannotWrite, "the folder for the book does not exist", "make the folder first");
        return std::unique_ptr<Connection>(new Connection(full, mode, wal));
    });
    if (!opened)
        opened.error().file = file.string();
    return opened;
}

Connection::Connection(fs::path file, Mode mode, Wal wal) : m_file(std::move(file)), m_readOnly(mode == Mode::ReadOnly)
{
    lockNothingTwice();
    m_session.open(soci::sqlite3, connectText(m_file));
    run("PRAGMA busy_timeout = 15000");
    run("PRAGMA cache_size = -65536");
    run("PRAGMA mmap_size = 268435456");
    run("PRAGMA foreign_keys = ON");
    run("PRAGMA recursive_triggers = ON");
    run("PRAGMA temp_store = MEMORY");
    if (mode == Mode::Create) {
        run(fmt::format("PRAGMA application_id = {}", kApplicationId));
    } else {
        if (number("PRAGMA application_id") != kApplicationId)
            throwError(Errc::CannotRead, "the file is not a Halfcell book", "choose a book, or import the file as a table");
    }
    chooseJournal(wal);
    run("PRAGMA synchronous = FULL");
    if (m_readOnly)
        run("PRAGMA query_only = ON");
}

Connection::~Connection() = default;

void Connection::chooseJournal(Wal wal)
{
    const char* unsafe = unsafeFileSystem(m_file);
    if (unsafe != nullptr)
        m_walRefused = fmt::format("the book lies on a {} file system, where WAL is unsafe", unsafe);
    else if (wal == Wal::Never)
        m_walRefused = "asked for";
    m_journalMode = text("PRAGMA journal_mode");
    if (m_readOnly)
        return;
    const std::string wanted = m_walRefused.empty() ? "wal" : "truncate";
    if (m_journalMode != wanted)
        m_journalMode = text("PRAGMA journal_mode = " + wanted);
    if (m_walRefused.empty() && m_journalMode != "wal") {
        m_walRefused = "the file system refused WAL";
        m_journalMode = text("PRAGMA journal_mode = truncate");
    }
}

void Connection::run(const std::string& sql)
{
    m_session << sql;
}

void Connection::runScript(const std::string& sql)
{
    char* message = nullptr;
    const int code = sqlite_api::sqlite3_exec(raw(m_session), sql.c_str(), nullptr, nullptr, &message);
    if (code != SQLITE_OK) {
        const std::string what = message != nullptr ? message : "the script failed";
        sqlite_api::sqlite3_free(message);
        throw Thrown(errorOfCode(code, what));
    }
}

std::int64_t Connection::number(const std::string& sql)
{
    long long value = 0;
    soci::indicator state = soci::i_null;
    soci::statement st = (m_session.prepare << sql, soci::into(value, state));
    const bool found = st.execute(true);
    const std::int64_t result = found && state == soci::i_ok ? value : 0;
    while (found && st.fetch()) {
    }
    return result;
}

std::string Connection::text(const std::string& sql)
{
    std::string value;
    soci::indicator state = soci::i_null;
    soci::statement st = (m_session.prepare << sql, soci::into(value, state));
    const bool found = st.execute(true);
    std::string result = found && state == soci::i_ok ? value : std::string();
    while (found && st.fetch()) {
    }
    return result;
}

std::int64_t Connection::userVersion()
{
    return number("PRAGMA user_version");
}

void Connection::setUserVersion(std::int64_t version)
{
    run(fmt::format("PRAGMA user_version = {}", version));
}

void Connection::giveUpWhen(const std::atomic<bool>& stop)
{
    constexpr int kSteps = 20000;  // of SQLite's virtual machine: some milliseconds
    const auto ask = [](void* asked) { return static_cast<const std::atomic<bool>*>(asked)->load() ? 1 : 0; };
    sqlite_api::sqlite3_progress_handler(raw(m_session), kSteps, ask, const_cast<std::atomic<bool>*>(&stop));
}

bool Connection::holdsUnsavedChanges()
{
    return sqlite_api::sqlite3_txn_state(raw(m_session), "main") == SQLITE_TXN_WRITE;
}

bool Connection::movedAway()
{
    int moved = 0;
    const int code = sqlite_api::sqlite3_file_control(raw(m_session), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    return code == SQLITE_OK && moved != 0;
}

void Connection::mustBeInPlace()
{
    if (movedAway())
        throwError(Errc::CannotWrite, "the book's file was moved, replaced or deleted while it was open",
                   "put it back, or close the book and open it from where it is now");
}

namespace {

/// Asks now and then whether the copy goes on while SQLite makes it.
class CopyWatch {
public:
    CopyWatch(sqlite_api::sqlite3* handle, fs::path whole, fs::path part, const std::function<bool(double)>& progress)
        : m_handle(handle), m_part(std::move(part)), m_progress(progress)
    {
        std::error_code ec;
        m_whole = static_cast<double>(std::max<std::uintmax_t>(1, fs::file_size(whole, ec)));
        if (m_progress)
            sqlite_api::sqlite3_progress_handler(m_handle, kSteps, &CopyWatch::ask, this);
    }
    ~CopyWatch() { sqlite_api::sqlite3_progress_handler(m_handle, 0, nullptr, nullptr); }
    CopyWatch(const CopyWatch&) = delete;
    CopyWatch& operator=(const CopyWatch&) = delete;
    [[nodiscard]] bool stopped() const { return m_stopped; }

private:
    static constexpr int kSteps = 20000;  // of SQLite's virtual machine: some milliseconds

    static int ask(void* self)
    {
        auto* watch = static_cast<CopyWatch*>(self);
        std::error_code ec;
        const auto size = fs::file_size(watch->m_part, ec);
        const double share = ec ? 0.0 : std::min(1.0, static_cast<double>(size) / watch->m_whole);
        watch->m_stopped = watch->m_stopped || !watch->m_progress(share);
        return watch->m_stopped ? 1 : 0;
    }

    sqlite_api::sqlite3* m_handle;
    fs::path m_part;
    const std::function<bool(double)>& m_progress;
    double m_whole = 1.0;
    bool m_stopped = false;
};

}  // namespace

void Connection::vacuumInto(const std::string& quoted, const fs::path& part, const std::function<bool(double)>& progress)
{
    // VACUUM INTO needs no more than the right to read, which query_only would also forbid.
    if (m_readOnly)
        run("PRAGMA query_only = OFF");
    bool stopped = false;
    std::exception_ptr failed;
    {
        const CopyWatch watch(raw(m_session), m_file, part, progress);
        try {
            run("VACUUM INTO '" + quoted + "'");
        } catch (...) {
            failed = std::current_exception();
        }
        stopped = watch.stopped();
    }
    if (m_readOnly)
        run("PRAGMA query_only = ON");
    if (stopped)
        throwError(Errc::Cancelled, "stopped; no copy was kept");
    if (failed)
        std::rethrow_exception(failed);
}

void Connection::copyTo(const fs::path& target, const std::function<bool(double)>& progress)
{
    std::error_code ec;
    if (fs::exists(target, ec))
        throwError(Errc::Conflict, "there is already a file named " + target.string(), "choose another name");
    fs::path part = target;
    part += ".part";
    fs::remove(part, ec);
    std::string quoted;
    for (const char c : part.string()) {
        quoted += c;
        if (c == '\'')
            quoted += c;
    }
    try {
        const auto goesOn = [&progress](double fraction) {
            if (progress && !progress(fraction))
                throwError(Errc::Cancelled, "stopped; no copy was kept");
        };
        goesOn(0.0);
        vacuumInto(quoted, part, progress);
        goesOn(1.0);
        orThrow(syncFile(part));
        orThrow(renameDurably(part, target));
    } catch (...) {
        fs::remove(part, ec);
        throw;
    }
}

Transaction::Transaction(Connection& connection, Kind kind) : m_connection(connection)
{
    m_connection.mustBeInPlace();
    m_connection.run(kind == Kind::Write ? "BEGIN IMMEDIATE" : "BEGIN");
}

Transaction::~Transaction()
{
    if (!m_open)
        return;
    try {
        m_connection.run("ROLLBACK");
    } catch (...) {  // NOLINT(bugprone-empty-catch): SQLite has already rolled back by itself
    }
}

void Transaction::commit()
{
    m_connection.run("COMMIT");
    m_open = false;
    // Taken away meanwhile: nobody is told that it was kept.
    m_connection.mustBeInPlace();
}

}  // namespace halfcell::db
