#include "db/sheets/workbook_parts.h"

#include "core/quantity/number.h"
#include "db/connection/guarded.h"
#include "db/sheets/text_encoding.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

constexpr std::size_t kMostSharedText = std::size_t{512} << 20U;  // our choice: far beyond a shop's table

/// _x000D_ stands for the character of that number (ECMA-376, part 1, 22.4.2.4).
std::string unescaped(std::string_view text)
{
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        unsigned number = 0;
        if (text[i] == '_' && i + 6 < text.size() && text[i + 1] == 'x' && text[i + 6] == '_') {
            const char* const first = text.data() + i + 2;
            if (const auto read = std::from_chars(first, first + 4, number, 16); read.ec == std::errc{} && read.ptr == first + 4) {
                appendUtf8(out, number);
                i += 6;
                continue;
            }
        }
        out += text[i];
    }
    return out;
}

/// Column of a reference such as "AB12", from 0.
std::optional<std::size_t> columnOf(std::string_view reference)
{
    std::size_t column = 0, letters = 0;
    for (const char c : reference) {
        if (c < 'A' || c > 'Z')
            break;
        column = column * 26 + static_cast<std::size_t>(c - 'A') + 1;
        if (++letters > 3)
            return std::nullopt;
    }
    return letters == 0 ? std::nullopt : std::optional(column - 1);
}

struct OfficeXml : WorkbookReader::Impl {
    explicit OfficeXml(ZipArchive a) : Impl(std::move(a)) {}

    std::vector<std::string> parts;  ///< where the sheets lie
    std::vector<std::string> shared;
    std::vector<bool> momentStyle;  ///< by style number
    bool from1904 = false;

    void readSheets();
    void readShared();
    void readStyles();
    void rows(std::size_t sheet, const Take& take) const override;
};

void OfficeXml::readSheets()
{
    std::map<std::string, std::string, std::less<>> targets;
    parse("xl/_rels/workbook.xml.rels", {.opened = [&](std::string_view name, const XmlAttributes& attributes) {
              if (name == "Relationship")
                  targets.emplace(attributes.find("Id").value_or(""), attributes.find("Target").value_or(""));
          }});
    parse("xl/workbook.xml", {.opened = [&](std::string_view name, const XmlAttributes& attributes) {
              if (name == "workbookPr") {
                  const auto value = attributes.find("date1904").value_or("");
                  from1904 = value == "1" || value == "true";
              }
              if (name != "sheet")
                  return;
              const auto target = targets.find(attributes.find("id").value_or(""));
              if (target == targets.end())
                  brokenWorkbook("a sheet of the workbook is missing");
              std::string part = target->second;
              part = part.starts_with('/') ? part.substr(1) : "xl/" + part;
              if (!archive.has(part))
                  return;  // charts and macros are sheets too, but hold no rows
              names.emplace_back(attributes.find("name").value_or(""));
              parts.push_back(std::move(part));
          }});
}

void OfficeXml::readShared()
{
    const std::string part = "xl/sharedStrings.xml";
    if (!archive.has(part))
        return;
    std::string text;
    std::size_t total = 0;
    bool inText = false;
    int phonetic = 0;
    parse(part, {.opened =
                     [&](std::string_view name, const XmlAttributes&) {
                         if (name == "si")
                             text.clear();
                         inText = name == "t" && phonetic == 0;
                         if (name == "rPh")
                             ++phonetic;
                     },
                 .closed =
                     [&](std::string_view name) {
                         inText = false;
                         if (name == "rPh")
                             --phonetic;
                         if (name != "si")
                             return;
                         total += text.size();
                         if (total > kMostSharedText)
                             brokenWorkbook("its texts are larger than any table's");
                         shared.push_back(unescaped(text));
                     },
                 .text =
                     [&](std::string_view piece) {
                         if (inText)
                             text += piece;
                     }});
}

void OfficeXml::readStyles()
{
    const std::string part = "xl/styles.xml";
    if (!archive.has(part))
        return;
    std::set<std::size_t> moments;
    // Formats that need no text of their own (ECMA-376, part 1, 18.8.30).
    for (std::size_t i = 14; i <= 22; ++i)
        moments.insert(i);
    for (std::size_t i = 45; i <= 47; ++i)
        moments.insert(i);
    bool inCells = false;
    parse(part, {.opened =
                     [&](std::string_view name, const XmlAttributes& attributes) {
                         const auto id = wholeNumber(attributes.find("numFmtId").value_or(""));
                         if (name == "numFmt" && id) {
                             if (showsMoments(attributes.find("formatCode").value_or("")))
                                 moments.insert(*id);
                             else
                                 moments.erase(*id);
                         }
                         if (name == "cellXfs")
                             inCells = true;
                         if (name == "xf" && inCells)
                             momentStyle.push_back(id && moments.contains(*id));
                     },
                 .closed =
                     [&](std::string_view name) {
                         if (name == "cellXfs")
                             inCells = false;
                     }});
}

