#include "db/connection/guarded.h"
#include "db/mapping/foreign_cell.h"
#include "db/mapping/guess_parts.h"
#include "db/mapping/source_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

using guess::Beginning;
using guess::Column;
using guess::firstRows;
using guess::Header;
using guess::headerOf;

/// The different cells of a column, as far as looked at.
std::set<std::string> cellsOf(const std::vector<SheetRow>& rows, std::size_t column)
{
    std::set<std::string> cells;
    for (const SheetRow& row : rows)
        if (column < row.cells.size())
            if (const std::string_view text = trimmedCell(row.cells[column].text); !text.empty())
                cells.emplace(text);
    return cells;
}

/// In the order in which a saved mapping has them.
void inOrder(Mapping& mapping)
{
    const auto fields = [](std::vector<MappedField>& list) {
        std::ranges::sort(list, {}, &MappedField::field);
        for (MappedField& field : list)
            std::ranges::sort(field.words);
    };
    fields(mapping.fields);
    std::ranges::sort(mapping.constants);
    for (RowRule& rule : mapping.rows) {
        fields(rule.fields);
        std::ranges::sort(rule.constants);
    }
}

/// Puts a mapping together from what the columns seem to hold.
class Guesser {
public:
    Guesser(const std::vector<SheetRow>& rows, const Header& header, GuessedMapping& out) : m_rows(rows), m_out(out)
    {
        for (const std::string& name : header.names)
            m_columns.push_back(guess::columnNamed(name));
        m_used.resize(m_columns.size());
    }

    void run(std::string_view stem)
    {
        if (std::ranges::any_of(m_columns, &Column::reading))
            wide();
        else if (has("standard") && has("mv"))
            longTable();
        else if (has("efficiency_pct") || has("offset_mv"))
            legacy();
        else
            asItIs(stem);
        writing();
        inOrder(m_out.mapping);
        for (std::size_t i = 0; i < m_columns.size(); ++i)
            if (!m_used[i])
                m_out.leftOut.push_back(m_columns[i].name);
    }

private:
    [[nodiscard]] bool has(std::string_view field) const
    {
        return std::ranges::any_of(m_columns, [&](const Column& c) { return c.field == field && !c.standardPh; });
    }
    void because(std::string sentence) { m_out.because.push_back(std::move(sentence)); }

    /// Takes the first column of a field into a list of fields.
    bool take(std::string_view field, std::vector<MappedField>& into, std::string_view as = {})
    {
        for (std::size_t i = 0; i < m_columns.size(); ++i) {
            if (m_used[i] || m_columns[i].field != field || m_columns[i].standardPh)
                continue;
            m_used[i] = true;
            MappedField mapped{.field = std::string(as.empty() ? field : as), .columns = {m_columns[i].name}, .unit = {}};
            const PublicColumn* column = nullptr;
            for (std::size_t t = 0; t < kPublicTables && column == nullptr; ++t)
                for (const PublicColumn& c : publicColumns(static_cast<PublicTable>(t)))
                    if (c.name == mapped.field)
                        column = &c;
            if (column != nullptr && column->number)
                m_numbers.push_back(i);
            if (column != nullptr && column->moment)
                m_dates.push_back(i);
            if (field == "phase")
                words(mapped, i, guess::phaseMeant, "phase");
            if (field == "standard")
                words(
                    mapped, i, [](std::string_view text) { return guess::standardMeant(text); }, "standard");
            into.push_back(std::move(mapped));
            return true;
        }
        return false;
    }
    template <class Meant>
    void words(MappedField& mapped, std::size_t column, Meant meant, std::string_view what)
    {
        std::string said;
        for (const std::string& cell : cellsOf(m_rows, column)) {
            const std::string ours = meant(cell);
            if (ours.empty() || ours == cell)
                continue;
            mapped.words.emplace_back(cell, ours);
            said += fmt::format("{}\"{}\" as {}", said.empty() ? "" : ", ", cell, ours);
        }
        if (!said.empty())
            because(fmt::format("{} \"{}\": {}.", what, mapped.columns.front(), said));
    }
    /// Sensor, point, time, person: what every row of the line shares.
    void shared()
    {
        auto& fields = m_out.mapping.fields;
        for (const char* field : {"visit", "serial", "tag", "person", "reason"})
            take(field, fields);
        if (take("when", fields)) {
            for (std::size_t i = 0; i < m_columns.size(); ++i)
                if (!m_used[i] && m_columns[i].field == "time") {
                    m_used[i] = true;
                    fields.back().columns.push_back(m_columns[i].name);
                    break;
                }
        } else {
            because("No column of dates was found: map one to \"when\".");
        }
        if (!has("serial"))
            because("No column of serial numbers was found: map one to \"serial\".");
    }
    void remark()
    {
        RowRule rule{.table = PublicTable::Visits, .fields = {}, .constants = {}};
        if (take("remark", rule.fields) || take("note", rule.fields, "remark"))
            m_out.mapping.rows.push_back(std::move(rule));
    }
    void phase(std::vector<MappedField>& fields)
    {
        if (take("phase", fields))
            return;
        m_out.mapping.constants.emplace_back("phase", "as_found");
        because(
            "Nothing says whether the readings are as found or as left: taken as found. Change the constant \"phase\" if they are not.");
    }

