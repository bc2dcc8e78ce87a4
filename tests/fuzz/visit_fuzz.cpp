#include "db/exchange/exchange.h"
#include "tests/fuzz/bytes_file.h"

using namespace halfcell;

/// A visit as JSON: refused with a remedy, or the same after it was written and read again.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const auto visit = db::visitFromJson(fuzz::textOf(data, size));
    if (!visit) {
        fuzz::must(!visit.error().remedy.empty());
        return 0;
    }
    const std::string json = db::visitToJson(*visit);
    const auto again = db::visitFromJson(json);
    fuzz::must(again.has_value() && db::visitToJson(*again) == json);
    return 0;
}
