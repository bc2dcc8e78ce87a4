#include "db/exchange/import_engine.h"

#include "db/book/describe.h"

#include <fmt/format.h>

#include <unordered_map>

namespace halfcell::db {

namespace {

using core::Instant;

/// A row without `recorded` counts from its own time; one that has none, from the start of all times: what the shop has
/// was there before anybody wrote it down.
template <class Row>
Instant ownTime(const Row& row)
{
    if constexpr (std::is_same_v<Row, core::Legacy>) {
        return row.when;
    } else if constexpr (std::is_same_v<Row, core::Person>) {
        return row.from.value_or(Instant{});
    } else if constexpr (requires { row.from.utcSeconds; }) {
        return row.from;
    } else {
        return Instant{};
    }
}

/// The key of a row as the tables define it: times as moments, whatever their offset.
std::string keyText(const core::Site& r)
{
    return r.site;
}
std::string keyText(const core::Point& r)
{
    return r.tag;
}
std::string keyText(const core::Model& r)
{
    return r.model;
}
std::string keyText(const core::Sensor& r)
{
    return r.serial;
}
std::string keyText(const core::Placement& r)
{
    return fmt::format("{}\n{}\n{}", r.serial, r.place, r.from.utcSeconds);
}
std::string keyText(const core::PartRecord& r)
{
    return fmt::format("{}\n{}\n{}", r.serial, core::keyOf(r.part), r.from.utcSeconds);
}
std::string keyText(const core::StandardRow& r)
{
    return fmt::format("{}\n{}", r.standard, r.temp_degc);
}
std::string keyText(const core::Lot& r)
{
    return r.lot;
}
std::string keyText(const core::Equipment& r)
{
    return r.equipment;
}
std::string keyText(const core::Person& r)
{
    return r.person;
}
std::string keyText(const core::Hold& r)
{
    return fmt::format("{}\n{}", r.point, r.from.utcSeconds);
}
std::string keyText(const core::Legacy& r)
{
    return fmt::format("{}\n{}\n{}", r.serial, r.when.utcSeconds, core::keyOf(r.phase));
}

}  // namespace

template <class Row>
void ImportEngine::smallTable(PublicTable table, TableStore<Row>& store)
{
    struct First {
        std::string file;
        std::size_t line = 0;
    };
    std::unordered_map<std::string, First> seen;
    for (std::size_t f = 0; f < m_files.size(); ++f) {
        const TableFile& file = m_files[f];
        if (file.table() != table)
            continue;
        const RowReader<Row> reader(file);
        file.records(m_report.refused, [&](const CsvRecord& record) {
            m_rowShown = &record;
            Row row;
            if (auto bad = reader.read(record, row)) {
                refuse(std::move(*bad));
                return true;
            }
            if (!reader.filled(record, "recorded"))
                row.recorded = ownTime(row);
            const std::string key = keyText(row);
            if (const auto before = seen.find(key); before != seen.end()) {
                refuse(f, record.line,
                       core::Error{.code = core::Errc::Conflict,
                                   .detail = fmt::format("the row is doubled: {} line {} has the same key", before->second.file,
                                                         before->second.line),
                                   .field = file.header().empty() ? std::string() : std::string(publicColumns(table).front().name),
                                   .remedy = "keep one of the two rows"});
                return true;
            }
            const RowVerdict verdict = m_book.admission.admit(row);
            if (verdict.refused()) {
                refuse(f, record.line, verdict.error);
                return true;
            }
            seen.emplace(key, First{file.name(), file.sourceLine(record.line)});
            const Described described = describe(row);
            if (verdict.kind == RowVerdict::Kind::New) {
                m_book.append(store, row, m_stamp);
                m_book.admission.know(row);
            }
            taken(table, verdict.kind, described.key, described.text);
            return true;
        });
        m_rowShown = nullptr;
        progress(0.0);
    }
}

template void ImportEngine::smallTable(PublicTable, TableStore<core::Site>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Point>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Model>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Sensor>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Placement>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::PartRecord>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::StandardRow>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Lot>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Equipment>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Person>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Hold>&);
template void ImportEngine::smallTable(PublicTable, TableStore<core::Legacy>&);

}  // namespace halfcell::db
