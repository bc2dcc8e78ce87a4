#pragma once

#include <cstddef>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

/// Readers for the published figures in tests/data/reference: comment lines with #, a header row, RFC 4180 rows.
namespace halfcell::test {

using CsvRow = std::map<std::string, std::string>;

/// Rows of a table, by column name. Throws std::runtime_error when the file cannot be read.
inline std::vector<CsvRow> readCsv(const std::string& path)
{
    std::ifstream file(path);
    if (!file)
        throw std::runtime_error("cannot read " + path);
    std::vector<CsvRow> rows;
    std::vector<std::string> header;
    std::string line;
    while (std::getline(file, line)) {
        if (line.ends_with('\r'))
            line.pop_back();
        if (line.empty() || line.front() == '#')
            continue;
        std::vector<std::string> cells(1);
        bool quoted = false;
        for (std::size_t i = 0; i < line.size(); ++i) {
            const char c = line[i];
            if (c == '"') {
                if (quoted && i + 1 < line.size() && line[i + 1] == '"')
                    cells.back() += line[++i];
                else
                    quoted = !quoted;
            } else if (c == ',' && !quoted) {
                cells.emplace_back();
            } else {
                cells.back() += c;
            }
        }
        if (header.empty()) {
            header = std::move(cells);
            continue;
        }
        if (cells.size() != header.size())
            throw std::runtime_error(path + ": a row with another number of cells: " + line);
        CsvRow row;
        for (std::size_t i = 0; i < header.size(); ++i)
            row[header[i]] = std::move(cells[i]);
        rows.push_back(std::move(row));
    }
    return rows;
}

/// One row of golden.csv.
struct GoldenRow {
    std::string id;  ///< "GC07"
    int number = 0;  ///< 7
    std::string quantity;
    CsvRow inputs;  ///< "t_degC" -> "10"; a phrase without = maps to itself; a second t_degC is "t_degC'"
    double expected = 0.0;
    double tolerance = 0.0;
    std::string units, source;

    [[nodiscard]] bool has(const std::string& key) const { return inputs.contains(key); }
    [[nodiscard]] const std::string& text(const std::string& key) const
    {
        const auto it = inputs.find(key);
        if (it == inputs.end())
            throw std::runtime_error(id + " has no input " + key);
        return it->second;
    }
    /// Leading number of an input ("0.3, all independent" is 0.3).
    [[nodiscard]] double value(const std::string& key) const { return std::stod(text(key)); }
    [[nodiscard]] std::optional<double> maybe(const std::string& key) const { return has(key) ? std::optional(value(key)) : std::nullopt; }
    /// "170.0,-4.0,-176.5"
    [[nodiscard]] std::vector<double> list(const std::string& key) const
    {
        std::vector<double> values;
        std::istringstream parts(text(key));
        std::string part;
        while (std::getline(parts, part, ','))
            values.push_back(std::stod(part));
        return values;
    }
};

/// golden.csv from a folder (HALFCELL_TEST_DATA).
inline std::vector<GoldenRow> readGolden(const std::string& dataFolder)
{
    std::vector<GoldenRow> golden;
    for (const CsvRow& row : readCsv(dataFolder + "/reference/golden.csv")) {
        GoldenRow g;
        g.id = row.at("check_id");
        g.number = std::stoi(g.id.substr(2));
        g.quantity = row.at("quantity");
        g.expected = std::stod(row.at("expected"));
        g.tolerance = std::stod(row.at("tolerance"));
        g.units = row.at("units");
        g.source = row.at("source_id");
        std::istringstream parts(row.at("inputs"));
        std::string part;
        while (std::getline(parts, part, ';')) {
            const std::size_t start = part.find_first_not_of(' ');
            if (start == std::string::npos)
                continue;
            part = part.substr(start);
            const std::size_t equals = part.find('=');
            if (equals == std::string::npos)
                g.inputs[part] = part;
            else if (const std::string key = part.substr(0, equals); g.has(key))
                g.inputs[key + "'"] = part.substr(equals + 1);
            else
                g.inputs[key] = part.substr(equals + 1);
        }
        golden.push_back(std::move(g));
    }
    return golden;
}

}  // namespace halfcell::test
