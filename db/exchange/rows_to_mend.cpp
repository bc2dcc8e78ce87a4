#include "db/exchange/rows_to_mend.h"

#include "db/exchange/csv_write.h"
#include "db/exchange/import_engine.h"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

bool isMendColumn(std::string_view name)
{
    return std::ranges::find(kMendColumns, name) != std::end(kMendColumns);
}

namespace {

using ByLine = std::multimap<std::size_t, const Refusal*>;

/// What is written for one table; several files of it come together.
struct Mend {
    std::vector<std::string> header;  ///< of the first file; the others' cells are put in its order
    std::string text;
    std::size_t rows = 0;
};

/// Which dip of its standard in its phase a row is, among the rows of its visit in the file.
class DipCounter {
public:
    explicit DipCounter(const TableFile& file)
        : m_visit(file.place("visit")), m_phase(file.place("phase")), m_standard(file.place("standard")), m_dip(file.place("dip"))
    {
    }
    void watch(const CsvRecord& record) { m_watched.emplace(cellText(record, m_visit)); }
    std::string count(const CsvRecord& record)
    {
        const std::string visit(cellText(record, m_visit));
        if (!m_watched.contains(visit))
            return {};
        if (m_dip != std::string::npos && !cellText(record, m_dip).empty())
            return std::string(cellText(record, m_dip));
        const std::array<std::string, 3> key{visit, std::string(cellText(record, m_phase)), std::string(cellText(record, m_standard))};
        return std::to_string(++m_counts[key]);
    }

private:
    std::size_t m_visit, m_phase, m_standard, m_dip;
    std::set<std::string> m_watched;
    std::map<std::array<std::string, 3>, int> m_counts;
};

void collect(const TableFile& file, const ByLine& refused, Mend& mend)
{
    const bool readings = file.table() == PublicTable::Readings;
    const auto own = [&](const std::string& name) { return !isMendColumn(name); };
    if (mend.header.empty()) {
        std::ranges::copy_if(file.header(), std::back_inserter(mend.header), own);
        if (readings && file.place("dip") == std::string::npos)
            mend.header.emplace_back("dip");
        auto names = mend.header;
        names.insert(names.end(), std::begin(kMendColumns), std::end(kMendColumns));
        appendRecord(mend.text, names);
    }
    // A column that the first file has not got would be lost: that file's rows stay where they are.
    for (const std::string& name : file.header())
        if (own(name) && std::ranges::find(mend.header, name) == mend.header.end())
            return;
    std::vector<Refusal> passedOver;
    DipCounter dips(file);
    if (readings)
        file.records(passedOver, [&](const CsvRecord& record) {
            if (refused.contains(file.sourceLine(record.line)))
                dips.watch(record);
            return true;
        });
    file.records(passedOver, [&](const CsvRecord& record) {
        const auto [first, last] = refused.equal_range(file.sourceLine(record.line));
        // A row that stands twice is no dip of its own.
        const bool doubled = std::any_of(first, last, [](const auto& r) { return r.second->reason.starts_with(kDoubledReading); });
        const std::string dip = readings && !doubled ? dips.count(record) : std::string();
        if (first == last)
            return true;
        std::vector<std::string> cells;
        for (const std::string& name : mend.header) {
            const std::size_t place = file.place(name);
            if (readings && name == "dip")
                cells.push_back(dip);
            else
                cells.emplace_back(place == std::string::npos ? std::string_view() : cellText(record, place));
        }
        std::array<std::string, 4> why{std::to_string(file.sourceLine(record.line)), {}, {}, {}};
        for (auto at = first; at != last; ++at) {
            const std::string* const parts[] = {&at->second->field, &at->second->reason, &at->second->remedy};
            for (std::size_t i = 0; i < 3; ++i)
                why[i + 1] += (why[i + 1].empty() || parts[i]->empty() ? "" : "; ") + *parts[i];
        }
        cells.insert(cells.end(), why.begin(), why.end());
        appendRecord(mend.text, cells);
        ++mend.rows;
        return true;
    });
}

}  // namespace

Result<std::size_t> writeRowsToMend(const std::deque<TableFile>& files, const std::vector<Refusal>& refused, const fs::path& folder)
{
    std::map<std::string, ByLine, std::less<>> byFile;
    for (const Refusal& r : refused)
        if (r.line > 0)
            byFile[r.file].emplace(r.line, &r);
    std::map<PublicTable, Mend> mends;
    for (const TableFile& file : files)
        if (const auto lines = byFile.find(file.name()); file.readable() && lines != byFile.end())
            collect(file, lines->second, mends[file.table()]);
    std::erase_if(mends, [](const auto& mend) { return mend.second.rows == 0; });
    std::size_t rows = 0;
    for (const auto& [table, mend] : mends) {
        std::error_code ec;
        fs::create_directories(folder, ec);
        if (!fs::is_directory(folder, ec))
            return std::unexpected(core::Error{.code = Errc::CannotWrite,
                                               .detail = "the folder for the rows to mend can't be made",
                                               .file = folder.string(),
                                               .remedy = "name another file for the refused rows"});
        if (auto written = writeFile(folder / (std::string(nameOf(table)) + ".csv"), mend.text); !written)
            return std::unexpected(written.error());
        rows += mend.rows;
    }
    return rows;
}

}  // namespace halfcell::db
