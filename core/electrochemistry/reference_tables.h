#pragma once

#include "core/working/working.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The shipped reference tables as read from resources/reference. Internal to core/electrochemistry.
namespace halfcell::core {

struct TableRow {
    double temp_c = 0.0, value = 0.0, u = 0.0, u_bottle = 0.0;
};

/// One shipped table, rows by temperature.
struct ShippedTable {
    std::string key;      ///< ph7.00, 3M KCl, zobell ...
    std::string kind;     ///< ph, reference, potential, e0
    std::string buffer;   ///< of quinhydrone: the buffer it stands in
    std::string source;
    SourceClass sourceClass = SourceClass::Standard;
    std::vector<TableRow> rows;
};

/// E = a + b (t - t0) + c (t - t0)^2 + d (t - t0)^3, mV.
struct ShippedEquation {
    std::string key;
    double a = 0, b = 0, c = 0, d = 0, t0 = 0, low = 0, high = 0, u = 0;
    std::string source;
    [[nodiscard]] double at(double temp_c) const;
    [[nodiscard]] double slopeAt(double temp_c) const;
};

[[nodiscard]] const std::vector<ShippedTable>& shippedBuffers();
[[nodiscard]] const std::vector<ShippedTable>& shippedRedox();
[[nodiscard]] const std::vector<ShippedTable>& shippedReferences();
[[nodiscard]] const ShippedEquation* shippedEquation(std::string_view key);

/// Where a temperature falls in a table: the rows below and above (equal at a row) and the value between them.
struct Interpolated {
    double value = 0, perKelvin = 0, u = 0, u_bottle = 0;
    double lowTemp = 0, lowValue = 0, highTemp = 0, highValue = 0;
};
/// Linear between rows; false outside. Rows ascending, at least one.
[[nodiscard]] bool interpolate(const std::vector<TableRow>& rows, double temp_c, Interpolated& out);

}  // namespace halfcell::core
