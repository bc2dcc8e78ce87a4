#include "core/electrochemistry/ph_equation.h"

#include <fmt/format.h>

namespace halfcell::core {

Result<Ph> PhEquation::at(Celsius t) const
{
    if (!(t.value() >= low_c && t.value() <= high_c))
        return failure(Errc::OutOfRange, fmt::format("{} °C is outside {} to {} °C", t.value(), low_c, high_c), "check the temperature");
    const double kelvin = t.kelvin();
    return Ph(a_kelvin / kelvin + b + kelvin * (c_per_kelvin + kelvin * d_per_kelvin2));
}

}  // namespace halfcell::core
