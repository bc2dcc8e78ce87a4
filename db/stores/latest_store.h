#pragma once

#include "db/values/book_types.h"
#include "db/connection/connection.h"

#include <memory>
#include <vector>

namespace halfcell::db {

/// The latest state of every sensor, as last computed. Reading it never touches readings. One thread with its connection.
class LatestStore {
public:
    explicit LatestStore(Connection& connection);
    ~LatestStore();

    void put(const LatestState& state);
    /// By serial.
    [[nodiscard]] std::vector<LatestState> load();

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace halfcell::db
