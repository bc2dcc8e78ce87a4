#include "core/simulator/generator.h"

#include <cmath>

namespace halfcell::core::simulation {

Generator::Generator(std::uint64_t seed, std::uint64_t stream) : m_increment((stream << 1U) | 1U)
{
    next();
    m_state += seed;
    next();
}

std::uint32_t Generator::next()
{
    const std::uint64_t old = m_state;
    m_state = old * 6364136223846793005ULL + m_increment;
    const auto shifted = static_cast<std::uint32_t>(((old >> 18U) ^ old) >> 27U);
    const auto rotation = static_cast<std::uint32_t>(old >> 59U);
    return (shifted >> rotation) | (shifted << ((32U - rotation) & 31U));
}

double Generator::uniform()
{
    const double high = static_cast<double>(next() >> 5U);
    const double low = static_cast<double>(next() >> 6U);
    return (high * 67108864.0 + low) / 9007199254740992.0;
}

int Generator::below(int n)
{
    // 32 x 32 bit product: a bias below 2^-24 for the small n used here.
    const std::uint64_t product = static_cast<std::uint64_t>(next()) * static_cast<std::uint64_t>(n);
    return static_cast<int>(product >> 32U);
}

double Generator::normal(double mean, double sd)
{
    for (;;) {
        const double u = 2.0 * uniform() - 1.0;
        const double v = 2.0 * uniform() - 1.0;
        const double s = u * u + v * v;
        if (s >= 1.0 || s <= 0.0)
            continue;
        return mean + sd * u * std::sqrt(-2.0 * fixedLog(s) / s);  // sqrt is exact to the last digit by IEEE 754
    }
}

}  // namespace halfcell::core::simulation
