#include "db/stores/draft_store.h"

#include "db/stores/table_store.h"

namespace halfcell::db {

template <>
struct TableMap<Draft> {
    using Row = Draft;
    static constexpr std::string_view kTable = "drafts", kWhat = "", kKeys = "id", kOrder = "kept_s, id";
    static constexpr auto fields()
    {
        return std::tuple(Field{"id", &Row::id}, Field{"serial", &Row::serial}, Field{"tag", &Row::tag}, Field{"person", &Row::person},
                          Field{"kept", &Row::kept}, Field{"fields", &Row::fields}, Field{"set_aside", &Row::setAside},
                          Field{"content", &Row::content});
    }
};

void DraftStore::put(const Draft& draft)
{
    RowSlots<Draft> in;
    in.fill(draft);
    Statement(m_connection, replaceSql("drafts", in.names()), in.list()).run();
}

void DraftStore::drop(std::string_view id)
{
    Slot key(Slot::Kind::Text);
    key.set(id);
    Statement(m_connection, "DELETE FROM drafts WHERE id = :id", {&key}).run();
}

std::vector<Draft> DraftStore::load()
{
    RowSlots<Draft> out;
    Statement query(m_connection, fmt::format("SELECT {} FROM drafts ORDER BY kept_s, id", joinNames(out.names())), {}, out.list());
    std::vector<Draft> drafts;
    for (bool row = query.first(); row; row = query.next())
        out.read(drafts.emplace_back());
    return drafts;
}

}  // namespace halfcell::db
