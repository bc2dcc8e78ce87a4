#include "core/calibration/line_fit.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/units.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::core {
namespace {

constexpr double kLn10 = 2.302585092994045684;
/// k per kelvin, mV/(pH K): ln(10) R / F.
constexpr double kPerKelvin = 1000.0 * kLn10 * kGasConstant / kFaraday;

/// Points kept on the stack; more are worked out in a vector.
constexpr std::size_t kSmall = 8;

/// What the fit needs of one point: x = k(T) (pH - 7), its change per K, and the point's part in the sums.
struct Prepared {
    double w = 0.0;     ///< weight 1/u_e^2
    double x = 0.0;     ///< distance from pH 7 in mV of an ideal sensor
    double dxdt = 0.0;  ///< through k and through the standard's table
    double k = 0.0;
};

}  // namespace

double LineFit::u_e0() const
{
    return std::sqrt(v00);
}

double LineFit::u_s() const
{
    return std::sqrt(v11);
}

Result<LineFit> fitLine(std::span<const FitPoint> points, const FitBudget& budget)
{
    const std::size_t n = points.size();
    if (n < 2)
        return failure(Errc::TooFewReadings, "a line needs two readings", "read a second standard");
    std::array<Prepared, kSmall> small;
    std::vector<Prepared> large;
    Prepared* prepared = small.data();
    if (n > kSmall) {
        large.resize(n);
        prepared = large.data();
    }

    // Weighted sums of the normal equations of E = E0 - s x.
    double sw = 0.0, swx = 0.0, swe = 0.0;
    double check = 0.0, least = points[0].u_e_mv;
    for (std::size_t i = 0; i < n; ++i) {
        const FitPoint& p = points[i];
        check += p.e_mv + p.temp_c + p.ph + p.dph_dt + p.u_e_mv + p.u_ph + p.u_t_k;
        least = std::min(least, p.u_e_mv);
        Prepared& q = prepared[i];
        q.k = kPerKelvin * Celsius(p.temp_c).kelvin();
        q.x = q.k * (p.ph - 7.0);
        q.dxdt = kPerKelvin * (p.ph - 7.0) + q.k * p.dph_dt;
        q.w = 1.0 / (p.u_e_mv * p.u_e_mv);
        sw += q.w;
        swx += q.w * q.x;
        swe += q.w * p.e_mv;
    }
    if (!std::isfinite(check) || !std::isfinite(sw) || !(least > 0.0) || !(budget.u_zero_mv >= 0.0) || !std::isfinite(budget.u_zero_mv))
        return failure(Errc::BadInput, "a reading, temperature or uncertainty is no finite number above 0", "check the readings");
    const double meanX = swx / sw;
    const double meanE = swe / sw;
    double sxx = 0.0, sxe = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double d = prepared[i].x - meanX;
        sxx += prepared[i].w * d * d;
        sxe += prepared[i].w * d * (points[i].e_mv - meanE);
    }
    if (!(sxx > 1e-9 * sw))
        return failure(Errc::StandardsTooClose, "all standards are worth the same", "read a standard further away");

    LineFit fit;
    if (n == 2) {
        // The line through both, as one would by hand: the weights drop out.
        fit.s = (points[0].e_mv - points[1].e_mv) / (prepared[1].x - prepared[0].x);
        fit.e0_mv = points[0].e_mv + fit.s * prepared[0].x;
    } else {
        fit.s = -sxe / sxx;
        fit.e0_mv = meanE + fit.s * meanX;
    }

    // Sensitivities of (E0, s) to each reading e_i and to each distance x_i; implicit differentiation of the normal
    // equations, exact for n = 2 as well.
    //   ds/de_i = -w (x_i - meanX) / Sxx                   dE0/de_i = w / W + meanX ds/de_i
    //   ds/dx_i = -w [ r_i + s (x_i - meanX) ] / Sxx       dE0/dx_i = s w / W + meanX ds/dx_i,  r_i = e_i - (E0 - s x_i)
    const auto addTo = [](double& v00, double& v01, double& v11, double a, double b, double u) {
        const double u2 = u * u;
        v00 += a * a * u2;
        v01 += a * b * u2;
        v11 += b * b * u2;
    };
    std::array<std::array<double, 2>, kSmall> smallX;
    std::vector<std::array<double, 2>> largeX;
    std::array<double, 2>* jx = smallX.data();
    if (n > kSmall) {
        largeX.resize(n);
        jx = largeX.data();
    }
    for (std::size_t i = 0; i < n; ++i) {
        const Prepared& q = prepared[i];
        const double d = q.x - meanX;
        const double dsde = -q.w * d / sxx;
        const double de0de = q.w / sw + meanX * dsde;
        addTo(fit.v00, fit.v01, fit.v11, de0de, dsde, points[i].u_e_mv);
        const double r = points[i].e_mv - (fit.e0_mv - fit.s * q.x);
        const double dsdx = -(q.w * r + q.w * fit.s * d) / sxx;
        const double de0dx = q.w * fit.s / sw + meanX * dsdx;
        jx[i] = {de0dx, dsdx};
    }

    // One pH error per lot and one temperature error per thermometer: the sensitivities of the points that share it add;
    // of different stated uncertainties the largest counts.
    const auto shared = [&](auto groupOf, auto uOf, auto sensitivity) {
        for (std::size_t i = 0; i < n; ++i) {
            const int group = groupOf(points[i]);
            double a = jx[i][0] * sensitivity(i);
            double b = jx[i][1] * sensitivity(i);
            double u = uOf(points[i]);
            if (group >= 0) {
                bool first = true;
                for (std::size_t j = 0; j < i && first; ++j)
                    first = groupOf(points[j]) != group;
                if (!first)
                    continue;
                for (std::size_t j = i + 1; j < n; ++j)
                    if (groupOf(points[j]) == group) {
                        a += jx[j][0] * sensitivity(j);
                        b += jx[j][1] * sensitivity(j);
                        u = std::max(u, uOf(points[j]));
                    }
            }
            addTo(fit.v00, fit.v01, fit.v11, a, b, u);
        }
    };
    shared([](const FitPoint& p) { return p.lotGroup; }, [](const FitPoint& p) { return p.u_ph; },
           [&](std::size_t i) { return prepared[i].k; });
    shared([](const FitPoint& p) { return p.thermometerGroup; }, [](const FitPoint& p) { return p.u_t_k; },
           [&](std::size_t i) { return prepared[i].dxdt; });
    // A zero that wanders moves every reading alike: the offset alone.
    fit.v00 += budget.u_zero_mv * budget.u_zero_mv;
    return fit;
}

