#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

/// A generator of the tests' own, the same on every machine: splitmix64 and the normal by Box and Muller.
namespace halfcell::test {

class Draws {
public:
    explicit Draws(std::uint64_t seed) : m_state(seed) {}
    double uniform()
    {
        m_state += 0x9E3779B97F4A7C15U;
        std::uint64_t z = m_state;
        z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
        z ^= z >> 31U;
        return (static_cast<double>(z >> 11U) + 0.5) * 0x1.0p-53;
    }
    double between(double low, double high) { return low + (high - low) * uniform(); }
    double normal()
    {
        if (m_hasSpare) {
            m_hasSpare = false;
            return m_spare;
        }
        const double r = std::sqrt(-2.0 * std::log(uniform()));
        const double angle = 2.0 * std::numbers::pi * uniform();
        m_spare = r * std::sin(angle);
        m_hasSpare = true;
        return r * std::cos(angle);
    }

private:
    std::uint64_t m_state;
    double m_spare = 0.0;
    bool m_hasSpare = false;
};

}  // namespace halfcell::test
