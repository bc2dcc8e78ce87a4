#include "core/electrochemistry/nernst.h"

#include <fmt/format.h>

#include <cmath>

namespace halfcell::core {

Result<MillivoltPerPh> nernstSlope(Celsius t)
{
    if (!std::isfinite(t.value()) || t.value() < -20.0 || t.value() > 150.0)
        return failure(Errc::OutOfRange, fmt::format("{} °C is outside -20 to 150 °C", t.value()), "check the temperature");
    return MillivoltPerPh(nernstSlopeUnchecked(t.kelvin()));
}

Result<Megaohm> glassResistanceAt25(Megaohm r, Celsius t, double bKelvin)
{
    if (!std::isfinite(r.value()) || r.value() <= 0.0)
        return failure(Errc::OutOfRange, "the glass resistance must be above 0", "check the reading");
    if (!std::isfinite(t.value()) || t.value() < 0.0 || t.value() > 130.0)
        return failure(Errc::OutOfRange, fmt::format("{} °C is outside 0 to 130 °C", t.value()), "check the glass temperature");
    if (!(bKelvin >= 7000.0 && bKelvin <= 9500.0))
        return failure(Errc::OutOfRange, fmt::format("B = {} K is outside 7000 to 9500 K", bKelvin),
                       "use 7700 K unless the maker gives another");
    return Megaohm(r.value() * std::exp(-bKelvin * (1.0 / t.kelvin() - 1.0 / kStandardTemperature.kelvin())));
}

}  // namespace halfcell::core
