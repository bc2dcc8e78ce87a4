#pragma once

#include "core/quantity/result.h"
#include "db/connection/connection.h"

#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace halfcell::db {

/// One step of the schema. A file of resources/sql, `NNNN_name.sql`, makes version NNNN; a released file never changes.
/// A script whose first line is `-- rebuilds tables` runs with foreign keys off (they cannot be switched inside a
/// transaction, and a DROP TABLE would take referring rows with it) and is checked before it is committed.
struct Migration {
    int version = 0;
    std::string_view name;
    std::string_view script;
};

/// The shipped migrations, by version from 1 without gaps.
[[nodiscard]] std::span<const Migration> shippedMigrations();
/// The version they lead to.
[[nodiscard]] int shippedSchema();

/// What a book's schema is to this program.
enum class SchemaState { UpToDate, Older, Newer };
[[nodiscard]] SchemaState schemaState(Connection& connection, std::span<const Migration> migrations);

/// Runs what is missing, each file in a transaction of its own; a failure leaves the version before it.
/// Before the first step of an existing book a backup is made beside it (`name.before-schema-N`); its path is returned.
/// Errc::NewerBook if the book is newer; errors of the database as they come.
core::Result<std::optional<std::filesystem::path>> migrate(Connection& connection, std::span<const Migration> migrations);

}  // namespace halfcell::db
