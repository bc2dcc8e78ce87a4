#pragma once

#include <array>
#include <cstddef>

/// The shapes along which a sensor loses efficiency: g(u), u = age over life, g(0) = 0, g(1) = 1. Powers u^gamma and
/// exponentials (e^(k u) - 1) / (e^k - 1), from quickly settling to breaking late. Our choice: wide enough that published
/// descriptions (slowly first, then faster) and their opposites both lie inside; which one holds is learnt.
namespace halfcell::core::outlook {

struct AgeingCurve {
    bool power = true;
    double shape = 1.0;  ///< gamma, or k
    /// Grows ever faster; goes on straight beyond u = kStraightFrom, else old sensors on steep curves would explode.
    [[nodiscard]] constexpr bool convex() const { return power ? shape > 1.0 : shape > 0.0; }
};

inline constexpr std::size_t kCurves = 14;
inline constexpr std::array<AgeingCurve, kCurves> kAgeingCurves{{{true, 0.25},
                                                                 {true, 0.35},
                                                                 {true, 0.5},
                                                                 {true, 0.7},
                                                                 {true, 1.0},
                                                                 {true, 1.4},
                                                                 {true, 2.0},
                                                                 {true, 2.8},
                                                                 {true, 4.0},
                                                                 {false, -5.0},
                                                                 {false, -2.5},
                                                                 {false, 1.5},
                                                                 {false, 3.0},
                                                                 {false, 5.0}}};
inline constexpr double kStraightFrom = 1.3;  ///< convex curves
inline constexpr double kFlatFrom = 8.0;      ///< the others keep their value there

/// g(u), u >= 0.
[[nodiscard]] double curveAt(const AgeingCurve& curve, double u);
/// scale * g(u[i]) for n ages; `lnU` their logarithms.
void curveOver(const AgeingCurve& curve, double scale, const double* u, const double* lnU, double* out, std::size_t n);

}  // namespace halfcell::core::outlook
