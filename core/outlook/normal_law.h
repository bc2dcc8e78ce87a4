#pragma once

/// The normal law by a fixed table, for the many evaluations of a forecast: same last digit on every machine.
namespace halfcell::core::outlook {

/// P(Z < z); accuracy 1e-14 absolute; 0 and 1 beyond 8.5.
[[nodiscard]] double normalBelow(double z);
/// z with P(Z < z) = p, p clipped to 1e-12 ... 1 - 1e-12; accuracy 1e-10.
[[nodiscard]] double normalPoint(double p);
/// Density at z.
[[nodiscard]] double normalDensity(double z);

/// Five points and weights that integrate a polynomial of degree 9 against the standard normal law (Gauss and Hermite).
struct NormalNode {
    double z, weight;
};
inline constexpr NormalNode kNormalNodes[5] = {{-2.8569700138728056, 0.011257411327720688},
                                               {-1.355626179974266, 0.2220759220056126},
                                               {0.0, 0.5333333333333333},
                                               {1.355626179974266, 0.2220759220056126},
                                               {2.8569700138728056, 0.011257411327720688}};

}  // namespace halfcell::core::outlook
