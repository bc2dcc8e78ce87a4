#include "core/calibration/line_fit.h"
#include "core/electrochemistry/standards.h"
#include "tests/bench/interleaved.h"

#include <benchmark/benchmark.h>

#include <array>
#include <cstdint>
#include <vector>

// G9: a three-point weighted fit with its covariance and middle residual, the standards taken from their tables, against one
// read of the inputs and one write of the outputs (96 bytes in, 48 bytes out for each of 500,000 fits).
namespace {

using namespace halfcell;

constexpr std::size_t kFits = 500'000;
constexpr int kRounds = 9;
constexpr double kGoal = 10.0;

struct In {
    std::array<double, 3> e_mv, temp_c, u_e_mv;
    double u_ph, u_t_k, u_zero_mv;
};
struct Out {
    double e0_mv, s, v00, v01, v11, residual_mv;
};
static_assert(sizeof(In) == 96 && sizeof(Out) == 48);

std::vector<In> inputs()
{
    std::vector<In> all(kFits);
    std::uint64_t state = 20260302;
    const auto uniform = [&] {
        state = state * 6364136223846793005U + 1442695040888963407U;
        return static_cast<double>(state >> 11U) * 0x1.0p-53;
    };
    for (In& in : all) {
        for (std::size_t i = 0; i < 3; ++i) {
            in.temp_c[i] = 12.0 + 20.0 * uniform();
            in.e_mv[i] = 172.0 - 172.0 * static_cast<double>(i) + 6.0 * uniform();
            in.u_e_mv[i] = 0.5 + uniform();
        }
        in.u_ph = 0.012;
        in.u_t_k = 0.5;
        in.u_zero_mv = 1.5;
    }
    return all;
}

/// A standard's rows as a plain array, five kelvin apart from 0 degC: as a loop over a fleet would hold them.
struct Rows {
    std::array<double, 11> ph{};
    explicit Rows(const char* standard)
    {
        const auto table = core::StandardsBook::shipped().table(standard);
        for (std::size_t i = 0; i < ph.size(); ++i)
            ph[i] = table.at(i).second;
    }
    void at(double temp_c, core::FitPoint& point) const
    {
        const auto row = static_cast<std::size_t>(temp_c / 5.0);
        point.dph_dt = (ph[row + 1] - ph[row]) / 5.0;
        point.ph = ph[row] + point.dph_dt * (temp_c - 5.0 * static_cast<double>(row));
    }
};

void threePointFit(benchmark::State& state)
{
    const std::vector<In> in = inputs();
    std::vector<Out> out(kFits);
    const std::array<Rows, 3> standards{Rows("ph4.01"), Rows("ph7.00"), Rows("ph10.01")};
    const auto floor = [&] {
        for (std::size_t f = 0; f < kFits; ++f) {
            const In& i = in[f];
            out[f] = {i.e_mv[0] + i.u_ph,        i.e_mv[1] + i.u_t_k,       i.e_mv[2] + i.u_zero_mv,
                      i.temp_c[0] + i.u_e_mv[0], i.temp_c[1] + i.u_e_mv[1], i.temp_c[2] + i.u_e_mv[2]};
        }
        benchmark::DoNotOptimize(out.data());
        benchmark::ClobberMemory();
    };
    const auto fit = [&] {
        std::array<core::FitPoint, 3> points;
        for (std::size_t i = 0; i < 3; ++i) {
            points[i].lotGroup = static_cast<int>(i);
            points[i].thermometerGroup = 0;
        }
        for (std::size_t f = 0; f < kFits; ++f) {
            const In& read = in[f];
            for (std::size_t i = 0; i < 3; ++i) {
                points[i].e_mv = read.e_mv[i];
                points[i].temp_c = read.temp_c[i];
                points[i].u_e_mv = read.u_e_mv[i];
                points[i].u_ph = read.u_ph;
                points[i].u_t_k = read.u_t_k;
                standards[i].at(read.temp_c[i], points[i]);
            }
            const auto line = core::fitLine(points, {.u_zero_mv = read.u_zero_mv});
            if (!line) {
                state.SkipWithError("a fit failed");
                return;
            }
            out[f] = {line->e0_mv, line->s, line->v00, line->v01, line->v11, core::residual(points[1], *line)};
        }
        benchmark::DoNotOptimize(out.data());
        benchmark::ClobberMemory();
    };
    bench::ratioToFloor(state, kGoal, floor, fit);
}
BENCHMARK(threePointFit)
    ->Name("G9 three-point weighted fit with covariance")
    ->UseManualTime()
    ->Iterations(kRounds)
    ->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