    void wide()
    {
        shared();
        bool anyPhase = false;
        for (std::size_t i = 0; i < m_columns.size(); ++i) {
            const Column column = m_columns[i];
            if (!column.reading())
                continue;
            m_used[i] = true;
            m_numbers.push_back(i);
            RowRule rule{
                .table = PublicTable::Readings, .fields = {{.field = "mv", .columns = {column.name}, .unit = {}}}, .constants = {}};
            bool doubt = false;
            const std::string standard = guess::standardMeant(column.standardText, &doubt);
            rule.constants.emplace_back("standard", standard);
            because(fmt::format("Column \"{}\" holds millivolts in {}{}.", column.name, standard,
                                doubt ? " (ph4.00 if the bottle says 4.00)" : ""));
            if (!column.phase.empty()) {
                rule.constants.emplace_back("phase", column.phase);
                anyPhase = true;
            }
            // What belongs to the same standard in the same phase.
            for (std::size_t j = 0; j < m_columns.size(); ++j) {
                const Column& other = m_columns[j];
                if (m_used[j] || other.standardPh != column.standardPh || other.field == "mv" ||
                    (!other.phase.empty() && other.phase != column.phase))
                    continue;
                if (std::ranges::find(rule.fields, other.field, &MappedField::field) != rule.fields.end())
                    continue;
                rule.fields.push_back({.field = other.field, .columns = {other.name}, .unit = {}});
                m_used[j] = true;
                m_numbers.push_back(j);
            }
            m_out.mapping.rows.push_back(std::move(rule));
        }
        if (!anyPhase)
            phase(m_out.mapping.fields);
        for (const char* field : {"temp_degc", "wait_s", "t90_s", "meter", "thermometer", "lot"})
            take(field, m_out.mapping.fields);
        remark();
        because("Each line is a visit; its readings become one row each.");
    }
    void longTable()
    {
        shared();
        RowRule rule{.table = PublicTable::Readings, .fields = {}, .constants = {}};
        phase(m_out.mapping.fields);
        take("mv", rule.fields);
        take("standard", m_out.mapping.fields);
        for (const PublicColumn& column : publicColumns(PublicTable::Readings))
            take(column.name, rule.fields);
        m_out.mapping.rows.push_back(std::move(rule));
        if (!has("visit")) {
            m_out.mapping.visitPerDay = true;
            because("Readings of one sensor on one day make one visit.");
        }
    }
    void legacy()
    {
        shared();
        std::erase_if(m_out.mapping.fields, [](const MappedField& f) { return f.field == "visit"; });
        RowRule rule{.table = PublicTable::Legacy, .fields = {}, .constants = {}};
        phase(m_out.mapping.fields);
        for (const char* field : {"efficiency_pct", "offset_mv", "t90_s", "note"})
            take(field, rule.fields);
        if (std::ranges::find(rule.fields, "note", &MappedField::field) == rule.fields.end())
            take("remark", rule.fields, "note");
        m_out.mapping.rows.push_back(std::move(rule));
        because("There are no millivolts: the rows become legacy records, which stay marked as such and can't be worked out again.");
    }
    /// The public table whose columns the names are most like.
    void asItIs(std::string_view stem)
    {
        PublicTable best = PublicTable::Sensors;
        std::size_t most = 0;
        for (std::size_t t = 0; t < kPublicTables; ++t) {
            const auto table = static_cast<PublicTable>(t);
            std::size_t like = 0;
            for (const PublicColumn& column : publicColumns(table))
                like += has(column.name) ? (column.required ? 3U : 2U) : 0U;
            for (const PublicColumn& column : publicColumns(table))
                if (column.required && !has(column.name))
                    like = like > 0 ? like - 1 : 0;
            if (tableNamed(stem) == table)
                like += 2;
            if (like > most) {
                most = like;
                best = table;
            }
        }
        RowRule rule{.table = best, .fields = {}, .constants = {}};
        for (const PublicColumn& column : publicColumns(best))
            take(column.name, rule.fields);
        m_out.mapping.rows.push_back(std::move(rule));
        because(fmt::format("The columns are most like those of {}.", nameOf(best)));
    }
    void writing()
    {
        const guess::Writing seen = guess::writingOf(m_rows, m_numbers, m_dates);
        Mapping& mapping = m_out.mapping;
        mapping.decimal = seen.decimal;
        mapping.thousands = seen.thousands;
        mapping.empty = seen.empty;
        if (seen.decimal == ',')
            because("Decimals follow a comma.");
        if (!seen.empty.empty())
            because("Words that stand for no value are kept as notes.");
        if (seen.dates) {
            mapping.dates = *seen.dates;
        } else if (seen.sawDates) {
            mapping.dates = DateOrder::DayMonthYear;
            because("No date says whether day or month comes first: read as day, month, year. Check the preview.");
        }
    }

