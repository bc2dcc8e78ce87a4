#include "db/exchange/spooled_table.h"

#include "db/exchange/csv_write.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <utility>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

constexpr std::size_t kFlushAt = std::size_t{1} << 16U;

std::unexpected<core::Error> spoolFailed(int error)
{
    std::error_code ec;
    return std::unexpected(core::Error{.code = error == ENOSPC ? Errc::DiskFull : Errc::CannotWrite,
                                       .detail = std::strerror(error),
                                       .file = std::filesystem::temp_directory_path(ec).string(),
                                       .remedy = "make room in the temporary folder, or name another in TMPDIR"});
}

}  // namespace

Result<SpooledTable> SpooledTable::make(PublicTable table, std::string shownAs, const std::vector<std::string>& header)
{
    SpooledTable made;
    made.m_table = table;
    made.m_shownAs = std::move(shownAs);
    std::error_code ec;
    std::string name = (std::filesystem::temp_directory_path(ec) / "halfcell-XXXXXX").string();
    made.m_file = ::mkostemp(name.data(), O_CLOEXEC);
    if (made.m_file < 0)
        return spoolFailed(errno);
    ::unlink(name.c_str());
    appendRecord(made.m_buffer, header);
    made.m_line = 2 + static_cast<std::size_t>(std::ranges::count(made.m_buffer, '\n')) - 1;
    return made;
}

SpooledTable::SpooledTable(SpooledTable&& other) noexcept
    : m_table(other.m_table), m_shownAs(std::move(other.m_shownAs)), m_lines(std::move(other.m_lines)), m_buffer(std::move(other.m_buffer)),
      m_rows(other.m_rows), m_line(other.m_line), m_file(std::exchange(other.m_file, -1))
{
}

SpooledTable& SpooledTable::operator=(SpooledTable&& other) noexcept
{
    std::swap(m_table, other.m_table);
    std::swap(m_shownAs, other.m_shownAs);
    std::swap(m_lines, other.m_lines);
    std::swap(m_buffer, other.m_buffer);
    std::swap(m_rows, other.m_rows);
    std::swap(m_line, other.m_line);
    std::swap(m_file, other.m_file);
    return *this;
}

SpooledTable::~SpooledTable()
{
    if (m_file >= 0)
        ::close(m_file);
}

Result<void> SpooledTable::flush()
{
    std::string_view left = m_buffer;
    while (!left.empty()) {
        const ssize_t written = ::write(m_file, left.data(), left.size());
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return spoolFailed(errno);
        left.remove_prefix(static_cast<std::size_t>(written));
    }
    m_buffer.clear();
    return {};
}

Result<void> SpooledTable::add(const std::vector<std::string>& cells, std::size_t sourceLine, std::size_t kind)
{
    m_lines.note(m_line, sourceLine, kind);
    const std::size_t before = m_buffer.size();
    appendRecord(m_buffer, cells);
    m_line += static_cast<std::size_t>(std::count(m_buffer.begin() + static_cast<std::ptrdiff_t>(before), m_buffer.end(), '\n'));
    ++m_rows;
    return m_buffer.size() < kFlushAt ? Result<void>{} : flush();
}

Result<MappedFile> SpooledTable::close()
{
    if (auto done = flush(); !done)
        return std::unexpected(done.error());
    auto mapped = MappedFile::ofDescriptor(m_file, m_shownAs);
    ::close(std::exchange(m_file, -1));
    return mapped;
}

}  // namespace halfcell::db
