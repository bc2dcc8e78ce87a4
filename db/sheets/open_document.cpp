#include "db/sheets/workbook_parts.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace halfcell::db {

namespace {

const std::string kContent = "content.xml";

/// `PT08H12M30S` (ISO 8601, as OpenDocument writes a time of day) as 08:12:30; empty if it is no such thing.
std::string timeOfDay(std::string_view duration)
{
    if (!duration.starts_with("PT"))
        return {};
    duration.remove_prefix(2);
    long whole[3] = {0, 0, 0};
    std::size_t unit = 0;
    while (!duration.empty()) {
        long value = 0;
        auto read = std::from_chars(duration.data(), duration.data() + duration.size(), value);
        if (read.ec != std::errc{} || value < 0)
            return {};
        duration.remove_prefix(static_cast<std::size_t>(read.ptr - duration.data()));
        if (duration.starts_with('.') || duration.starts_with(','))
            duration.remove_prefix(std::min(duration.find_first_not_of("0123456789", 1), duration.size()));
        if (duration.empty())
            return {};
        const std::size_t place = std::string_view("HMS").find(duration.front(), unit);
        if (place == std::string_view::npos)
            return {};
        whole[place] = value;
        unit = place + 1;
        duration.remove_prefix(1);
    }
    return fmt::format("{:02}:{:02}:{:02}", whole[0], whole[1], whole[2]);
}

/// Puts a sheet's rows together from the document's content.
class TableParts {
public:
    TableParts(std::size_t wanted, const WorkbookReader::Impl::Take& take) : m_wanted(wanted), m_take(take) {}

    void opened(std::string_view name, const XmlAttributes& attributes)
    {
        if (name == "table") {
            // A table inside a cell is no sheet.
            if (m_depth++ == 0)
                m_here = m_table++ == m_wanted;
            return;
        }
        if (!m_here || m_depth != 1)
            return;
        if (name == "annotation") {
            ++m_aside;
        } else if (name == "table-row") {
            m_row.cells.clear();
            m_blank = 0;
            m_rowTimes = repeated(attributes, "number-rows-repeated");
        } else if (name == "table-cell" || name == "covered-table-cell") {
            m_cell = {};
            m_inCell = true;
            m_paragraphs = 0;
            m_cellTimes = repeated(attributes, "number-columns-repeated");
            readValue(attributes);
        } else if (name == "p" && m_inCell) {
            if (m_aside == 0 && m_paragraphs++ > 0)
                put("\n");
            ++m_inText;
        } else if (name == "s") {
            put(std::string(std::min<std::size_t>(repeated(attributes, "c"), 1000), ' '));
        } else if (name == "tab") {
            put("\t");
        } else if (name == "line-break") {
            put("\n");
        }
    }
    void closed(std::string_view name)
    {
        if (name == "table") {
            if (--m_depth == 0) {
                m_goOn = m_goOn && !m_here;  // the sheet is over, so is the reading
                m_here = false;
            }
            return;
        }
        if (!m_here || m_depth != 1)
            return;
        if (name == "annotation")
            --m_aside;
        else if (name == "p" && m_inCell)
            --m_inText;
        else if (name == "table-cell" || name == "covered-table-cell")
            addCell();
        else if (name == "table-row")
            addRow();
    }
    void text(std::string_view piece)
    {
        if (m_here && m_depth == 1 && m_inText > 0)
            put(piece);
    }
    bool piece(double share)
    {
        m_share = share;
        return m_goOn;
    }

private:
    static std::size_t repeated(const XmlAttributes& attributes, std::string_view name)
    {
        return std::max<std::size_t>(1, wholeNumber(attributes.find(name).value_or("1")).value_or(1));
    }
    /// Text counts only for cells that carry no value of their own.
    void put(std::string_view piece)
    {
        if (m_cell.kind == SheetCell::Kind::Text && m_aside == 0 && !m_given)
            m_cell.text += piece;
    }
    void readValue(const XmlAttributes& attributes)
    {
        m_given = false;
        const auto type = attributes.find("value-type").value_or("");
        const auto give = [&](std::string text, SheetCell::Kind kind) {
            if (text.empty())
                return;
            m_cell = {.text = std::move(text), .kind = kind};
            m_given = true;
        };
        if (type == "float" || type == "percentage" || type == "currency") {
            if (const auto number = core::parseNumber(attributes.find("value").value_or("")))
                give(core::formatNumber(*number), SheetCell::Kind::Number);
        } else if (type == "date") {
            std::string moment(attributes.find("date-value").value_or(""));
            if (const std::size_t part = moment.find('.'); part != std::string::npos)
                moment.resize(part);
            give(moment.ends_with("T00:00:00") ? moment.substr(0, 10) : moment, SheetCell::Kind::Moment);
        } else if (type == "time") {
            give(timeOfDay(attributes.find("time-value").value_or("")), SheetCell::Kind::Moment);
        } else if (type == "boolean") {
            give(attributes.find("boolean-value").value_or("") == "true" ? "yes" : "no", SheetCell::Kind::Truth);
        } else if (type == "string") {
            give(std::string(attributes.find("string-value").value_or("")), SheetCell::Kind::Text);
        }
    }
    /// Blank cells wait until something stands behind them: a sheet's rows end in thousands of them.
    void addCell()
    {
        m_inCell = false;
        if (m_cell.text.empty()) {
            m_blank += m_cellTimes;
            return;
        }
        if (m_row.cells.size() + m_blank + m_cellTimes > kWidestRow)
            tooWide(m_line + 1);
        m_row.cells.resize(m_row.cells.size() + m_blank);
        m_row.cells.insert(m_row.cells.end(), m_cellTimes, m_cell);
        m_blank = 0;
    }
    void addRow()
    {
        if (m_row.cells.empty()) {
            m_line += m_rowTimes;
            return;
        }
        for (std::size_t i = 0; i < m_rowTimes && m_goOn; ++i) {
            if (++m_line > kMostRows)
                brokenWorkbook(fmt::format("the sheet has more than {} rows", kMostRows));
            m_row.line = m_line;
            m_goOn = m_take(m_row, m_share);
        }
    }