double residual(const FitPoint& point, const LineFit& fit)
{
    return point.e_mv - (fit.e0_mv - fit.s * kPerKelvin * Celsius(point.temp_c).kelvin() * (point.ph - 7.0));
}

std::vector<double> residuals(std::span<const FitPoint> points, const LineFit& fit)
{
    std::vector<double> result;
    result.reserve(points.size());
    for (const FitPoint& p : points)
        result.push_back(residual(p, fit));
    return result;
}

std::optional<double> legPct(const FitPoint& a, const FitPoint& b)
{
    const double xa = kPerKelvin * Celsius(a.temp_c).kelvin() * (a.ph - 7.0);
    const double xb = kPerKelvin * Celsius(b.temp_c).kelvin() * (b.ph - 7.0);
    if (std::abs(xb - xa) < 1e-9)
        return std::nullopt;
    return 100.0 * (a.e_mv - b.e_mv) / (xb - xa);
}

double ProcessReading::uWithoutJunction() const
{
    return std::sqrt(u_calibration * u_calibration + u_drift * u_drift + u_reading * u_reading + u_temperature * u_temperature);
}

double ProcessReading::u() const
{
    return std::hypot(uWithoutJunction(), u_junction);
}

Result<ProcessReading> uncertaintyAtPh(const LineFit& fit, double ph, const ProcessInputs& in)
{
    const double s = fit.s + in.drift_s;
    if (!(s > 0.05))
        return failure(Errc::OutOfRange, "the slope is too small to read a pH with it", "check the sensor first");
    const double kelvin = Celsius(in.temp_c).kelvin();
    const double c0 = 1.0 / (s * kPerKelvin * kelvin);
    const double cs = -(ph - 7.0) / s;
    const double ct = -(ph - 7.0) / kelvin;
    const auto squared = [](double x) { return x * x; };
    ProcessReading reading;
    reading.ph = ph;
    reading.u_calibration = std::sqrt(std::max(0.0, c0 * c0 * fit.v00 + cs * cs * fit.v11 + 2.0 * c0 * cs * fit.v01));
    reading.u_drift = std::sqrt(squared(c0 * in.u_drift_e0_mv) + squared(cs * in.u_drift_s));
    reading.u_reading = std::abs(c0) * in.u_e_mv;
    reading.u_temperature = std::abs(ct) * in.u_t_k;
    reading.u_junction = in.u_junction_ph;
    return reading;
}

Result<ProcessReading> readingToPh(const LineFit& fit, double e_mv, const ProcessInputs& in)
{
    const double s = fit.s + in.drift_s;
    if (!(s > 0.05))
        return failure(Errc::OutOfRange, "the slope is too small to read a pH with it", "check the sensor first");
    const double ph = 7.0 + (fit.e0_mv + in.drift_e0_mv - e_mv) / (s * kPerKelvin * Celsius(in.temp_c).kelvin());
    return uncertaintyAtPh(fit, ph, in);
}

}  // namespace halfcell::core
