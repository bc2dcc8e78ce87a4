#include "db/exchange/csv_split.h"

#include <algorithm>

namespace halfcell::db {

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
    for (; m_at < size; ++m_at) {
        const char c = m_text[m_at];
        // Most characters are letters and digits, which lie behind every one that means something but the bar.
        if (c > ',' && c != m_separator)
            continue;
        if (c == m_separator || c == '\n')
            break;
        if (c == '\r' && (m_at + 1 == size || m_text[m_at + 1] == '\n'))
            break;
        if (c == '"')
            record.fault = CsvRecord::Fault::StrayQuote;
    }
    record.cells.push_back(m_text.substr(first, m_at - first));
    record.quoted.push_back(false);
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
    record.quoted.push_back(true);
    const bool ends = m_at == m_text.size() || m_text[m_at] == m_separator || m_text[m_at] == '\n' ||
                      (m_text[m_at] == '\r' && (m_at + 1 == m_text.size() || m_text[m_at + 1] == '\n'));
    if (!ends)
        record.fault = CsvRecord::Fault::StrayQuote;
    return ends;
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
    record.cells.clear();
    record.quoted.clear();
    record.fault = CsvRecord::Fault::None;
    record.severalLines = false;
    record.line = m_line;
    record.ordinal = ++m_records;
    record.offset = m_at;
    m_used = 0;
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
    record.raw = m_text.substr(record.offset, m_at - record.offset);
    if (m_at < m_text.size() && m_text[m_at] == '\r')
        ++m_at;
    if (m_at < m_text.size() && m_text[m_at] == '\n')
        ++m_at;
    ++m_line;
    if (record.raw.size() > kLongestRecord)
        failRecord(record, CsvRecord::Fault::TooLong);
    return true;
}

}  // namespace halfcell::db
