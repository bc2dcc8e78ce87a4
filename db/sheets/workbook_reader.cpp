#include "db/sheets/workbook_reader.h"

#include "db/connection/guarded.h"
#include "db/sheets/workbook_parts.h"

#include <fmt/format.h>

#include <charconv>

namespace halfcell::db {

using core::Errc;
using core::Result;

std::optional<std::size_t> wholeNumber(std::string_view text)
{
    std::size_t value = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size())
        return std::nullopt;
    return value;
}

void brokenWorkbook(std::string detail)
{
    throwError(Errc::BadInput, std::move(detail), "open it in the program it came from and save it again");
}

void tooWide(std::size_t row)
{
    throwError(Errc::BadInput, fmt::format("row {} is wider than {} columns", row, kWidestRow),
               "take out what stands far to the right of the table");
}

void WorkbookReader::Impl::parse(const std::string& part, XmlStream::Handler handler, const std::function<bool(double)>& goOn) const
{
    if (!handler.opened)
        handler.opened = [](std::string_view, const XmlAttributes&) {};
    if (!handler.closed)
        handler.closed = [](std::string_view) {};
    if (!handler.text)
        handler.text = [](std::string_view) {};
    XmlStream xml(std::move(handler));
    bool stopped = false;
    orThrow(archive.read(part, [&](std::string_view piece, double share) {
        orThrow(xml.feed(piece, false));
        stopped = goOn && !goOn(share);
        return !stopped;
    }));
    if (!stopped)
        orThrow(xml.feed({}, true));
}

WorkbookReader::WorkbookReader(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
WorkbookReader::WorkbookReader(WorkbookReader&&) noexcept = default;
WorkbookReader& WorkbookReader::operator=(WorkbookReader&&) noexcept = default;
WorkbookReader::~WorkbookReader() = default;

Result<WorkbookReader> WorkbookReader::open(const std::filesystem::path& file)
{
    auto archive = ZipArchive::open(file);
    if (!archive)
        return std::unexpected(archive.error());
    std::unique_ptr<Impl> impl;
    auto read = guarded([&] {
        const bool openDocument = !archive->has("xl/workbook.xml") && archive->has("content.xml");
        impl = openDocument ? openOpenDocument(std::move(*archive)) : openOfficeXml(std::move(*archive));
        if (impl->names.empty())
            brokenWorkbook("the workbook has no sheet");
    });
    if (!read) {
        read.error().file = file.filename().string();
        return std::unexpected(read.error());
    }
    return WorkbookReader(std::move(impl));
}

const std::vector<std::string>& WorkbookReader::sheets() const
{
    return m_impl->names;
}

Result<void> WorkbookReader::rows(std::size_t sheet, const std::function<bool(const SheetRow&, double)>& take) const
{
    auto read = guarded([&] { m_impl->rows(sheet, take); });
    if (!read && read.error().file.empty())
        read.error().file = m_impl->archive.file().filename().string();
    return read;
}

}  // namespace halfcell::db
