#include "db/book/book_impl.h"
#include "db/schema/schema.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

Book::Book(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
Book::Book(Book&&) noexcept = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book() = default;

namespace {

std::unexpected<core::Error> inFile(core::Error error, const fs::path& file)
{
    if (error.file.empty())
        error.file = file.string();
    return std::unexpected(std::move(error));
}

void removeBook(const fs::path& file)
{
    std::error_code ec;
    for (const char* suffix : {"", "-wal", "-shm", "-journal"}) {
        fs::path part = file;
        part += suffix;
        fs::remove(part, ec);
    }
}

}  // namespace

Result<Book> Book::create(const fs::path& file, const BookStamp& stamp)
{
    auto connection = Connection::open(file, Connection::Mode::Create);
    if (!connection)
        return std::unexpected(connection.error());
    if (auto migrated = migrate(**connection, shippedMigrations()); !migrated) {
        connection->reset();
        removeBook(file);
        return inFile(migrated.error(), file);
    }
    auto impl = guarded([&] { return std::make_unique<Impl>(std::move(*connection)); });
    if (!impl)
        return inFile(impl.error(), file);
    auto filled = (*impl)->writing([&] {
        (*impl)->setMeta("created", core::formatInstant(stamp.now));
        (*impl)->append(core::RuleSet::shipped(), kShippedWhy, stamp);
    });
    if (!filled) {
        impl->reset();
        removeBook(file);
        return inFile(filled.error(), file);
    }
    return Book(std::move(*impl));
}

Result<Book> Book::open(const fs::path& file, OpenMode mode)
{
    auto connection = Connection::open(file, mode == OpenMode::ReadOnly ? Connection::Mode::ReadOnly : Connection::Mode::ReadWrite);
    if (!connection)
        return std::unexpected(connection.error());
    auto state = guarded([&] { return schemaState(**connection, shippedMigrations()); });
    if (!state)
        return inFile(state.error(), file);
    if (*state == SchemaState::Older && mode == OpenMode::ReadOnly)
        return inFile({.code = Errc::CannotRead,
                       .detail = "the book was written by an older program and must be brought up to date first",
                       .remedy = "open it once for writing; a backup is made beside it"},
                      file);
    if (auto migrated = migrate(**connection, shippedMigrations()); !migrated)
        return inFile(migrated.error(), file);
    auto impl = guarded([&] { return std::make_unique<Impl>(std::move(*connection)); });
    if (!impl)
        return inFile(impl.error(), file);
    return Book(std::move(*impl));
}

const fs::path& Book::file() const
{
    return m_impl->connection->file();
}

Result<BookInfo> Book::info() const
{
    Impl& d = *m_impl;
    return d.reading([&] {
        BookInfo info;
        Connection& c = *d.connection;
        auto names = d.shopNames.load();
        std::ranges::stable_sort(names, {}, &ShopName::recorded);
        if (!names.empty())
            info.shop = names.back().shop;
        info.schema = static_cast<int>(c.userVersion());
        std::error_code ec;
        info.bytes = fs::file_size(c.file(), ec);
        info.wal = c.wal();
        info.journalMode = c.walRefused().empty() ? c.journalMode() : fmt::format("{} ({})", c.journalMode(), c.walRefused());
        if (const auto last = d.journal.last()) {
            info.entries = last->seq;
            info.head = last->hash;
            info.lastWrite = last->time;
        }
        if (const auto backup = core::parseInstant(d.metaValue("last_backup")))
            info.lastBackup = *backup;
        info.lastBackupFile = d.metaValue("last_backup_file");
        const auto count = [&](const char* table) { return static_cast<std::size_t>(c.number(fmt::format("SELECT count(*) FROM {}", table))); };
        info.sensors = count("sensors");
        info.visits = count("visits");
        info.readings = count("readings");
        return info;
    });
}

}  // namespace halfcell::db
