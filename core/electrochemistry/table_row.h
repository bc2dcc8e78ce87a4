#pragma once

#include "core/working/working.h"

#include <string>

namespace halfcell::core {

/// Standard uncertainty of a redox bottle of the shop's own where none is given, mV: as the shipped ones.
inline constexpr double kRedoxBottleU_mv = 3.5;

/// One row of a table by temperature.
struct TableRow {
    double temp_c = 0.0;
    double value = 0.0;     ///< pH, or mV against hydrogen
    double u = 0.0;         ///< standard uncertainty of the table's value
    double u_bottle = 0.0;  ///< of a solution as made or bought, table included
    std::string source = {};
    SourceClass sourceClass = SourceClass::Standard;
};

}  // namespace halfcell::core
