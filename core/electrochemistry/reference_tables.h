#pragma once

#include "core/electrochemistry/standards.h"
#include "core/electrochemistry/table_row.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The shipped reference tables as read from resources/reference. Internal to core/electrochemistry.
namespace halfcell::core {

/// One shipped table, rows by temperature.
struct ShippedTable {
    std::string key;     ///< ph7.00, 3M KCl, zobell ...
    std::string kind;    ///< ph, reference, potential, e0
    std::string buffer;  ///< of quinhydrone: the buffer it stands in
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
    std::string source = {};                          ///< of both rows
    SourceClass sourceClass = SourceClass::Standard;  ///< of the less sure one
};
/// A table of one row holds within this of its temperature, K (our choice: as near as a thermometer in the standard tells).
inline constexpr double kOneRowWithin = 0.5;
/// Linear between rows; false outside. Rows ascending, at least one. At a row `perKelvin` is the mean of both sides.
[[nodiscard]] bool interpolate(const std::vector<TableRow>& rows, double temp_c, Interpolated& out);

/// The shipped table of a redox standard, or nullptr.
[[nodiscard]] const ShippedTable* shippedRedoxTable(std::string_view key);
/// What a table says, as the value of a standard; its u is that of a bottle.
[[nodiscard]] StandardValue valueOf(Interpolated at);
/// A standard known only by a lot certified at 25 degC: good within kOneRowWithin of it.
[[nodiscard]] Result<StandardValue> valueOfLotAlone(std::string_view standard, std::string_view lot, double certified, double u, Celsius t);
/// "... has no value at 60 °C: its table runs 0 to 50 °C"
[[nodiscard]] std::unexpected<Error> outsideTable(std::string_view what, double temp_c, double low, double high,
                                                  std::string remedy = "read again inside the table, or type the bottle's own table");

}  // namespace halfcell::core
