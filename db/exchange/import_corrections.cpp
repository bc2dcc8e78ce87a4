#include "db/exchange/import_engine.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;
using core::Error;

namespace {

struct Found {
    std::size_t file = 0, line = 0;
    core::Correction correction;
};

}  // namespace

void ImportEngine::corrections()
{
    std::vector<Found> list;
    for (std::size_t f = 0; f < m_files.size(); ++f) {
        const TableFile& file = m_files[f];
        if (file.table() != PublicTable::Corrections)
            continue;
        const RowReader<core::Correction> reader(file);
        file.records(m_report.refused, [&](const CsvRecord& record) {
            Found found{.file = f, .line = record.line, .correction = {}};
            if (auto bad = reader.read(record, found.correction))
                refuse(std::move(*bad));
            else
                list.push_back(std::move(found));
            return true;
        });
    }
    // Replayed in the order they were made; those of one moment in the order of the file.
    std::ranges::stable_sort(list, {}, [](const Found& found) { return found.correction.recorded; });
    std::vector<const core::Correction*> seen;
    for (const Found& found : list) {
        const core::Correction& correction = found.correction;
        const auto bad = [&](Errc code, std::string field, std::string detail, std::string remedy) {
            const auto* column = core::findColumn<core::Correction>(field);
            const std::string value = column == nullptr ? std::string() : column->get(correction);
            refuse(found.file, found.line,
                   Error{.code = code, .detail = std::move(detail), .field = std::move(field), .remedy = std::move(remedy)}, value);
        };
        if (std::ranges::any_of(seen, [&](const core::Correction* other) { return *other == correction; })) {
            bad(Errc::Conflict, "visit", "the correction is doubled", "keep one of the two rows");
            continue;
        }
        auto visit = m_book.visits.find(correction.visit);
        if (!visit) {
            bad(Errc::NotFound, "visit", fmt::format("there is no visit \"{}\"", correction.visit),
                "check its key, or bring the visit in as well");
            continue;
        }
        const std::string serial = visit->serial;
        const auto earlier = m_book.visits.correctionsOf(correction.visit);
        const std::string what = fmt::format("{} row {} {} of {}", correction.table, correction.row, correction.field, correction.visit);
        if (std::ranges::find(earlier, correction) != earlier.end()) {
            seen.push_back(&correction);
            taken(PublicTable::Corrections, RowVerdict::Kind::Same, correction.visit, what);
            continue;
        }
        for (const core::Correction& before : earlier)
            (void)core::applyCorrection(*visit, before);
        if (const auto fits = core::applyCorrection(*visit, correction); !fits) {
            const Error& error = fits.error();
            bad(error.code,
                error.code == Errc::Conflict   ? "old"
                : error.code == Errc::NotFound ? "field"
                                               : "new",
                "the correction does not fit: " + error.detail, error.remedy);
            continue;
        }
        if (!m_book.admission.knowsSensor(visit->serial) || (visit->tag && !m_book.admission.knowsPoint(*visit->tag))) {
            bad(Errc::NotFound, "new", fmt::format("\"{}\" is not known", correction.new_value), "check it, or add it to its table");
            continue;
        }
        m_book.append(correction, serial, m_stamp);
        seen.push_back(&correction);
        taken(PublicTable::Corrections, RowVerdict::Kind::New, correction.visit, what);
    }
}

}  // namespace halfcell::db
