#include "db/exchange/csv_split.h"

#include <algorithm>
#ifdef __SSE2__
#include <emmintrin.h>
#endif

namespace halfcell::db {

namespace {

/// A bit for each byte of 64 that is the separator, a quote or a part of a line end.
std::uint64_t marksOf(const char* block, char separator)
{
    std::uint64_t marks = 0;
#ifdef __SSE2__
    const __m128i wanted[] = {_mm_set1_epi8(separator), _mm_set1_epi8('"'), _mm_set1_epi8('\n'), _mm_set1_epi8('\r')};
    for (int part = 0; part < 4; ++part) {
        const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(block + 16 * part));
        __m128i found = _mm_cmpeq_epi8(bytes, wanted[0]);
        for (int i = 1; i < 4; ++i)
            found = _mm_or_si128(found, _mm_cmpeq_epi8(bytes, wanted[i]));
        marks |= static_cast<std::uint64_t>(static_cast<unsigned>(_mm_movemask_epi8(found))) << (16 * part);
    }
#else
    for (int i = 0; i < 64; ++i) {
        const char c = block[i];
        marks |= static_cast<std::uint64_t>(c == separator || c == '"' || c == '\n' || c == '\r') << i;
    }
#endif
    return marks;
}

}  // namespace

void CsvSplitter::markBlock(std::size_t block)
{
    const std::size_t left = m_text.size() - block;
    if (left >= kBlock) {
        m_marks = marksOf(m_text.data() + block, m_separator);
    } else {
        char last[kBlock] = {};
        m_text.copy(last, left, block);
        m_marks = marksOf(last, m_separator);
        if (m_separator == '\0')
            m_marks &= ~std::uint64_t{0} >> (kBlock - left);
    }
    m_block = block;
}

std::size_t CsvSplitter::nextMarkBeyond(std::size_t at)
{
    const std::size_t size = m_text.size();
    while (at < size) {
        const std::size_t block = at - at % kBlock;
        if (block != m_block)
            markBlock(block);
        if (const std::uint64_t left = m_marks >> (at - block))
            return at + static_cast<std::size_t>(std::countr_zero(left));
        at = block + kBlock;
    }
    return size;
}

std::size_t CsvSplitter::lineEndFrom(std::size_t at) const
{
    const std::size_t end = m_text.find('\n', at);
    return end == std::string_view::npos ? m_text.size() : end;
}

void CsvSplitter::failRecord(CsvRecord& record, CsvRecord::Fault fault)
{
    record.fault = fault;
    const std::size_t end = lineEndFrom(record.offset);
    record.raw = m_text.substr(record.offset, end - record.offset);
    record.severalLines = false;
    m_at = std::min(end + 1, m_text.size());
    m_line = record.line + 1;
}

void CsvSplitter::goOnAfterFirstLineOf(const CsvRecord& record)
{
    m_at = std::min(lineEndFrom(record.offset) + 1, m_text.size());
    m_line = record.line + 1;
}

void CsvSplitter::plainCell(CsvRecord& record)
{
    const std::size_t first = m_at;
    const std::size_t size = m_text.size();
    for (m_at = nextMark(m_at); m_at < size; m_at = nextMark(m_at + 1)) {
        const char c = m_text[m_at];
        if (c == m_separator || c == '\n')
            break;
        if (c == '\r' && (m_at + 1 == size || m_text[m_at + 1] == '\n'))
            break;
        if (c == '"')
            record.fault = CsvRecord::Fault::StrayQuote;
    }
    record.cells.emplace_back(m_text.data() + first, m_at - first);
}

