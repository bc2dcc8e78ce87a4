#include "db/exchange/import_visits.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <numeric>

namespace halfcell::db {

/// A table is gone through once; of each run of rows that belong to one visit only its place is kept, so a million readings
/// need some megabytes. The visits are then taken in the order of their first row.
void ImportEngine::indexVisits()
{
    m_readers.resize(m_files.size());
    for (std::size_t f = 0; f < m_files.size(); ++f) {
        const TableFile& file = m_files[f];
        if (!file.readable() || !belongsToVisits(file.table()))
            continue;
        m_readers[f] = std::make_unique<FileReaders>(file);
        const std::size_t place = file.place("visit");
        std::size_t rows = 0, lastOrdinal = 0;
        file.records(m_report.refused, [&](const CsvRecord& record) {
            const std::string_view key = cellText(record, place);
            if (key.empty()) {
                refuse(file.refusal(record.line, "visit", {}, "visit is empty", "give each visit a key of its own, any text"));
                return true;
            }
            const std::uint64_t hash = std::hash<std::string_view>{}(key);
            if (rows > 0 && record.ordinal == lastOrdinal + 1 && m_runs.back().file == f && m_runs.back().hash == hash)
                ++m_runs.back().rows;
            else
                m_runs.push_back({.hash = hash,
                                  .offset = record.offset,
                                  .line = static_cast<std::uint32_t>(record.line),
                                  .rows = 1,
                                  .file = static_cast<std::uint32_t>(f)});
            lastOrdinal = record.ordinal;
            if (++rows % 4096 == 0)
                progress(0.1 + 0.1 * (static_cast<double>(f) + file.shareAt(record.offset)) / static_cast<double>(m_files.size()));
            return true;
        });
    }
    // Runs of one visit together, in the order of the files; then the visits in the order of their first runs.
    m_runOrder.resize(m_runs.size());
    std::iota(m_runOrder.begin(), m_runOrder.end(), 0U);
    std::ranges::stable_sort(m_runOrder, {}, [&](std::uint32_t i) { return m_runs[i].hash; });
    for (std::uint32_t i = 0; i < m_runOrder.size(); ++i)
        if (i == 0 || m_runs[m_runOrder[i]].hash != m_runs[m_runOrder[i - 1]].hash)
            m_groups.push_back(i);
    std::ranges::sort(m_groups, {}, [&](std::uint32_t at) { return m_runOrder[at]; });
}

/// The rows of a group of runs, as places of visits. One hash is one visit but for accidents, which the keys themselves settle.
void ImportEngine::group(std::uint32_t at)
{
    const std::uint64_t hash = m_runs[m_runOrder[at]].hash;
    std::vector<VisitPlaces> visits;
    for (std::size_t i = at; i < m_runOrder.size() && m_runs[m_runOrder[i]].hash == hash; ++i) {
        const Run& run = m_runs[m_runOrder[i]];
        const TableFile& file = m_files[run.file];
        const std::size_t place = file.place("visit");
        const auto table = static_cast<std::size_t>(file.table()) - static_cast<std::size_t>(PublicTable::Visits);
        file.recordsFrom(run.offset, run.line, run.rows, [&](const CsvRecord& record) {
            const std::string_view key = cellText(record, place);
            auto visit = std::ranges::find(visits, key, &VisitPlaces::key);
            if (visit == visits.end())
                visit = visits.insert(visits.end(), VisitPlaces{.key = std::string(key), .rows = {}});
            visit->rows[table].push_back({.file = run.file, .line = static_cast<std::uint32_t>(record.line), .offset = record.offset});
        });
    }
    for (const VisitPlaces& places : visits)
        visit(places);
}

}  // namespace halfcell::db
