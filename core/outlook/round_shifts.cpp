#include "core/outlook/fixed_exp.h"
#include "core/outlook/replay.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace halfcell::core::outlook {
namespace {

constexpr double kBadPrior = 0.02;  // "a wrong bottle on this round"
constexpr double kBadFactor = 64.0;
constexpr std::size_t kBadLeast = 3;
constexpr std::int64_t kBadRestDays = 91;  // else a group's real decline becomes an endless row of bad rounds
constexpr double kHuber = 2.0;

double huber(double z)
{
    const double a = std::abs(z);
    return a <= kHuber ? 0.5 * z * z : kHuber * (a - 0.5 * kHuber);
}

struct Estimate {
    double b = 0.0, var = 0.0, cost = 0.0;  ///< cost: what the prior and the members pay
};

Estimate estimate(const Innovation* members, std::size_t k, double m0, double v0)
{
    double b = m0;
    if (k >= 3) {
        std::vector<double> values;
        for (std::size_t i = 0; i < k; ++i)
            values.push_back(members[i].value);
        std::ranges::sort(values);
        b = k % 2 == 1 ? values[k / 2] : 0.5 * (values[k / 2 - 1] + values[k / 2]);
    }
    double precision = 1.0 / v0;
    for (int step = 0; step < 4; ++step) {
        double sum = m0 / v0;
        precision = 1.0 / v0;
        for (std::size_t i = 0; i < k; ++i) {
            const double off = std::abs(members[i].value - b), root = std::sqrt(members[i].var);
            const double a = (off > kHuber * root ? kHuber * root / off : 1.0) / members[i].var;
            sum += a * members[i].value;
            precision += a;
        }
        b = sum / precision;
    }
    Estimate e{.b = b, .var = 1.0 / precision, .cost = 0.5 * (b - m0) * (b - m0) / v0};
    for (std::size_t i = 0; i < k; ++i)
        e.cost += huber((members[i].value - b) / std::sqrt(members[i].var));
    return e;
}

}  // namespace

std::vector<RoundShift> freshRounds(const Shop& shop, const FleetNumbers& fleet)
{
    const double v0 = fleet.sharedSd * fleet.sharedSd + fleet.roundSd * fleet.roundSd;
    return std::vector<RoundShift>(shop.rounds.size(), RoundShift{.shift = 0.0, .var = v0, .logTerm = 0.0, .bad = false, .members = 0});
}

std::vector<RoundShift> roundShifts(const Shop& shop, const FleetNumbers& fleet, std::vector<Innovation> innovations)
{
    std::vector<RoundShift> shifts = freshRounds(shop, fleet);
    std::ranges::stable_sort(innovations, {}, &Innovation::round);
    const double lotVar = fleet.sharedSd * fleet.sharedSd, roundVar = fleet.roundSd * fleet.roundSd;
    struct Carried {
        double shift, var;
    };
    std::vector<Carried> carried(shop.rounds.size(), Carried{0.0, lotVar});
    std::map<std::string, std::int64_t> lastBad;
    std::size_t i = 0;
    for (std::size_t r = 0; r < shop.rounds.size(); ++r) {
        const RoundKey& key = shop.rounds[r];
        const Carried from = key.before ? carried[*key.before] : Carried{0.0, lotVar};
        std::size_t k = 0;
        while (i + k < innovations.size() && innovations[i + k].round == r)
            ++k;
        RoundShift& out = shifts[r];
        const double m0 = from.shift, v0 = from.var + roundVar;
        out.members = k;
        out.shift = m0;
        out.var = v0;
        carried[r] = from;
        if (k >= 2) {
            const Estimate plain = estimate(&innovations[i], k, m0, v0);
            const double lnPlain = -0.5 * (plain.b - m0) * (plain.b - m0) / v0 + 0.5 * fixedLog(plain.var / v0);
            out.shift = plain.b;
            out.var = plain.var;
            out.logTerm = lnPlain;
            const auto rest = lastBad.find(key.site);
            if (k >= kBadLeast && (rest == lastBad.end() || key.day - rest->second > kBadRestDays)) {
                const double vBad = v0 + kBadFactor * lotVar;
                const Estimate bad = estimate(&innovations[i], k, m0, vBad);
                const double a = fixedLog(1.0 - kBadPrior) - plain.cost + 0.5 * fixedLog(plain.var / v0);
                const double b = fixedLog(kBadPrior) - bad.cost + 0.5 * fixedLog(bad.var / vBad);
                const double pBad = 1.0 / (1.0 + fixedExp(std::clamp(a - b, -500.0, 500.0)));
                const double mixed = (1.0 - pBad) * plain.b + pBad * bad.b;
                out.var = (1.0 - pBad) * (plain.var + (plain.b - mixed) * (plain.b - mixed)) +
                          pBad * (bad.var + (bad.b - mixed) * (bad.b - mixed));
                out.shift = mixed;
                const double lnBad = -0.5 * (bad.b - m0) * (bad.b - m0) / vBad + 0.5 * fixedLog(bad.var / vBad);
                out.logTerm = fixedLog((1.0 - kBadPrior) * fixedExp(lnPlain) + kBadPrior * fixedExp(lnBad));
                out.bad = pBad > 0.5;
            }
            if (out.bad)
                lastBad[key.site] = key.day;
            else
                carried[r] = {out.shift, std::max(out.var - roundVar, 0.2 * lotVar)};
        }
        i += k;
    }
    return shifts;
}

}  // namespace halfcell::core::outlook
