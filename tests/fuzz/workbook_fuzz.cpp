#include "db/sheets/workbook_reader.h"
#include "tests/fuzz/bytes_file.h"

#include <zip.h>

using namespace halfcell;

namespace {

using Parts = std::vector<std::pair<const char*, std::string_view>>;

/// Parts of a workbook, packed in memory.
std::string packed(const Parts& parts)
{
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* source = zip_source_buffer_create(nullptr, 0, 0, &error);
    zip_t* archive = zip_open_from_source(source, ZIP_TRUNCATE, &error);
    fuzz::must(archive != nullptr);
    zip_source_keep(source);
    for (const auto& [name, text] : parts) {
        const zip_int64_t at = zip_file_add(archive, name, zip_source_buffer(archive, text.data(), text.size(), 0), ZIP_FL_OVERWRITE);
        zip_set_file_compression(archive, static_cast<zip_uint64_t>(at), ZIP_CM_STORE, 0);
    }
    fuzz::must(zip_close(archive) == 0);
    zip_source_open(source);
    zip_source_seek(source, 0, SEEK_END);
    std::string bytes(static_cast<std::size_t>(zip_source_tell(source)), '\0');
    zip_source_seek(source, 0, SEEK_SET);
    zip_source_read(source, bytes.data(), bytes.size());
    zip_source_close(source);
    zip_source_free(source);
    return bytes;
}

void readAll(const std::filesystem::path& file)
{
    auto reader = db::WorkbookReader::open(file);
    if (!reader) {
        fuzz::must(!reader.error().remedy.empty());
        return;
    }
    for (std::size_t i = 0; i < reader->sheets().size(); ++i) {
        std::size_t line = 0;
        const auto done = reader->rows(i, [&](const db::SheetRow& row, double share) {
            fuzz::must(row.line > line && !row.cells.empty() && row.cells.size() <= db::kWidestRow && share >= 0.0 && share <= 1.0);
            line = row.line;
            return line < 1000;
        });
        fuzz::must(done.has_value() || !done.error().remedy.empty());
    }
}

}  // namespace

/// Cells of a sheet, its shared texts and its styles, parted by lines of three dashes; the content of an OpenDocument; and the bytes as a
/// packed file themselves.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    std::string_view text = fuzz::textOf(data, size);
    if (text.starts_with("PK")) {
        readAll(fuzz::BytesFile(text).path());
        return 0;
    }
    if (text.starts_with("<document-content")) {
        readAll(fuzz::BytesFile(packed({{"content.xml", text}})).path());
        return 0;
    }
    const auto part = [&] {
        const std::size_t end = text.find("\n---\n");
        const std::string_view first = text.substr(0, end);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 5);
        return first;
    };
    const std::string_view sheet = part(), shared = part(), styles = part();
    const fuzz::BytesFile file(
        packed({{"xl/workbook.xml", "<workbook><sheets><sheet name=\"one\" r:id=\"r1\"/></sheets></workbook>"},
                {"xl/_rels/workbook.xml.rels", "<Relationships><Relationship Id=\"r1\" Target=\"worksheets/one.xml\"/></Relationships>"},
                {"xl/worksheets/one.xml", sheet},
                {"xl/sharedStrings.xml", shared.empty() ? "<sst/>" : shared},
                {"xl/styles.xml", styles.empty() ? "<styleSheet/>" : styles}}));
    readAll(file.path());
    return 0;
}
