#include "db/connection/statement.h"

#include <soci/soci.h>

namespace halfcell::db {
namespace {

void exchangeUse(soci::statement& statement, Slot& slot)
{
    switch (slot.kind) {
    case Slot::Kind::Text: statement.exchange(soci::use(slot.text, slot.state)); break;
    case Slot::Kind::Real: statement.exchange(soci::use(slot.real, slot.state)); break;
    case Slot::Kind::Integer: statement.exchange(soci::use(slot.integer, slot.state)); break;
    }
}

void exchangeInto(soci::statement& statement, Slot& slot)
{
    switch (slot.kind) {
    case Slot::Kind::Text: statement.exchange(soci::into(slot.text, slot.state)); break;
    case Slot::Kind::Real: statement.exchange(soci::into(slot.real, slot.state)); break;
    case Slot::Kind::Integer: statement.exchange(soci::into(slot.integer, slot.state)); break;
    }
}

}  // namespace

Statement::Statement(Connection& connection, const std::string& sql, const SlotList& uses, const SlotList& intos)
    : m_statement(connection.session())
{
    for (Slot* slot : uses)
        exchangeUse(m_statement, *slot);
    for (Slot* slot : intos)
        exchangeInto(m_statement, *slot);
    m_statement.alloc();
    m_statement.prepare(sql);
    m_statement.define_and_bind();
}

void Statement::run()
{
    m_statement.execute(true);
}

bool Statement::first()
{
    m_rows = m_statement.execute(true);
    return m_rows;
}

bool Statement::next()
{
    if (m_rows)
        m_rows = m_statement.fetch();
    return m_rows;
}

void Statement::finish()
{
    while (next()) {
    }
}

bool Statement::one()
{
    if (!first())
        return false;
    // The next step ends the query; the slots keep the row, since a step without a row exchanges nothing.
    m_rows = m_statement.fetch();
    return true;
}

}  // namespace halfcell::db
