#pragma once

#include <compare>

/// Quantities of the trade as strong types. Each wraps a `double` in the unit its name says; numbers enter through an
/// explicit constructor or a literal and leave through `.value()`. Points and differences differ: `Celsius` and `Ph`
/// are points (point - point gives a difference; point + point does not compile).
namespace halfcell::core {

/// Common base: one number, ordered, explicit both ways. `Self` keeps the kinds apart.
template <class Self>
class Quantity {
public:
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : m_value(value) {}
    [[nodiscard]] constexpr double value() const { return m_value; }
    friend constexpr auto operator<=>(const Quantity& a, const Quantity& b) { return a.m_value <=> b.m_value; }
    friend constexpr bool operator==(const Quantity& a, const Quantity& b) { return a.m_value == b.m_value; }

protected:
    double m_value = 0.0;
};

/// A quantity that adds and scales freely.
template <class Self>
class LinearQuantity : public Quantity<Self> {
public:
    using Quantity<Self>::Quantity;
    friend constexpr Self operator+(const Self& a, const Self& b) { return Self(a.value() + b.value()); }
    friend constexpr Self operator-(const Self& a, const Self& b) { return Self(a.value() - b.value()); }
    friend constexpr Self operator-(const Self& a) { return Self(-a.value()); }
    friend constexpr Self operator*(const Self& a, double f) { return Self(a.value() * f); }
    friend constexpr Self operator*(double f, const Self& a) { return Self(a.value() * f); }
    friend constexpr Self operator/(const Self& a, double f) { return Self(a.value() / f); }
    friend constexpr double operator/(const Self& a, const Self& b) { return a.value() / b.value(); }
};

/// A point on a scale whose differences have their own type `Delta`.
template <class Self, class Delta>
class PointQuantity : public Quantity<Self> {
public:
    using Quantity<Self>::Quantity;
    friend constexpr Delta operator-(const Self& a, const Self& b) { return Delta(a.value() - b.value()); }
    friend constexpr Self operator+(const Self& a, const Delta& d) { return Self(a.value() + d.value()); }
    friend constexpr Self operator-(const Self& a, const Delta& d) { return Self(a.value() - d.value()); }
};

/// Potential difference in millivolts.
class Millivolt : public LinearQuantity<Millivolt> {
public:
    using LinearQuantity::LinearQuantity;
};
/// Difference of two pH values.
class PhDelta : public LinearQuantity<PhDelta> {
public:
    using LinearQuantity::LinearQuantity;
};
/// pH value (a point).
class Ph : public PointQuantity<Ph, PhDelta> {
public:
    using PointQuantity::PointQuantity;
};
/// Difference of two temperatures in kelvin.
class CelsiusDelta : public LinearQuantity<CelsiusDelta> {
public:
    using LinearQuantity::LinearQuantity;
};
/// Temperature in degrees Celsius (a point).
class Celsius : public PointQuantity<Celsius, CelsiusDelta> {
public:
    using PointQuantity::PointQuantity;
    /// Thermodynamic temperature in kelvin (ITS-90 definition: t + 273.15).
    [[nodiscard]] constexpr double kelvin() const { return m_value + 273.15; }
};
/// Share in per cent: 98.5 for 98.5 %.
class Percent : public LinearQuantity<Percent> {
public:
    using LinearQuantity::LinearQuantity;
    [[nodiscard]] constexpr double fraction() const { return m_value / 100.0; }
    [[nodiscard]] static constexpr Percent fromFraction(double f) { return Percent(100.0 * f); }
};
/// Electrode slope in millivolts per pH unit, positive for a working sensor.
class MillivoltPerPh : public LinearQuantity<MillivoltPerPh> {
public:
    using LinearQuantity::LinearQuantity;
};
/// Resistance in megaohms (glass).
class Megaohm : public LinearQuantity<Megaohm> {
public:
    using LinearQuantity::LinearQuantity;
};
/// Resistance in kiloohms (reference).
class Kiloohm : public LinearQuantity<Kiloohm> {
public:
    using LinearQuantity::LinearQuantity;
};
/// Duration in seconds as typed or measured (waits, response).
class Seconds : public LinearQuantity<Seconds> {
public:
    using LinearQuantity::LinearQuantity;
};

[[nodiscard]] constexpr Millivolt operator*(MillivoltPerPh slope, PhDelta d) { return Millivolt(slope.value() * d.value()); }
[[nodiscard]] constexpr PhDelta operator/(Millivolt e, MillivoltPerPh slope) { return PhDelta(e.value() / slope.value()); }
[[nodiscard]] constexpr MillivoltPerPh operator/(Millivolt e, PhDelta d) { return MillivoltPerPh(e.value() / d.value()); }

/// The standard temperature of the trade, 25 degC.
inline constexpr Celsius kStandardTemperature{25.0};

namespace literals {
constexpr Millivolt operator""_mV(long double v) { return Millivolt(static_cast<double>(v)); }
constexpr Millivolt operator""_mV(unsigned long long v) { return Millivolt(static_cast<double>(v)); }
constexpr Ph operator""_pH(long double v) { return Ph(static_cast<double>(v)); }
constexpr Ph operator""_pH(unsigned long long v) { return Ph(static_cast<double>(v)); }
constexpr Celsius operator""_degC(long double v) { return Celsius(static_cast<double>(v)); }
constexpr Celsius operator""_degC(unsigned long long v) { return Celsius(static_cast<double>(v)); }
constexpr Percent operator""_pct(long double v) { return Percent(static_cast<double>(v)); }
constexpr Percent operator""_pct(unsigned long long v) { return Percent(static_cast<double>(v)); }
constexpr Seconds operator""_s(long double v) { return Seconds(static_cast<double>(v)); }
constexpr Seconds operator""_s(unsigned long long v) { return Seconds(static_cast<double>(v)); }
}  // namespace literals

}  // namespace halfcell::core