    std::size_t m_wanted;
    const WorkbookReader::Impl::Take& m_take;
    SheetRow m_row;
    SheetCell m_cell;
    std::size_t m_table = 0, m_line = 0, m_blank = 0, m_cellTimes = 1, m_rowTimes = 1, m_paragraphs = 0;
    int m_depth = 0, m_aside = 0, m_inText = 0;
    bool m_here = false, m_inCell = false, m_given = false, m_goOn = true;
    double m_share = 0.0;
};

struct OpenDocument : WorkbookReader::Impl {
    explicit OpenDocument(ZipArchive a) : Impl(std::move(a)) {}

    void readSheets()
    {
        bool spreadsheet = false;
        int depth = 0;
        parse(kContent, {.opened =
                             [&](std::string_view name, const XmlAttributes& attributes) {
                                 if (name == "spreadsheet")
                                     spreadsheet = true;
                                 if (name == "table" && depth++ == 0 && spreadsheet)
                                     names.emplace_back(attributes.find("name").value_or(""));
                             },
                         .closed =
                             [&](std::string_view name) {
                                 if (name == "table")
                                     --depth;
                             }});
    }
    void rows(std::size_t sheet, const Take& take) const override
    {
        TableParts parts(sheet, take);
        parse(kContent,
              {.opened = [&](std::string_view name, const XmlAttributes& attributes) { parts.opened(name, attributes); },
               .closed = [&](std::string_view name) { parts.closed(name); },
               .text = [&](std::string_view text) { parts.text(text); }},
              [&](double share) { return parts.piece(share); });
    }
};

}  // namespace

std::unique_ptr<WorkbookReader::Impl> openOpenDocument(ZipArchive archive)
{
    auto opened = std::make_unique<OpenDocument>(std::move(archive));
    opened->readSheets();
    return opened;
}

}  // namespace halfcell::db
