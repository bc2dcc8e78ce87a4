#pragma once

#include "core/simulator/fixed_math.h"

#include <cstddef>
#include <cstdint>
#include <span>

namespace halfcell::core::simulation {

/// The simulator's own random numbers: PCG32 (M. E. O'Neill 2014, "PCG: A Family of Simple Fast Space-Efficient
/// Statistically Good Algorithms for Random Number Generation", the XSH-RR variant with a 64-bit state) and distributions
/// on top of it that use fixed_math only. Same seed and stream: same numbers on any machine. One thread at a time.
class Generator {
public:
    Generator(std::uint64_t seed, std::uint64_t stream);

    std::uint32_t next();
    /// Uniform in [0, 1), 53 bits.
    double uniform();
    double uniform(double low, double high) { return low + (high - low) * uniform(); }
    /// Whole number from 0 to n - 1; n >= 1.
    int below(int n);
    bool chance(double probability) { return uniform() < probability; }
    /// Normal by the polar method (G. Marsaglia and T. A. Bray 1964).
    double normal(double mean, double sd);
    /// exp(normal(0, sigma)): median 1.
    double lognormal(double sigma) { return fixedExp(normal(0.0, sigma)); }
    template <class T>
    const T& pick(std::span<const T> choices)
    {
        return choices[static_cast<std::size_t>(below(static_cast<int>(choices.size())))];
    }

private:
    std::uint64_t m_state = 0;
    std::uint64_t m_increment = 0;
};

}  // namespace halfcell::core::simulation
