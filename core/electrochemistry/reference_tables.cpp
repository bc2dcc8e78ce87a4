#include "core/electrochemistry/reference_tables.h"

#include "embedded/orp_equations_csv.h"
#include "embedded/orp_standards_csv.h"
#include "embedded/reference_electrodes_csv.h"
#include "embedded/standards_csv.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>
#include <cmath>

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

/// The less sure of two ways of knowing.
SourceClass lessSure(SourceClass a, SourceClass b)
{
    for (const SourceClass c : {SourceClass::Memory, SourceClass::Computed, SourceClass::Record})
        if (a == c || b == c)
            return c;
    return a;
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
            table.rows.push_back({.temp_c = number(f.at(1)),
                                  .value = number(f.at(2)),
                                  .u = number(f.at(3)),
                                  .u_bottle = 0.0,
                                  .source = std::string(f.at(4)),
                                  .sourceClass = classOf(f.at(5))});
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
            table.rows.push_back({.temp_c = number(f.at(3)),
                                  .value = number(f.at(4)),
                                  .u = number(f.at(5)),
                                  .u_bottle = number(f.at(6)),
                                  .source = std::string(f.at(7)),
                                  .sourceClass = classOf(f.at(8))});
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
            table.rows.push_back({.temp_c = number(f.at(1)),
                                  .value = number(f.at(2)),
                                  .u = number(f.at(3)),
                                  .u_bottle = 0.0,
                                  .source = std::string(f.at(4)),
                                  .sourceClass = classOf(f.at(5))});
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
    if (rows.empty())
        return false;
    if (rows.size() == 1 && std::fabs(temp_c - rows.front().temp_c) <= kOneRowWithin)
        temp_c = rows.front().temp_c;
    if (!(temp_c >= rows.front().temp_c && temp_c <= rows.back().temp_c))
        return false;
    std::size_t high = 0;
    while (rows[high].temp_c < temp_c)
        ++high;
    const std::size_t low = rows[high].temp_c == temp_c ? high : high - 1;
    const TableRow& a = rows[low];
    const TableRow& b = rows[high];
    const auto slope = [](const TableRow& p, const TableRow& q) { return (q.value - p.value) / (q.temp_c - p.temp_c); };
    out.lowTemp = a.temp_c;
    out.lowValue = a.value;
    out.highTemp = b.temp_c;
    out.highValue = b.value;
    out.u = std::max(a.u, b.u);
    out.u_bottle = std::max(a.u_bottle, b.u_bottle);
    out.source = a.source == b.source ? a.source : a.source + ", " + b.source;
    out.sourceClass = lessSure(a.sourceClass, b.sourceClass);
    if (low != high) {
        out.perKelvin = slope(a, b);
        out.value = a.value + (b.value - a.value) * (temp_c - a.temp_c) / (b.temp_c - a.temp_c);
        return true;
    }
    out.value = a.value;
    const bool before = low > 0, after = low + 1 < rows.size();
    if (before && after)
        out.perKelvin = 0.5 * (slope(rows[low - 1], a) + slope(a, rows[low + 1]));
    else if (before || after)
        out.perKelvin = before ? slope(rows[low - 1], a) : slope(a, rows[low + 1]);
    return true;
}

const ShippedTable* shippedRedoxTable(std::string_view key)
{
    const auto& tables = shippedRedox();
    const auto it = std::ranges::find(tables, key, &ShippedTable::key);
    return it == tables.end() ? nullptr : &*it;
}

StandardValue valueOf(Interpolated at)
{
    StandardValue value;
    value.value = at.value;
    value.u = std::max(at.u, at.u_bottle);
    value.perKelvin = at.perKelvin;
    value.source = std::move(at.source);
    value.sourceClass = at.sourceClass;
    value.lowTemp = at.lowTemp;
    value.lowValue = at.lowValue;
    value.highTemp = at.highTemp;
    value.highValue = at.highValue;
    return value;
}

Result<StandardValue> valueOfLotAlone(std::string_view standard, std::string_view lot, double certified, double u, Celsius t)
{
    const double row = kStandardTemperature.value();
    Interpolated at;
    if (!interpolate({{.temp_c = row,
                       .value = certified,
                       .u = u,
                       .u_bottle = u,
                       .source = fmt::format("lot {}: certified at 25 °C, without a table", lot),
                       .sourceClass = SourceClass::Record}},
                     t.value(), at))
        return outsideTable(standard, t.value(), row, row);
    return valueOf(std::move(at));
}

std::unexpected<Error> outsideTable(std::string_view what, double temp_c, double low, double high, std::string remedy)
{
    const std::string temp = std::isfinite(temp_c) ? formatNumber(temp_c) + " °C" : "a temperature that is no number";
    std::string range = low == high ? fmt::format("it is known at {} °C only", formatNumber(low))
                                    : fmt::format("its table runs {} to {} °C", formatNumber(low), formatNumber(high));
    return failure(Errc::OutsideTable, fmt::format("{} has no value at {}: {}", what, temp, range), std::move(remedy));
}

}  // namespace halfcell::core
