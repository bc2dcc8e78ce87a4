#include "db/journal/journal.h"

#include <fmt/format.h>

namespace halfcell::db {

namespace {

constexpr const char* kColumns = "seq, time_s, time_offset_min, person, what, key, serial, text, content, hash";

/// Length before content: no two different rows give the same bytes.
void frame(std::string& out, std::string_view part)
{
    fmt::format_to(std::back_inserter(out), "{}:", part.size());
    out += part;
}

}  // namespace

std::string chainedHash(Sha256& sha, const JournalRow& row, std::string_view before)
{
    std::string bytes;
    bytes.reserve(320 + row.text.size());
    frame(bytes, before);
    fmt::format_to(std::back_inserter(bytes), "{};{};{};", row.seq, row.time.utcSeconds, row.time.offsetMinutes);
    for (const std::string* part : {&row.person, &row.what, &row.key, &row.serial, &row.text, &row.content})
        frame(bytes, *part);
    return hex(sha.digest(bytes));
}

struct Journal::Slots {
    Slot seq{Slot::Kind::Integer}, time{Slot::Kind::Integer}, offset{Slot::Kind::Integer};
    Slot person{Slot::Kind::Text}, what{Slot::Kind::Text}, key{Slot::Kind::Text}, serial{Slot::Kind::Text}, text{Slot::Kind::Text},
        content{Slot::Kind::Text}, hash{Slot::Kind::Text};

    SlotList list() { return {&seq, &time, &offset, &person, &what, &key, &serial, &text, &content, &hash}; }

    static void put(Slot& slot, const std::string& value)
    {
        if (value.empty())
            slot.clear();
        else
            slot.set(value);
    }
    static std::string get(const Slot& slot) { return slot.isNull() ? std::string() : slot.text; }

    void fill(const JournalRow& row)
    {
        seq.set(static_cast<long long>(row.seq));
        time.set(static_cast<long long>(row.time.utcSeconds));
        offset.set(static_cast<long long>(row.time.offsetMinutes));
        put(person, row.person);
        what.set(row.what);
        key.set(row.key);
        put(serial, row.serial);
        text.set(row.text);
        content.set(row.content);
        hash.set(row.hash);
    }
    [[nodiscard]] JournalRow row() const
    {
        return {.seq = seq.integer,
                .time = {time.integer, static_cast<std::int32_t>(offset.integer)},
                .person = get(person),
                .what = get(what),
                .key = get(key),
                .serial = get(serial),
                .text = get(text),
                .content = get(content),
                .hash = get(hash)};
    }
};

Journal::Journal(Connection& connection)
    : m_connection(connection), m_in(std::make_unique<Slots>()), m_out(std::make_unique<Slots>()),
      m_after(std::make_unique<Slot>(Slot::Kind::Integer))
{
}

Journal::~Journal() = default;

std::optional<JournalRow> Journal::last()
{
    if (!m_last)
        m_last = std::make_unique<Statement>(m_connection, fmt::format("SELECT {} FROM journal ORDER BY seq DESC LIMIT 1", kColumns),
                                             SlotList{}, m_out->list());
    if (!m_last->one())
        return std::nullopt;
    return m_out->row();
}

void Journal::begin()
{
    const auto row = last();
    m_seq = row ? row->seq : 0;
    m_hash = row ? row->hash : std::string();
}

std::int64_t Journal::append(JournalRow& row)
{
    row.seq = m_seq + 1;
    row.hash = chainedHash(m_sha, row, m_hash);
    if (!m_insert)
        m_insert = std::make_unique<Statement>(
            m_connection, fmt::format("INSERT INTO journal ({}) VALUES (:a, :b, :c, :d, :e, :f, :g, :h, :i, :j)", kColumns), m_in->list());
    m_in->fill(row);
    m_insert->run();
    m_seq = row.seq;
    m_hash = row.hash;
    return row.seq;
}

void Journal::read(std::int64_t after, const std::function<bool(const JournalRow&)>& visit)
{
    Slots out;
    m_after->set(static_cast<long long>(after));
    Statement select(m_connection, fmt::format("SELECT {} FROM journal WHERE seq > :after ORDER BY seq", kColumns), {m_after.get()}, out.list());
    for (bool row = select.first(); row; row = select.next())
        if (!visit(out.row()))
            return;
}

}  // namespace halfcell::db
