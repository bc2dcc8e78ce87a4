#include "core/electrochemistry/reference_tables.h"

#include "embedded/orp_equations_csv.h"
#include "embedded/orp_standards_csv.h"
#include "embedded/reference_electrodes_csv.h"
#include "embedded/standards_csv.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <map>

namespace halfcell::core {
namespace {

using Fields = std::vector<std::string_view>;

/// The shipped tables are our own text: plain commas, no quotes, comment lines with #, a header line first.
std::vector<Fields> linesOf(std::string_view text)
{
    std::vector<Fields> lines;
    bool header = true;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
        if (line.ends_with('\r'))
            line.remove_suffix(1);
        if (line.empty() || line.front() == '#')
            continue;
        if (header) {
            header = false;
            continue;
        }
        Fields fields;
        for (;;) {
            const std::size_t comma = line.find(',');
            fields.push_back(line.substr(0, comma));
            if (comma == std::string_view::npos)
                break;
            line = line.substr(comma + 1);
        }
        lines.push_back(std::move(fields));
    }
    return lines;
}

double number(std::string_view text)
{
    double value = 0.0;
    [[maybe_unused]] const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value);
    assert(ec == std::errc() && end == text.data() + text.size());
    return value;
}

SourceClass classOf(std::string_view knownFrom)
{
    if (knownFrom == "memory")
        return SourceClass::Memory;
    if (knownFrom == "computed")
        return SourceClass::Computed;
    return SourceClass::Standard;
}

ShippedTable& tableOf(std::vector<ShippedTable>& tables, std::string_view key)
{
    const auto it = std::ranges::find(tables, key, &ShippedTable::key);
    if (it != tables.end())
        return *it;
    tables.emplace_back();
    tables.back().key = key;
    return tables.back();
}

/// The least sure row says how sure the table is.
void noteSource(ShippedTable& table, std::string_view source, std::string_view knownFrom)
{
    if (table.source.empty())
        table.source = source;
    if (table.rows.empty() || classOf(knownFrom) == SourceClass::Memory)
        table.sourceClass = classOf(knownFrom);
}

}  // namespace

double ShippedEquation::at(double temp_c) const
{
    const double x = temp_c - t0;
    return a + x * (b + x * (c + x * d));
}

double ShippedEquation::slopeAt(double temp_c) const
{
    const double x = temp_c - t0;
    return b + x * (2.0 * c + x * 3.0 * d);
}

const std::vector<ShippedTable>& shippedBuffers()
{
    static const std::vector<ShippedTable> tables = [] {
        std::vector<ShippedTable> read;
        for (const Fields& f : linesOf(embedded::standards_csv)) {
            ShippedTable& table = tableOf(read, f.at(0));
            table.kind = "ph";
            noteSource(table, f.at(4), f.at(5));
            table.rows.push_back({.temp_c = number(f.at(1)), .value = number(f.at(2)), .u = number(f.at(3)), .u_bottle = 0.0});
        }
        return read;
    }();
    return tables;
}

const std::vector<ShippedTable>& shippedRedox()
{
    static const std::vector<ShippedTable> tables = [] {
        std::vector<ShippedTable> read;
        for (const Fields& f : linesOf(embedded::orp_standards_csv)) {
            ShippedTable& table = tableOf(read, f.at(0));
            table.kind = f.at(1);
            table.buffer = f.at(2);
            noteSource(table, f.at(7), f.at(8));
            table.rows.push_back({.temp_c = number(f.at(3)), .value = number(f.at(4)), .u = number(f.at(5)), .u_bottle = number(f.at(6))});
        }
        return read;
    }();
    return tables;
}

const std::vector<ShippedTable>& shippedReferences()
{
    static const std::vector<ShippedTable> tables = [] {
        std::vector<ShippedTable> read;
        for (const Fields& f : linesOf(embedded::reference_electrodes_csv)) {
            ShippedTable& table = tableOf(read, f.at(0));
            table.kind = "reference";
            noteSource(table, f.at(4), f.at(5));
            table.rows.push_back({.temp_c = number(f.at(1)), .value = number(f.at(2)), .u = number(f.at(3)), .u_bottle = 0.0});
        }
        return read;
    }();
    return tables;
}

const ShippedEquation* shippedEquation(std::string_view key)
{
    static const std::vector<ShippedEquation> equations = [] {
        std::vector<ShippedEquation> read;
        for (const Fields& f : linesOf(embedded::orp_equations_csv))
            read.push_back({.key = std::string(f.at(0)),
                            .a = number(f.at(1)),
                            .b = number(f.at(2)),
                            .c = number(f.at(3)),
                            .d = number(f.at(4)),
                            .t0 = number(f.at(5)),
                            .low = number(f.at(6)),
                            .high = number(f.at(7)),
                            .u = number(f.at(8)),
                            .source = std::string(f.at(9))});
        return read;
    }();
    const auto it = std::ranges::find(equations, key, &ShippedEquation::key);
    return it == equations.end() ? nullptr : &*it;
}

bool interpolate(const std::vector<TableRow>& rows, double temp_c, Interpolated& out)
{
    if (rows.empty() || !(temp_c >= rows.front().temp_c && temp_c <= rows.back().temp_c))
        return false;
    std::size_t high = 0;
    while (rows[high].temp_c < temp_c)
        ++high;
    // At a row the slope is that of the segment towards 25 degC, so that it is defined at both ends too.
    const std::size_t low = rows[high].temp_c == temp_c ? high : high - 1;
    const TableRow& a = rows[low];
    const TableRow& b = rows[high];
    out.lowTemp = a.temp_c;
    out.lowValue = a.value;
    out.highTemp = b.temp_c;
    out.highValue = b.value;
    if (low == high) {
        out.value = a.value;
        out.u = a.u;
        out.u_bottle = a.u_bottle;
        const std::size_t other = high + 1 < rows.size() ? high + 1 : high;
        const std::size_t first = other == high && high > 0 ? high - 1 : high;
        if (other != first)
            out.perKelvin = (rows[other].value - rows[first].value) / (rows[other].temp_c - rows[first].temp_c);
        return true;
    }
    out.perKelvin = (b.value - a.value) / (b.temp_c - a.temp_c);
    out.value = a.value + out.perKelvin * (temp_c - a.temp_c);
    out.u = std::max(a.u, b.u);
    out.u_bottle = std::max(a.u_bottle, b.u_bottle);
    return true;
}

}  // namespace halfcell::core