bool CsvSplitter::quotedCell(CsvRecord& record)
{
    const std::size_t first = ++m_at;
    bool doubled = false;
    for (;;) {
        const std::size_t quote = m_text.find('"', m_at);
        if (quote == std::string_view::npos) {
            record.fault = CsvRecord::Fault::OpenQuote;
            return false;
        }
        if (quote - record.offset > kLongestRecord) {
            record.fault = CsvRecord::Fault::TooLong;
            return false;
        }
        m_at = quote + 1;
        if (m_at == m_text.size() || m_text[m_at] != '"')
            break;
        doubled = true;
        ++m_at;
    }
    const std::string_view inside = m_text.substr(first, m_at - 1 - first);
    const auto lines = static_cast<std::size_t>(std::ranges::count(inside, '\n'));
    if (lines > 0) {
        m_line += lines;
        record.severalLines = true;
    }
    if (doubled) {
        if (m_used == m_unquoted.size())
            m_unquoted.emplace_back();
        std::string& text = m_unquoted[m_used++];
        text.clear();
        for (std::size_t i = 0; i < inside.size(); ++i) {
            text += inside[i];
            if (inside[i] == '"')
                ++i;
        }
        record.cells.emplace_back(text);
    } else {
        record.cells.push_back(inside);
    }
    record.quotedCells.push_back(record.cells.size() - 1);
    const bool ends = m_at == m_text.size() || m_text[m_at] == m_separator || m_text[m_at] == '\n' ||
                      (m_text[m_at] == '\r' && (m_at + 1 == m_text.size() || m_text[m_at + 1] == '\n'));
    if (!ends)
        record.fault = CsvRecord::Fault::StrayQuote;
    return ends;
}

/// Most records: no quotes, as many cells as the one before. False, with nothing done, where it takes more care.
bool CsvSplitter::plainRecord(CsvRecord& record)
{
    const char* const text = m_text.data();
    std::string_view* cell = record.cells.data();
    const std::string_view* const last = cell + record.cells.size();
    std::size_t first = m_at;
    std::size_t block = m_at - m_at % kBlock;
    if (block != m_block)
        markBlock(block);
    for (std::uint64_t marks = m_marks & (~std::uint64_t{0} << (m_at - block));;) {
        for (; marks != 0; marks &= marks - 1) {
            const std::size_t at = block + static_cast<std::size_t>(std::countr_zero(marks));
            const char c = text[at];
            if (c == '"' || cell == last)
                return false;
            if (c != m_separator && c != '\n' && (at + 1 == m_text.size() || text[at + 1] != '\n'))
                return false;
            *cell++ = {text + first, at - first};
            if (c == m_separator) {
                first = at + 1;
                continue;
            }
            if (cell != last)
                return false;
            m_at = at;
            endRecord(record);
            return true;
        }
        block += kBlock;
        if (block >= m_text.size())
            return false;
        markBlock(block);
        marks = m_marks;
    }
}

bool CsvSplitter::next(CsvRecord& record)
{
    // Blank lines stand for nothing.
    while (m_at < m_text.size() && (m_text[m_at] == '\n' || (m_text[m_at] == '\r' && lineEndFrom(m_at) == m_at + 1))) {
        m_at = std::min(lineEndFrom(m_at) + 1, m_text.size());
        ++m_line;
    }
    if (m_at >= m_text.size())
        return false;
    record.quotedCells.clear();
    record.fault = CsvRecord::Fault::None;
    record.severalLines = false;
    record.line = m_line;
    record.ordinal = ++m_records;
    record.offset = m_at;
    m_used = 0;
    if (plainRecord(record))
        return true;
    record.cells.clear();
    for (;;) {
        if (m_at < m_text.size() && m_text[m_at] == '"') {
            record.faultCell = record.cells.size();
            if (!quotedCell(record)) {
                failRecord(record, record.fault);
                return true;
            }
        } else {
            record.faultCell = record.cells.size();
            plainCell(record);
            if (record.fault != CsvRecord::Fault::None) {
                failRecord(record, record.fault);
                return true;
            }
        }
        if (m_at < m_text.size() && m_text[m_at] == m_separator) {
            ++m_at;
            continue;
        }
        break;
    }
    endRecord(record);
    return true;
}

void CsvSplitter::endRecord(CsvRecord& record)
{
    record.raw = m_text.substr(record.offset, m_at - record.offset);
    if (m_at < m_text.size() && m_text[m_at] == '\r')
        ++m_at;
    if (m_at < m_text.size() && m_text[m_at] == '\n')
        ++m_at;
    ++m_line;
    if (record.raw.size() > kLongestRecord)
        failRecord(record, CsvRecord::Fault::TooLong);
}

}  // namespace halfcell::db