    const std::vector<SheetRow>& m_rows;
    GuessedMapping& m_out;
    std::vector<Column> m_columns;
    std::vector<bool> m_used;
    std::vector<std::size_t> m_numbers, m_dates;
};

}  // namespace

Result<GuessedMapping> guessMapping(const std::filesystem::path& file)
{
    return guarded([&] {
        GuessedMapping out;
        Mapping& mapping = out.mapping;
        mapping.name = file.stem().string();
        auto source = orThrow(SourceTable::open(file, mapping));
        Beginning beginning = firstRows(source);
        std::vector<SheetRow>& rows = beginning.rows;
        Header header = headerOf(rows);
        // Of a workbook, the sheet that is most like ours.
        for (std::size_t i = 1; source.workbook() && i < source.sheets().size(); ++i) {
            Mapping other = mapping;
            other.sheet = source.sheets()[i];
            auto sheet = orThrow(SourceTable::open(file, other));
            auto sheetRows = firstRows(sheet).rows;
            if (Header sheetHeader = headerOf(sheetRows); sheetHeader.like > header.like) {
                mapping.sheet = other.sheet;
                rows = std::move(sheetRows);
                header = std::move(sheetHeader);
            }
        }
        if (header.like == 0 && rows.empty() && beginning.faultLine == 0)
            throw Thrown(core::Error{.code = Errc::BadInput,
                                     .detail = source.workbook() ? "the sheet holds no cells" : "the file holds no lines but blank ones",
                                     .file = file.filename().string(),
                                     .remedy = "check that it is the right file, and that it was saved"});
        if (header.like == 0 && beginning.faultLine != 0)
            throw Thrown(core::Error{
                .code = Errc::BadInput,
                .detail = fmt::format("no line of names was found, and line {} can't be read: {}", beginning.faultLine, beginning.fault),
                .file = file.filename().string(),
                .line = beginning.faultLine,
                .remedy = "mend that line; a picture, a PDF or a program's own file is no table"});
        if (header.like == 0)
            throw Thrown(core::Error{.code = Errc::BadInput,
                                     .detail = "none of its columns is like any of ours",
                                     .file = file.filename().string(),
                                     .remedy = "the table needs a row with the columns' names, such as serial, date, pH7 mV, temp"});
        if (source.workbook()) {
            if (mapping.sheet.empty())
                mapping.sheet = source.sheets().front();
        } else {
            mapping.encoding = source.encoding();
            mapping.separator = source.separator();
            if (source.encoding() != TextEncoding::Utf8)
                out.because.push_back(fmt::format("The text is read as {}.", nameOf(source.encoding())));
        }
        mapping.headerLine = rows[header.first].line;
        mapping.headerLines = header.lines;
        if (mapping.headerLine > 1 || header.lines > 1)
            out.because.push_back(header.lines == 1 ? fmt::format("The columns' names stand on line {}.", mapping.headerLine)
                                                    : fmt::format("The columns' names stand on lines {} to {}.", mapping.headerLine,
                                                                  mapping.headerLine + header.lines - 1));
        rows.erase(rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(header.first + header.lines));
        Guesser(rows, header, out).run(file.stem().string());
        return out;
    });
}

}  // namespace halfcell::db
