#pragma once

#include "db/values/book_types.h"
#include "db/connection/connection.h"

#include <string_view>
#include <vector>

namespace halfcell::db {

/// Visits being typed. Not records: a draft is written over and thrown away. One thread with its connection.
class DraftStore {
public:
    explicit DraftStore(Connection& connection) : m_connection(connection) {}

    void put(const Draft& draft);
    void drop(std::string_view id);
    /// By the time they were kept.
    [[nodiscard]] std::vector<Draft> load();

private:
    Connection& m_connection;
};

}  // namespace halfcell::db
