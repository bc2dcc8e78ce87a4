#pragma once

#include "core/electrochemistry/standards.h"

#include <string_view>

namespace halfcell::core {

/// What the filling of a differential sensor's reference is called: it has no table.
inline constexpr std::string_view kDifferentialFill = "differential";

/// Potential of a reference electrode against hydrogen.
struct ReferencePotential {
    Millivolt e;
    double u_mv = 0.0;
    std::string source;
    SourceClass sourceClass = SourceClass::Standard;
};

/// Silver/silver chloride with junction by filling and temperature (`1M KCl`, `3M KCl`, `3.5M KCl`, `sat KCl`), and `SCE`,
/// `SHE`. Linear between rows. Errc::NotFound for another filling (`differential` is judged against its own baseline),
/// Errc::OutsideTable outside. One series throughout: agency tables (USGS A6.5), 1 M computed.
[[nodiscard]] Result<ReferencePotential> referencePotential(std::string_view fill, Celsius t);

/// Expected potential of an ORP sensor with this filling in this standard at this temperature, with its parts.
struct ExpectedPotential {
    Millivolt e;  ///< what the meter should show
    double u_mv = 0.0;
    StandardValue standard;  ///< on the hydrogen scale
    ReferencePotential reference;
};
[[nodiscard]] Result<ExpectedPotential> expectedPotential(const StandardsBook& standards, std::string_view standard, std::string_view lot,
                                                          std::string_view fill, Celsius t);

/// A potential measured against one reference, expressed against another ("SHE" for the hydrogen scale).
[[nodiscard]] Result<Millivolt> convertReference(Millivolt e, std::string_view fromFill, std::string_view toFill, Celsius t);

/// Standard potential of silver/silver chloride (no junction), mV: cubic in t, 0 to 95 degC. Checked against GC40.
[[nodiscard]] Result<Millivolt> silverChlorideStandardPotential(Celsius t);

}  // namespace halfcell::core
