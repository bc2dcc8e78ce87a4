#include "db/exchange/exchange.h"
#include "db/sheets/utf8.h"
#include "tests/fuzz/bytes_file.h"

using namespace halfcell;

/// A readings table: whatever is refused says why and what to do, in clean text; what is taken can be written as JSON and read again.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const fuzz::BytesFile file(fuzz::textOf(data, size));
    std::vector<db::Refusal> refused;
    const auto visits = db::readReadingsTable(file.path(), refused);
    fuzz::must(visits.has_value());
    for (const db::Refusal& refusal : refused) {
        fuzz::must(!refusal.reason.empty() && !refusal.remedy.empty());
        for (const std::string* text : {&refusal.field, &refusal.value, &refusal.reason, &refusal.remedy})
            fuzz::must(db::firstNotUtf8(*text) == std::string::npos);
    }
    for (const core::Visit& visit : *visits) {
        if (visit.serial.empty())
            continue;
        const auto again = db::visitFromJson(db::visitToJson(visit));
        fuzz::must(again.has_value() && again->readings == visit.readings);
    }
    return 0;
}
