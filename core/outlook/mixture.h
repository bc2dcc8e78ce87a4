#pragma once

#include <span>
#include <vector>

namespace halfcell::core::outlook {

/// A mixture of normals: what a forecast is. Weights are positive and add up to 1 after `normalise`.
class Mixture {
public:
    struct Part {
        double weight = 0.0, mean = 0.0, sd = 0.0;
    };

    Mixture() = default;
    explicit Mixture(std::vector<Part> parts);

    [[nodiscard]] const std::vector<Part>& parts() const { return m_parts; }
    [[nodiscard]] double mean() const;
    [[nodiscard]] double variance() const;
    /// P(X < x).
    [[nodiscard]] double below(double x) const;
    /// The x with P(X < x) = p, 0 < p < 1; accuracy 1e-7 of the spread.
    [[nodiscard]] double quantile(double p) const;
    /// The same law in fewer parts: neighbours within a fifth of their own spread become one with their mean and variance.
    [[nodiscard]] Mixture merged() const;

private:
    std::vector<Part> m_parts;
};

}  // namespace halfcell::core::outlook
