#include "db/book/admission.h"
#include "db/exchange/exchange.h"
#include "db/exchange/row_reader.h"

#include <fmt/format.h>

#include <map>

namespace halfcell::db {

core::Result<std::vector<core::Visit>> readReadingsTable(const std::filesystem::path& path, std::vector<Refusal>& refused)
{
    // Without a book neither serial nor time is needed: a set is its visit and its readings.
    auto file = TableFile::open(path, PublicTable::Readings, refused, {"visit", "phase", "standard", "mv"});
    if (!file)
        return std::unexpected(file.error());
    const RowReader<core::Reading> reader(*file);
    const std::size_t visitPlace = file->place("visit");
    std::vector<const core::Column<core::Visit>*> head;
    for (const std::string& name : file->header())
        head.push_back(core::findColumn<core::Visit>(name));

    std::vector<core::Visit> visits;
    std::map<std::string, std::size_t, std::less<>> index;
    file->records(refused, [&](const CsvRecord& record) {
        const std::string_view key = cellText(record, visitPlace);
        if (key.empty()) {
            refused.push_back(file->refusal(record.line, "visit", {}, "visit is empty", "give each set a key of its own"));
            return true;
        }
        core::Reading reading;
        reading.dip = 0;
        const bool timed = reader.filled(record, "when");
        for (const auto& column : core::columnsOf<core::Reading>()) {
            const std::size_t place = file->place(column.name);
            if (place == std::string::npos)
                continue;
            const std::string_view cell = cellText(record, place);
            if (cell.empty()) {
                if (!column.required || column.name == "when")
                    continue;
                refused.push_back(
                    file->refusal(record.line, std::string(column.name), {}, fmt::format("{} is empty", column.name), "fill it in"));
                return true;
            }
            if (auto done = column.set(reading, cell); !done) {
                refused.push_back(file->refusal(record.line, std::string(column.name), cell, done.error().detail, done.error().remedy));
                return true;
            }
        }
        if (!reading.mv && !reading.why_missing) {
            refused.push_back(
                file->refusal(record.line, "mv", {}, "mv is empty", "type the millivolts, or say in why_missing why there are none"));
            return true;
        }
        core::Visit said;
        for (std::size_t i = 0; i < head.size(); ++i) {
            const std::string_view cell = cellText(record, i);
            if (head[i] == nullptr || cell.empty())
                continue;
            if (auto done = head[i]->set(said, cell); !done) {
                refused.push_back(file->refusal(record.line, std::string(head[i]->name), cell, done.error().detail, done.error().remedy));
                return true;
            }
        }
        const auto [at, added] = index.try_emplace(std::string(key), visits.size());
        if (added) {
            said.recorded = {};
            visits.push_back(std::move(said));
        } else if (visits[at->second].serial != said.serial) {
            refused.push_back(file->refusal(record.line, "serial", said.serial,
                                            fmt::format("other rows of visit {} say serial \"{}\"", key, visits[at->second].serial),
                                            "all rows of a visit must agree: check which is right"));
            return true;
        } else if (timed && reading.when < visits[at->second].when) {
            visits[at->second].when = reading.when;
        }
        visits[at->second].readings.push_back(std::move(reading));
        return true;
    });
    for (core::Visit& visit : visits)
        numberDips(visit.readings);
    return visits;
}

}  // namespace halfcell::db
