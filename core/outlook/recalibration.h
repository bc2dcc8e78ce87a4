#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <span>
#include <vector>

/// Recalibration: what past forecasts, whose outcome is already in the book, say about the bands. Where outcomes fell outside
/// more often than said, bands are widened and moved. A band of the whole shop may narrow a little where outcomes clearly fell
/// inside more often than said; one of a group never does (letting those narrow cost coverage a year later in every trial).
namespace halfcell::core::outlook {

inline constexpr std::size_t kBands = 5;
inline constexpr std::array<double, kBands> kBandWeeks{4.0, 8.0, 13.0, 26.0, 52.0};
/// The band a horizon belongs to (nearest on a log scale).
[[nodiscard]] std::size_t bandOf(double weeks);
/// Whether an outcome some weeks ahead counts for a band: within a fifth of it, a week at least.
[[nodiscard]] bool countsFor(std::size_t band, double weeks);

/// One past forecast of a reading: where the outcome fell in it.
struct PastPit {
    std::size_t band = 0;
    std::size_t group = 0;
    std::size_t sensor = 0;
    double pit = 0.5;
};

class Recalibration {
public:
    Recalibration() = default;
    /// Outcomes of forecasts made by then; order does not matter.
    static Recalibration learnt(std::span<const PastPit> past);

    /// The level of the raw law at which the recalibrated law reaches `alpha`.
    [[nodiscard]] double level(std::size_t band, std::size_t group, double alpha) const;
    /// The other way: a raw probability as it should be said.
    [[nodiscard]] double probability(std::size_t band, std::size_t group, double raw) const;
    [[nodiscard]] std::size_t outcomes(std::size_t band) const { return m_bands[band].n; }
    /// Factor on the upper and lower half of the middle band (for the working).
    [[nodiscard]] double widening(std::size_t band, std::size_t group) const;

private:
    struct Map {
        double loc = 0.0, down = 1.0, up = 1.0;
        std::size_t n = 0;
        [[nodiscard]] double out(double z) const { return loc + (z < 0.0 ? down : up) * z; }
        [[nodiscard]] double in(double z) const { return z < loc ? (z - loc) / down : (z - loc) / up; }
    };
    static Map mapOf(std::vector<double> z, std::size_t sensors, double half, bool mayNarrow);

    std::array<Map, kBands> m_bands{};
    std::map<std::pair<std::size_t, std::size_t>, Map> m_groups;  ///< (band, group)
};

/// Raw bands are shown until a band has this many outcomes.
inline constexpr std::size_t kLeastOutcomes = 30;

}  // namespace halfcell::core::outlook
