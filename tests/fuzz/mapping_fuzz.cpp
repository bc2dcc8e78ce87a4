#include "db/mapping/map_rows.h"
#include "db/mapping/mapping.h"
#include "tests/fuzz/bytes_file.h"

using namespace halfcell;

/// A mapping and, behind a line of three dashes, the table it is for. A mapping that reads comes back from its own text; the table is
/// mapped by it, and guessed at.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text = fuzz::textOf(data, size);
    const std::size_t parts = text.find("\n---\n");
    const fuzz::BytesFile table(parts == std::string_view::npos ? text : text.substr(parts + 5));
    if (const auto mapping = db::mappingFromToml(text.substr(0, parts))) {
        const auto again = db::mappingFromToml(db::mappingToToml(*mapping));
        fuzz::must(again.has_value() && *again == *mapping);
        const auto made = db::mapFile(table.path(), *mapping, {}, {});
        fuzz::must(made.has_value() || !made.error().remedy.empty());
    } else {
        fuzz::must(!mapping.error().remedy.empty());
    }
    if (const auto guessed = db::guessMapping(table.path())) {
        const auto again = db::mappingFromToml(db::mappingToToml(guessed->mapping));
        fuzz::must(again.has_value() && *again == guessed->mapping);
        const auto made = db::mapFile(table.path(), guessed->mapping, {}, {});
        fuzz::must(made.has_value() || !made.error().remedy.empty());
    }
    return 0;
}
