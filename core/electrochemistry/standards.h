#pragma once

#include "core/electrochemistry/table_row.h"
#include "core/fleet/records.h"
#include "core/quantity/units.h"
#include "core/working/working.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// What a standard is worth at a temperature.
struct StandardValue {
    double value = 0.0;      ///< pH, or mV on the hydrogen scale
    double u = 0.0;          ///< standard uncertainty of a bottle of it, same unit
    double perKelvin = 0.0;  ///< change of the value per K at that temperature (slope of the table's segment)
    std::string source;      ///< "table ph7.00 (USGS A6.4)", "lot B7-2231", "own table"
    SourceClass sourceClass = SourceClass::Standard;
    /// The table rows used: (temperature, value) below and above; equal at a row or for a lot without a table.
    double lowTemp = 0.0, lowValue = 0.0, highTemp = 0.0, highValue = 0.0;
    /// Where the value is no interpolation: the formula with its numbers ("430.28 − 2.5157 · (t − 25) …"), else empty.
    std::string formula = {};
};

/// What kind of standard a key names.
enum class StandardKind { PhBuffer, Redox, Quinhydrone, KnownPh, Unknown };

/// All standards a book can use: the shipped tables, the shop's own tables and the lots' certified values. A shop's own
/// table or a lot's certified value goes before the shipped one (a certified value at 25 degC shifts the table so that
/// it passes through it). Linear between rows, refused outside (Errc::OutsideTable); a table of one row holds within
/// 0.5 K of it (our choice: as near as a thermometer in the standard tells). Immutable, any thread.
class StandardsBook {
public:
    /// The shipped tables alone.
    static const StandardsBook& shipped();
    /// The shipped tables with the shop's own rows and lots on top.
    static StandardsBook with(std::span<const StandardRow> ownTables, std::span<const Lot> lots);

    [[nodiscard]] StandardKind kindOf(std::string_view standard) const;
    /// pH of a buffer (or of `value:PH`) at a temperature. `lot` may be empty or unknown (then a bare name).
    /// Errc::NotFound for an unknown standard, Errc::OutsideTable outside its table (value: below 0 or above 100 degC),
    /// Errc::BadInput if the standard is a redox standard.
    [[nodiscard]] Result<StandardValue> ph(std::string_view standard, std::string_view lot, Celsius t) const;
    /// Potential of a redox standard on the hydrogen scale; quinhydrone stands in ph4.01 or ph7.00.
    [[nodiscard]] Result<StandardValue> redox(std::string_view standard, std::string_view lot, Celsius t) const;
    /// Keys known, shipped first in the order of their pH, then redox, then own.
    [[nodiscard]] std::vector<std::string> keys() const;
    /// Nominal value for screens: 7.00 for ph7.00; nullopt if unknown.
    [[nodiscard]] std::optional<double> nominalPh(std::string_view standard) const;
    /// "pH 7.00" for screens and paper; keys never reach them.
    [[nodiscard]] std::string words(std::string_view standard) const;
    /// Rows (temperature, value) of the table a reading in this standard and lot would use; empty for `value:`.
    [[nodiscard]] std::vector<std::pair<double, double>> table(std::string_view standard, std::string_view lot = {}) const;

private:
    struct Table {
        std::vector<TableRow> rows;  ///< by temperature; u_bottle is what counts
        bool redox = false;
    };
    struct LotEntry {
        std::string standard;
        std::optional<double> certified, u;
        bool redox = false;
    };
    [[nodiscard]] const LotEntry* lotOf(std::string_view standard, std::string_view lot) const;
    [[nodiscard]] Result<void> shiftToLot(StandardValue& value, std::string_view standard, std::string_view lot, const LotEntry& entry,
                                          const Result<StandardValue>& at25, const char* unit) const;

    std::map<std::string, Table, std::less<>> m_tables;
    std::vector<std::string> m_order;
    std::map<std::string, LotEntry, std::less<>> m_lots;
};

/// Standard uncertainty of a technical process bottle without certificate, pH (+-0.02 taken as uniform; our choice, after
/// common practice).
inline constexpr double kProcessBottleU = 0.012;

}  // namespace halfcell::core
