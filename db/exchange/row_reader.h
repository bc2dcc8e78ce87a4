#pragma once

#include "core/fleet/columns.h"
#include "db/exchange/table_file.h"

#include <optional>
#include <string>
#include <vector>

namespace halfcell::db {

/// Reads the cells of a file's records into one kind of row, through the catalogue of columns. Columns of the file that are
/// not this row's are left alone (a readings row carries its visit's as well).
template <class Row>
class RowReader {
public:
    explicit RowReader(const TableFile& file) : m_file(file)
    {
        for (const std::string& name : file.header())
            m_columns.push_back(core::findColumn<Row>(name));
    }

    /// Fills `row`; the refusal of the first cell that does not fit, if any.
    std::optional<Refusal> read(const CsvRecord& record, Row& row) const
    {
        for (std::size_t i = 0; i < m_columns.size(); ++i) {
            const core::Column<Row>* column = m_columns[i];
            if (column == nullptr)
                continue;
            const std::string_view cell = cellText(record, i);
            if (cell.empty()) {
                if (column->required)
                    return m_file.refusal(record.line, std::string(column->name), {}, std::string(column->name) + " is empty",
                                          "fill it in; the row can't stand without it");
                continue;
            }
            if (auto done = column->set(row, cell); !done)
                return m_file.refusal(record.line, std::string(column->name), cell, done.error().detail, done.error().remedy);
        }
        return std::nullopt;
    }
    [[nodiscard]] bool filled(const CsvRecord& record, std::string_view column) const
    {
        const std::size_t place = m_file.place(column);
        return place != std::string::npos && !cellText(record, place).empty();
    }

private:
    const TableFile& m_file;
    std::vector<const core::Column<Row>*> m_columns;
};

}  // namespace halfcell::db
