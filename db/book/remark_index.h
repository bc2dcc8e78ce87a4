#pragma once

#include "db/stores/visit_store.h"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// The search index over remarks and notes (fragments of three letters and more, by trigrams). Filled with the records,
/// but no record itself. One thread with its connection.
class RemarkIndex {
public:
    explicit RemarkIndex(Connection& connection) : m_connection(connection) {}

    /// The remark and notes among the new rows of a visit; nothing happens if there are none.
    void add(const core::Visit& visit, const VisitParts& parts);
    void add(std::string_view visit, std::string_view serial, std::string_view text);

    struct Hit {
        std::string visit, serial, text;
    };
    /// Remarks that hold the fragment, newest first.
    [[nodiscard]] std::vector<Hit> find(std::string_view fragment, std::size_t limit);

private:
    Connection& m_connection;
    Slot m_visit{Slot::Kind::Text}, m_serial{Slot::Kind::Text}, m_text{Slot::Kind::Text};
    std::unique_ptr<Statement> m_insert;
};

}  // namespace halfcell::db
