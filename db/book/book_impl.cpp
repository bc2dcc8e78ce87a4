#include "db/book/book_impl.h"

#include "db/stores/record_tables.h"

#include <fmt/format.h>

namespace halfcell::db {

Book::Impl::Impl(std::unique_ptr<Connection> opened)
    : connection(std::move(opened)), journal(*connection), standing(*connection), plant(*connection, standing),
      visits(*connection, standing), figures(*connection), latest(*connection), drafts(*connection), shopNames(*connection),
      ruleSets(*connection, &standing), ruleAdoptions(*connection), merges(*connection), variants(*connection), settlements(*connection),
      remarks(*connection), admission(*connection, plant, visits)
{
}

Book::Impl::~Impl() = default;

struct Book::Impl::Writer {
    std::vector<Slot> slots;
    std::vector<std::string> names;
    Slot entry{Slot::Kind::Integer};
    std::unique_ptr<Statement> insert;
};

std::int64_t Book::Impl::appendAsWritten(std::string_view what, Described described, std::span<const ContentRow> rows,
                                         const BookStamp& stamp)
{
    m_content.clear();
    for (const ContentRow& row : rows)
        m_content += row.text;
    const std::int64_t entry = enter(what, std::move(described), stamp);
    for (const ContentRow& row : rows) {
        auto& writer = m_writers[row.table];
        if (!writer) {
            const RecordTable* table = recordTable(row.table);
            if (table == nullptr)
                throwError(core::Errc::DamagedBook, fmt::format("{} is no table of records", row.table), "verify both books");
            writer = std::make_unique<Writer>();
            writer->names = table->shape.names;
            for (const Slot::Kind kind : table->shape.kinds)
                writer->slots.emplace_back(kind);
            SlotList uses;
            for (Slot& slot : writer->slots)
                uses.push_back(&slot);
            uses.push_back(&writer->entry);
            writer->insert = std::make_unique<Statement>(*connection, insertSql(row.table, writer->names), uses);
        }
        fillSlots(writer->slots, writer->names, row);
        writer->entry.set(static_cast<long long>(entry));
        writer->insert->run();
    }
    return entry;
}

bool Book::Impl::isAboutTheFile(core::Errc code)
{
    switch (code) {
    case core::Errc::CannotRead:
    case core::Errc::CannotWrite:
    case core::Errc::NewerBook:
    case core::Errc::DamagedBook:
    case core::Errc::DiskFull:
    case core::Errc::Locked: return true;
    default: return false;
    }
}

std::int64_t Book::Impl::enter(std::string_view what, Described described, const BookStamp& stamp)
{
    JournalRow row;
    row.time = stamp.now;
    row.person = stamp.person;
    row.what = what;
    row.key = std::move(described.key);
    row.serial = std::move(described.serial);
    row.text = std::move(described.text);
    row.content = hex(journal.sha().digest(m_content));
    return journal.append(row);
}

void Book::Impl::append(const VisitPlan& plan, const BookStamp& stamp)
{
    m_content.clear();
    visits.appendContent(m_content, plan.visit, plan.parts);
    Described described = describe(plan.visit);
    std::string_view what = "visit";
    if (!plan.parts.own) {
        what = plan.parts.head ? "visit_head" : "visit_rows";
        described.text = "added to the " + described.text;
    }
    visits.insert(plan.visit, plan.parts, enter(what, std::move(described), stamp));
    remarks.add(plan.visit, plan.parts);
}

void Book::Impl::append(const core::Correction& correction, std::string_view serial, const BookStamp& stamp)
{
    const auto seq = visits.correctionCount(correction.visit) + 1;
    m_content.clear();
    visits.appendContent(m_content, seq, correction);
    Described described = describe(correction);
    described.serial = serial;
    visits.insert(seq, correction, enter("correction", std::move(described), stamp));
    if (correction.field == "remark" || correction.field == "note")
        remarks.add(correction.visit, serial, correction.new_value);
}

void Book::Impl::append(const core::RuleSet& rules, std::string_view why, const BookStamp& stamp)
{
    const RuleSetRow set{.id = rules.id(), .text = rules.text(), .recorded = stamp.now};
    if (const auto stored = ruleSets.find(set)) {
        if (stored->text != set.text)
            throwError(core::Errc::Conflict, "the book already holds other rules under " + set.id,
                       "give the changed rule set a new version");
    } else {
        append(ruleSets, set, stamp);
    }
    RuleAdoptionRow adoption{.id = set.id, .adopted = stamp.now, .person = {}, .why = {}, .recorded = stamp.now};
    if (!stamp.person.empty())
        adoption.person = stamp.person;
    if (!why.empty())
        adoption.why = std::string(why);
    append(ruleAdoptions, adoption, stamp);
}

std::string Book::Impl::metaValue(std::string_view key)
{
    Slot k(Slot::Kind::Text), v(Slot::Kind::Text);
    k.set(key);
    Statement query(*connection, "SELECT value FROM meta WHERE key = :key", {&k}, {&v});
    return query.one() ? v.text : std::string();
}

void Book::Impl::setMeta(std::string_view key, std::string_view value)
{
    Slot k(Slot::Kind::Text), v(Slot::Kind::Text);
    k.set(key);
    v.set(value);
    Statement(*connection, "INSERT OR REPLACE INTO meta (key, value) VALUES (:key, :value)", {&k, &v}).run();
}

}  // namespace halfcell::db
