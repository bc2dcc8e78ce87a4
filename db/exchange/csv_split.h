#pragma once

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// Longest record that is taken: a table's rows are a few hundred bytes, and a remark of a megabyte is a broken file.
inline constexpr std::size_t kLongestRecord = std::size_t{1} << 20U;

/// One record of a table. The cells are views into the text or into the splitter, good until its next record.
struct CsvRecord {
    enum class Fault { None, StrayQuote, OpenQuote, TooLong };

    std::size_t line = 0;     ///< of its first byte, from 1
    std::size_t ordinal = 0;  ///< place among the records, faulty ones included, from 1
    std::size_t offset = 0;   ///< of its first byte in the text
    std::vector<std::string_view> cells;
    std::vector<std::size_t> quotedCells;  ///< places of the cells that stood in quotes, rising
    std::string_view raw;                  ///< the whole record without its line end
    Fault fault = Fault::None;
    std::size_t faultCell = 0;          ///< place of the cell with broken quoting
    bool severalLines = false;          ///< a quoted cell holds line ends
    std::deque<std::string> kept = {};  ///< what cells of a record read by itself point into (takeUnquoted); else empty

    [[nodiscard]] bool isQuoted(std::size_t place) const { return std::ranges::binary_search(quotedCells, place); }
};

/// Splits text as RFC 4180 says: commas (or another separator), double quotes around cells that need them, a quote in such a cell doubled,
/// records ended by CRLF or LF. Blank lines are passed over. A record with broken quoting is given back with its fault, and the next one
/// starts on the next line of the text, so that one bad row never swallows those after it. The text must outlive the splitter.
class CsvSplitter {
public:
    /// Gives up the texts that cells with doubled quotes point into, for a record that outlives the splitter.
    [[nodiscard]] std::deque<std::string> takeUnquoted()
    {
        m_used = 0;
        return std::move(m_unquoted);
    }
    explicit CsvSplitter(std::string_view text, std::size_t firstLine = 1, char separator = ',')
        : m_text(text), m_separator(separator), m_line(firstLine)
    {
    }

    /// The next record; false at the end.
    bool next(CsvRecord& record);
    /// Goes back to the line after the one on which `record` began (it turned out not to be a row).
    void goOnAfterFirstLineOf(const CsvRecord& record);
    [[nodiscard]] std::size_t position() const { return m_at; }

private:
    bool plainRecord(CsvRecord& record);
    void endRecord(CsvRecord& record);
    bool quotedCell(CsvRecord& record);
    void plainCell(CsvRecord& record);
    void failRecord(CsvRecord& record, CsvRecord::Fault fault);
    [[nodiscard]] std::size_t lineEndFrom(std::size_t at) const;
    /// The first separator, quote or line end at or after `at`; the text's size if there is none.
    [[nodiscard]] std::size_t nextMark(std::size_t at)
    {
        if (at - at % kBlock == m_block)
            if (const std::uint64_t left = m_marks >> (at % kBlock))
                return at + static_cast<std::size_t>(std::countr_zero(left));
        return nextMarkBeyond(at);
    }
    [[nodiscard]] std::size_t nextMarkBeyond(std::size_t at);
    void markBlock(std::size_t block);

    std::string_view m_text;
    char m_separator;
    std::size_t m_at = 0;
    std::size_t m_records = 0;
    std::size_t m_line = 1;
    std::deque<std::string> m_unquoted;
    std::size_t m_used = 0;
    static constexpr std::size_t kBlock = 64;
    std::size_t m_block = static_cast<std::size_t>(-1);  ///< start of the block whose marks are known
    std::uint64_t m_marks = 0;                           ///< a bit for each mark of that block
};

}  // namespace halfcell::db
