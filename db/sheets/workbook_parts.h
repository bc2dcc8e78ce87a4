#pragma once

#include "db/sheets/workbook_reader.h"
#include "db/sheets/xml_stream.h"
#include "db/sheets/zip_archive.h"

namespace halfcell::db {

inline constexpr std::size_t kMostRows = 1'048'576;  ///< of a sheet: ECMA-376 has as many; our bound for the other format too

/// One kind of packed workbook, opened. What is wrong with the file is thrown (db/connection/guarded.h).
struct WorkbookReader::Impl {
    using Take = std::function<bool(const SheetRow&, double share)>;

    explicit Impl(ZipArchive a) : archive(std::move(a)) {}
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;
    virtual ~Impl() = default;

    virtual void rows(std::size_t sheet, const Take& take) const = 0;
    /// Reads a part as XML; `goOn` is asked with the share read so far and returns false to stop.
    void parse(const std::string& part, XmlStream::Handler handler, const std::function<bool(double)>& goOn = {}) const;

    ZipArchive archive;
    std::vector<std::string> names;  ///< of the sheets
};

/// Office Open XML (ECMA-376): XLSX.
std::unique_ptr<WorkbookReader::Impl> openOfficeXml(ZipArchive archive);
/// OpenDocument 1.2 and later (ISO/IEC 26300): ODS.
std::unique_ptr<WorkbookReader::Impl> openOpenDocument(ZipArchive archive);

/// A whole number without sign, nothing else in the text.
std::optional<std::size_t> wholeNumber(std::string_view text);
[[noreturn]] void brokenWorkbook(std::string detail);
[[noreturn]] void tooWide(std::size_t row);

}  // namespace halfcell::db