/// Puts a sheet's rows together from its XML.
class SheetParts {
public:
    SheetParts(const std::vector<std::string>& shared, const std::vector<bool>& momentStyle, bool from1904,
               const std::function<bool(const SheetRow&, double)>& take)
        : m_shared(shared), m_momentStyle(momentStyle), m_from1904(from1904), m_take(take)
    {
    }

    void opened(std::string_view name, const XmlAttributes& attributes)
    {
        m_inText = false;
        if (name == "row") {
            const std::size_t line = wholeNumber(attributes.find("r").value_or("")).value_or(m_row.line + 1);
            if (line <= m_row.line || line > kMostRows)
                brokenWorkbook(fmt::format("after row {} comes row {}", m_row.line, line));
            m_row.line = line;
            m_row.cells.clear();
        } else if (name == "c") {
            const auto column = columnOf(attributes.find("r").value_or("")).value_or(m_row.cells.size());
            if (column < m_row.cells.size())
                brokenWorkbook(fmt::format("the cells of row {} are out of order", m_row.line));
            if (column >= kWidestRow)
                tooWide(m_row.line);
            m_row.cells.resize(column);
            m_type = attributes.find("t").value_or("n");
            m_style = wholeNumber(attributes.find("s").value_or("")).value_or(0);
            m_value.clear();
        } else if (name == "rPh") {
            ++m_phonetic;
        } else {
            m_inText = name == "v" || (name == "t" && m_phonetic == 0);
        }
    }
    void closed(std::string_view name)
    {
        m_inText = false;
        if (name == "rPh")
            --m_phonetic;
        else if (name == "c")
            m_row.cells.push_back(cell());
        else if (name == "row" && !m_row.blank())
            m_goOn = m_goOn && m_take(m_row, m_share);
    }
    void text(std::string_view piece)
    {
        if (m_inText)
            m_value += piece;
    }
    bool piece(double share)
    {
        m_share = share;
        return m_goOn;
    }

private:
    [[nodiscard]] SheetCell cell() const
    {
        if (m_type == "s") {
            const auto place = wholeNumber(m_value);
            if (!place || *place >= m_shared.size())
                brokenWorkbook(fmt::format("a text of row {} is missing", m_row.line));
            return {.text = m_shared[*place]};
        }
        if (m_type == "str" || m_type == "inlineStr")
            return {.text = unescaped(m_value)};
        if (m_value.empty())
            return {};
        if (m_type == "b")
            return {.text = m_value == "0" ? "no" : "yes", .kind = SheetCell::Kind::Truth};
        if (m_type == "e")
            return {.text = m_value, .kind = SheetCell::Kind::Fault};
        if (m_type == "d")
            return {.text = m_value, .kind = SheetCell::Kind::Moment};
        const auto number = core::parseNumber(m_value);
        if (!number)
            return {.text = m_value};
        if (m_style < m_momentStyle.size() && m_momentStyle[m_style])
            if (std::string moment = momentOfSerial(*number, m_from1904); !moment.empty())
                return {.text = std::move(moment), .kind = SheetCell::Kind::Moment};
        return {.text = core::formatNumber(*number), .kind = SheetCell::Kind::Number};
    }

    const std::vector<std::string>& m_shared;
    const std::vector<bool>& m_momentStyle;
    bool m_from1904;
    const std::function<bool(const SheetRow&, double)>& m_take;
    SheetRow m_row;
    std::string m_type, m_value;
    std::size_t m_style = 0;
    int m_phonetic = 0;
    bool m_inText = false, m_goOn = true;
    double m_share = 0.0;
};

void OfficeXml::rows(std::size_t sheet, const Take& take) const
{
    SheetParts sheetParts(shared, momentStyle, from1904, take);
    parse(parts[sheet],
          {.opened = [&](std::string_view name, const XmlAttributes& attributes) { sheetParts.opened(name, attributes); },
           .closed = [&](std::string_view name) { sheetParts.closed(name); },
           .text = [&](std::string_view text) { sheetParts.text(text); }},
          [&](double share) { return sheetParts.piece(share); });
}

}  // namespace

std::unique_ptr<WorkbookReader::Impl> openOfficeXml(ZipArchive archive)
{
    auto opened = std::make_unique<OfficeXml>(std::move(archive));
    opened->readSheets();
    opened->readShared();
    opened->readStyles();
    return opened;
}

}  // namespace halfcell::db
