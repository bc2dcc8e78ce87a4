#include "db/exchange/import_engine.h"

#include "db/sheets/utf8.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;

void ImportEngine::refuse(Refusal refusal)
{
    m_report.refused.push_back(std::move(refusal));
}

void ImportEngine::refuse(std::size_t file, std::size_t line, const core::Error& error, std::string_view value)
{
    const TableFile& source = m_files[file];
    std::string shown = shortened(value);
    if (shown.empty() && !error.field.empty()) {
        const std::size_t place = source.place(error.field);
        if (place != std::string::npos && m_rowShown != nullptr && place < m_rowShown->cells.size())
            shown = shortened(cellText(*m_rowShown, place));
    }
    refuse({.file = source.name(),
            .line = source.sourceLine(line),
            .field = source.sourceField(line, error.field),
            .value = std::move(shown),
            .reason = error.detail,
            .remedy = error.remedy});
}

void ImportEngine::fate(PublicTable table, const std::string& key, const std::string& text, RowVerdict::Kind kind)
{
    if (onRow)
        onRow({.table = table, .key = key, .text = text, .kind = kind});
}

void ImportEngine::taken(PublicTable table, RowVerdict::Kind kind, const std::string& key, const std::string& text)
{
    if (kind == RowVerdict::Kind::New) {
        ++m_taken[static_cast<std::size_t>(table)];
        ++m_report.taken;
    } else {
        ++m_report.unchanged;
    }
    fate(table, key, text, kind);
}

void ImportEngine::progress(double fraction)
{
    if (m_options.progress && !m_options.progress(fraction))
        throwError(Errc::Cancelled, "the import was stopped");
}

void ImportEngine::run()
{
    if (m_book.connection->readOnly())
        throwError(Errc::CannotWrite, "the book was opened for reading only");
    m_transaction = std::make_unique<Transaction>(*m_book.connection, Transaction::Kind::Write);
    m_book.journal.begin();
    m_book.admission.begin();
    smallTable(PublicTable::Sites, m_book.plant.sites);
    smallTable(PublicTable::Points, m_book.plant.points);
    smallTable(PublicTable::Models, m_book.plant.models);
    smallTable(PublicTable::Sensors, m_book.plant.sensors);
    smallTable(PublicTable::Placements, m_book.plant.placements);
    smallTable(PublicTable::Parts, m_book.plant.parts);
    smallTable(PublicTable::Standards, m_book.plant.standards);
    smallTable(PublicTable::Lots, m_book.plant.lots);
    smallTable(PublicTable::Equipment, m_book.plant.equipment);
    smallTable(PublicTable::People, m_book.plant.people);
    smallTable(PublicTable::Holds, m_book.plant.holds);
    smallTable(PublicTable::Legacy, m_book.plant.legacy);
    indexVisits();
    for (std::size_t i = 0; i < m_groups.size(); ++i) {
        group(m_groups[i]);
        if (i % 256 == 0)
            progress(0.2 + 0.75 * static_cast<double>(i) / static_cast<double>(m_groups.size()));
    }
    corrections();
    progress(1.0);
    // In the order of the files and lines, as whoever mends them reads them.
    std::ranges::stable_sort(m_report.refused,
                             [](const Refusal& a, const Refusal& b) { return std::tie(a.file, a.line) < std::tie(b.file, b.line); });
    for (std::size_t i = 0; i < kPublicTables; ++i)
        if (m_taken[i] > 0)
            m_report.takenByTable.emplace_back(nameOf(static_cast<PublicTable>(i)), m_taken[i]);
    if (m_options.dryRun || (m_options.strict && !m_report.refused.empty()))
        m_transaction.reset();  // rolls back
    else
        m_transaction->commit();
    m_transaction.reset();
}

}  // namespace halfcell::db
