#pragma once

#include "db/connection/connection.h"
#include "db/connection/slot.h"

#include <soci/statement.h>

#include <initializer_list>
#include <span>
#include <string>
#include <vector>

namespace halfcell::db {

/// Slots to bind, gathered from rows and single values.
using SlotList = std::vector<Slot*>;

/// A statement prepared once and run often, bound to slots that outlive it. Same thread as its connection.
class Statement {
public:
    /// `uses` are bound to the parameters in their order, `intos` to the columns.
    Statement(Connection& connection, const std::string& sql, const SlotList& uses, const SlotList& intos = {});
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    /// Runs a statement that gives no rows.
    void run();
    /// Runs a query; true when the first row is in the slots. Go on with `next()` until it is false, or call `finish()`.
    bool first();
    bool next();
    /// Lets go of the rest of the rows (a statement in the middle of its rows holds the view it reads).
    void finish();
    /// At most one row: true when it is in the slots.
    bool one();

private:
    soci::statement m_statement;
    bool m_rows = false;
};

}  // namespace halfcell::db
