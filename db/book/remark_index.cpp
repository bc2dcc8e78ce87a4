#include "db/book/remark_index.h"

namespace halfcell::db {

void RemarkIndex::add(const core::Visit& visit, const VisitParts& parts)
{
    std::string text;
    const auto put = [&text](const core::Text& part) {
        if (!part || part->empty())
            return;
        if (!text.empty())
            text += '\n';
        text += *part;
    };
    if (parts.own || parts.head)
        put(visit.remark);
    for (std::size_t i = parts.readings; i < visit.readings.size(); ++i)
        put(visit.readings[i].note);
    for (std::size_t i = parts.actions; i < visit.actions.size(); ++i)
        put(visit.actions[i].note);
    if (!text.empty())
        add(visit.visit, visit.serial, text);
}

void RemarkIndex::add(std::string_view visit, std::string_view serial, std::string_view text)
{
    if (!m_insert)
        m_insert = std::make_unique<Statement>(m_connection, "INSERT INTO remark_search (visit, serial, remark) VALUES (:visit, :serial, :text)",
                                               SlotList{&m_visit, &m_serial, &m_text});
    m_visit.set(visit);
    m_serial.set(serial);
    m_text.set(text);
    m_insert->run();
}

std::vector<RemarkIndex::Hit> RemarkIndex::find(std::string_view fragment, std::size_t limit)
{
    std::size_t letters = 0;
    for (const char c : fragment)
        if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U)
            ++letters;
    std::vector<Hit> hits;
    if (letters < 3)
        return hits;
    // As one quoted phrase: nothing in it is an operator.
    std::string phrase = "\"";
    for (const char c : fragment) {
        phrase += c;
        if (c == '"')
            phrase += c;
    }
    phrase += '"';
    Slot match(Slot::Kind::Text), count(Slot::Kind::Integer), visit(Slot::Kind::Text), serial(Slot::Kind::Text), text(Slot::Kind::Text);
    match.set(phrase);
    count.set(static_cast<long long>(limit));
    Statement query(m_connection,
                    "SELECT visit, serial, remark FROM remark_search WHERE remark_search MATCH :phrase ORDER BY rowid DESC LIMIT :count",
                    {&match, &count}, {&visit, &serial, &text});
    for (bool row = query.first(); row; row = query.next())
        hits.push_back({visit.text, serial.text, text.text});
    return hits;
}

}  // namespace halfcell::db
