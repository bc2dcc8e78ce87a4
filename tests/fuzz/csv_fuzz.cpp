#include "db/exchange/csv_split.h"
#include "db/exchange/csv_write.h"
#include "tests/fuzz/bytes_file.h"

#include <vector>

using namespace halfcell;

/// What was split, written and split again is the same; every byte is passed once.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text = fuzz::textOf(data, size);
    for (const char separator : {',', ';'}) {
        db::CsvSplitter splitter(text, 1, separator);
        db::CsvRecord record;
        std::size_t ordinal = 0, end = 0;
        std::vector<std::vector<std::string>> rows;
        std::string written;
        while (splitter.next(record)) {
            fuzz::must(record.ordinal == ++ordinal && record.offset >= end && splitter.position() > record.offset);
            end = splitter.position();
            if (record.fault != db::CsvRecord::Fault::None)
                continue;
            fuzz::must(!record.cells.empty() && (record.quotedCells.empty() || record.quotedCells.back() < record.cells.size()));
            rows.emplace_back(record.cells.begin(), record.cells.end());
            // A record of one empty cell would be written as a blank line.
            if (rows.back() == std::vector<std::string>{""})
                rows.pop_back();
            else
                db::appendRecord(written, rows.back());
        }
        fuzz::must(end <= text.size());
        db::CsvSplitter again(written);
        for (const auto& row : rows) {
            fuzz::must(again.next(record) && record.fault == db::CsvRecord::Fault::None);
            fuzz::must(std::vector<std::string>(record.cells.begin(), record.cells.end()) == row);
        }
        fuzz::must(!again.next(record));
    }
    return 0;
}
