#include "core/calibration/figures.h"
#include "tests/core/calibration/draws.h"
#include "tests/core/calibration/visit_of_tests.h"

#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <map>
#include <vector>

// The uncertainties of the figures against draws of everything that goes into a visit (JCGM 101), on random calibrations of two and
// three standards at different temperatures, with readings that had not settled, bottles dipped in twice, a thermometer and a zero
// that all readings share. The draws go through an own solver and own tables, not through the fit or its linearisation.
namespace halfcell::core {
namespace {

constexpr int kVisits = 20;
constexpr int kTries = 40'000;
constexpr double kWithin = 0.03;  // eight times the statistical error of a standard deviation from so many draws

constexpr double kGas = 8.31446261815324, kCharge = 96485.33212;

double slopeAt(double temp)
{
    return 1000.0 * std::log(10.0) * kGas * (temp + 273.15) / kCharge;
}

/// A standard's table, linear between its rows.
class Course {
public:
    Course() = default;
    explicit Course(std::vector<std::pair<double, double>> rows) : m_rows(std::move(rows)) {}
    [[nodiscard]] double at(double temp) const
    {
        std::size_t i = 1;
        while (i + 1 < m_rows.size() && m_rows[i].first < temp)
            ++i;
        const auto& [t0, a] = m_rows[i - 1];
        const auto& [t1, b] = m_rows[i];
        return a + (b - a) * (temp - t0) / (t1 - t0);
    }

private:
    std::vector<std::pair<double, double>> m_rows;
};

struct Line {
    double offset = 0.0, efficiency = 0.0;
};

/// Weighted least squares of mV on k (pH - 7), by the normal equations.
Line solve(const std::vector<double>& x, const std::vector<double>& e, const std::vector<double>& weights)
{
    double w = 0.0, wx = 0.0, we = 0.0, wxx = 0.0, wxe = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        w += weights[i];
        wx += weights[i] * x[i];
        we += weights[i] * e[i];
        wxx += weights[i] * x[i] * x[i];
        wxe += weights[i] * x[i] * e[i];
    }
    const double down = (w * wxe - wx * we) / (w * wxx - wx * wx);
    return {(we - down * wx) / w, -down};
}

struct Spread {
    double n = 0.0, mean = 0.0, squares = 0.0;
    void add(double v)
    {
        n += 1.0;
        const double d = v - mean;
        mean += d / n;
        squares += d * (v - mean);
    }
    [[nodiscard]] double sd() const { return std::sqrt(squares / (n - 1.0)); }
};

/// One dip as drawn.
struct DipDrawn {
    std::string bottle;
    double temp = 25.0, mv = 0.0, own = 0.0, rest = 0.0;
};

TEST(MonteCarloFigures, ConfirmTheUncertaintiesOfAVisit)
{
    test::Draws draws(20261126);
    double worst = 0.0;
    int threes = 0, unsettled = 0, twice = 0, acid = 0;
    for (int visitNumber = 0; visitNumber < kVisits; ++visitNumber) {
        // A visit: an efficiency and an offset, two or three bottles with certificates, some dipped in twice.
        const double efficiency = draws.between(0.75, 1.01), offset = draws.between(-45.0, 45.0);
        const bool three = draws.uniform() < 0.5, again = draws.uniform() < 0.4;
        std::vector<std::string> standards{"ph7.00", draws.uniform() < 0.5 || three ? "ph4.01" : "ph10.01"};
        if (three)
            standards.emplace_back("ph10.01");
        if (again)
            standards.emplace_back("ph7.00");
        std::vector<Lot> lots;
        std::map<std::string, double> uOfBottle;
        for (const auto& standard : standards)
            if (!uOfBottle.contains(standard)) {
                Lot lot;
                lot.lot = "L-" + standard;
                lot.standard = standard;
                lot.certified_ph = *StandardsBook::shipped().nominalPh(standard) + draws.between(-0.02, 0.02);
                lot.u_ph = draws.between(0.005, 0.02);
                uOfBottle[standard] = *lot.u_ph;
                lots.push_back(lot);
            }
        const StandardsBook book = StandardsBook::with({}, lots);
        const TemperatureSource source = draws.uniform() < 0.5 ? TemperatureSource::Measured : TemperatureSource::Carried;
        FigureContext context;
        context.standards = &book;
        context.acidBefore = draws.uniform() < 0.3;
        const double uZero = context.acidBefore ? context.budget.u_zero_after_acid_mv : context.budget.u_zero_mv;
        const double uThermometer =
            source == TemperatureSource::Measured ? context.budget.u_thermometer_k : context.budget.u_thermometer_carried_k;

        Visit visit;
        visit.visit = "drawn";
        visit.when = {.utcSeconds = 1'772'000'000};
        std::vector<DipDrawn> dips;
        std::map<std::string, Course> courses;
        const double base = draws.between(12.0, 30.0);
        for (const auto& standard : standards) {
            DipDrawn d;
            d.bottle = standard;
            d.temp = base + draws.between(-3.0, 3.0);
            courses.emplace(standard, Course(book.table(standard, "L-" + standard)));
            d.mv = offset - efficiency * slopeAt(d.temp) * (courses.at(standard).at(d.temp) - 7.0) + 0.3 * draws.normal();
            const double t90 = draws.between(15.0, 45.0), wait = t90 * draws.between(1.2, 3.0);
            const bool first = dips.empty();
            const double settling = first ? context.budget.u_settling_first_mv : context.budget.u_settling_later_mv;
            d.rest = first ? 0.0 : std::fabs(d.mv - dips.back().mv) * std::pow(10.0, -wait / t90);
            d.own = std::hypot(context.budget.u_reading_mv, settling);
            Reading r;
            r.when = {.utcSeconds = visit.when.utcSeconds + 120 * static_cast<std::int64_t>(dips.size())};
            r.standard = standard;
            r.lot = "L-" + standard;
            r.mv = d.mv;
            r.temp_degc = d.temp;
            r.temp_source = source;
            r.wait_s = wait;
            r.t90_s = t90;
            r.dip = first || standard != standards.front() ? 1 : 2;
            visit.readings.push_back(r);
            dips.push_back(d);
        }
        threes += three ? 1 : 0;
        twice += again ? 1 : 0;
        acid += context.acidBefore ? 1 : 0;
        context.process_ph = draws.between(7.2, standards[1] == "ph4.01" && !three ? 7.9 : 9.5);
        context.process_temp_c = draws.between(10.0, 45.0);
        const auto figures = figuresOf(visit, Phase::AsFound, context, false);
        ASSERT_TRUE(figures.u_efficiency_pct && figures.u_offset_mv && figures.u_at_process_ph) << visitNumber;

        std::vector<double> weights;
        bool moving = false;
        for (const auto& d : dips) {
            weights.push_back(1.0 / (d.own * d.own + d.rest * d.rest / 3.0));
            moving = moving || d.rest > 1.0;
        }
        unsettled += moving ? 1 : 0;
        // What the sensor gives in the process, by the figures; then everything is drawn.
        const double uProcess = std::hypot(context.budget.u_reading_mv, context.budget.u_settling_first_mv);
        const double inProcess =
            *figures.offset_mv - *figures.efficiency_pct / 100.0 * slopeAt(*context.process_temp_c) * (*context.process_ph - 7.0);
        Spread offsets, efficiencies, readings;
        std::vector<double> x(dips.size()), e(dips.size());
        for (int i = 0; i < kTries; ++i) {
            std::map<std::string, double> wrongBy;
            for (const auto& [bottle, u] : uOfBottle)
                wrongBy[bottle] = u * draws.normal();
            const double thermometer = uThermometer * draws.normal(), zero = uZero * draws.normal();
            for (std::size_t j = 0; j < dips.size(); ++j) {
                const auto& d = dips[j];
                const double temp = d.temp + thermometer;
                x[j] = slopeAt(temp) * (courses.at(d.bottle).at(temp) + wrongBy[d.bottle] - 7.0);
                e[j] = d.mv + d.own * draws.normal() + draws.between(-1.0, 1.0) * d.rest + zero;
            }
            const auto line = solve(x, e, weights);
            offsets.add(line.offset);
            efficiencies.add(100.0 * line.efficiency);
            const double temp = *context.process_temp_c + context.budget.u_thermometer_k * draws.normal();
            readings.add(7.0 + (line.offset - inProcess - uProcess * draws.normal()) / (line.efficiency * slopeAt(temp)));
        }
        const auto agrees = [&](const Spread& drawn, double u, const char* what) {
            worst = std::max(worst, std::fabs(drawn.sd() / u - 1.0));
            EXPECT_NEAR(drawn.sd() / u, 1.0, kWithin) << what << " of visit " << visitNumber << ": u " << u << ", drawn " << drawn.sd();
        };
        agrees(offsets, *figures.u_offset_mv, "offset");
        agrees(efficiencies, *figures.u_efficiency_pct, "efficiency");
        agrees(readings, *figures.u_at_process_ph, "reading in the process");
    }
    std::cout << kVisits << " calibrations, " << threes << " of three standards, " << twice << " with a bottle dipped in twice, "
              << unsettled << " with readings not settled, " << acid << " after acid: greatest difference " << 100.0 * worst << " %\n";
    // The seed covers what the test is about.
    EXPECT_GE(threes, 5);
    EXPECT_GE(kVisits - threes, 5);
    EXPECT_GE(unsettled, 5);
    EXPECT_GE(twice, 3);
    EXPECT_GE(acid, 2);
}

}  // namespace
}  // namespace halfcell::core
