#include "db/schema/schema.h"

#include "db/connection/guarded.h"
#include "embedded/migrations.h"

#include <fmt/format.h>

#include <charconv>
#include <vector>

namespace halfcell::db {

using core::Errc;
namespace fs = std::filesystem;

namespace {

std::vector<Migration> readMigrations()
{
    std::vector<Migration> list;
    for (const auto& file : embedded::migrations) {
        Migration migration{.version = 0, .name = file.name, .script = file.text};
        std::from_chars(file.name.data(), file.name.data() + file.name.size(), migration.version);
        list.push_back(migration);
    }
    return list;
}

void runOne(Connection& connection, const Migration& migration)
{
    const bool rebuilds = migration.script.starts_with("-- rebuilds tables");
    if (rebuilds)
        connection.run("PRAGMA foreign_keys = OFF");
    try {
        Transaction transaction(connection, Transaction::Kind::Write);
        // Another process may have done this step while we waited for the writer's place.
        if (connection.userVersion() < migration.version) {
            connection.runScript(std::string(migration.script));
            if (rebuilds && !connection.text("PRAGMA foreign_key_check").empty())
                throwError(Errc::DamagedBook, fmt::format("schema step {} would leave rows without what they refer to", migration.name));
            connection.setUserVersion(migration.version);
        }
        transaction.commit();
    } catch (...) {
        if (rebuilds)
            connection.run("PRAGMA foreign_keys = ON");
        throw;
    }
    if (rebuilds)
        connection.run("PRAGMA foreign_keys = ON");
}

fs::path backupName(const fs::path& book, int nextVersion)
{
    fs::path name = book;
    name += fmt::format(".before-schema-{}", nextVersion);
    std::error_code ec;
    for (int i = 2; fs::exists(name, ec); ++i) {
        name = book;
        name += fmt::format(".before-schema-{}-{}", nextVersion, i);
    }
    return name;
}

}  // namespace

std::span<const Migration> shippedMigrations()
{
    static const std::vector<Migration> kList = readMigrations();
    return kList;
}

int shippedSchema()
{
    return shippedMigrations().back().version;
}

SchemaState schemaState(Connection& connection, std::span<const Migration> migrations)
{
    const std::int64_t version = connection.userVersion();
    const int wanted = migrations.empty() ? 0 : migrations.back().version;
    if (version > wanted)
        return SchemaState::Newer;
    return version < wanted ? SchemaState::Older : SchemaState::UpToDate;
}

core::Result<std::optional<fs::path>> migrate(Connection& connection, std::span<const Migration> migrations)
{
    return guarded([&]() -> std::optional<fs::path> {
        std::optional<fs::path> backup;
        switch (schemaState(connection, migrations)) {
        case SchemaState::UpToDate:
            return backup;
        case SchemaState::Newer:
            throwError(Errc::NewerBook,
                       fmt::format("the book was written by a newer program (its schema is {}, this program knows {})",
                                   connection.userVersion(), migrations.empty() ? 0 : migrations.back().version),
                       "open it with that program, or update this one");
        case SchemaState::Older:
            break;
        }
        const std::int64_t before = connection.userVersion();
        for (const Migration& migration : migrations) {
            if (migration.version <= before)
                continue;
            if (before > 0 && !backup) {
                backup = backupName(connection.file(), migration.version);
                connection.copyTo(*backup);
            }
            runOne(connection, migration);
        }
        return backup;
    });
}

}  // namespace halfcell::db
