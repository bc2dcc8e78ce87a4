#include "core/diagnosis/tables.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace halfcell::core::diagnosis {

namespace {

std::unexpected<Error> wrong(std::string field, std::string detail, std::string remedy)
{
    auto e = failure(Errc::BadInput, std::move(detail), std::move(remedy));
    e.error().field = std::move(field);
    return e;
}

Result<void> check(const Network& n, const std::string& root)
{
    constexpr double kRounding = 1e-9;
    for (const auto& c : n.causes)
        if (!(c.weight >= 0.0) || !(c.severity >= 0.0 && c.severity <= 1.0))
            return wrong(root + "cause." + c.key, "a weight is not negative and a severity lies between 0 and 1", "check the digits");
    if (std::none_of(n.causes.begin(), n.causes.end(), [](const Cause& c) { return !c.shared && c.weight > 0.0; }))
        return wrong(root + "cause", "no cause has a weight", "give the causes weights");
    if (!(n.sharing >= 0.0 && n.sharing <= 10.0) || !(n.exponent >= 0.5 && n.exponent <= 1.5))
        return wrong("diagnosis", "shared_weight lies between 0 and 10, exponent between 0.5 and 1.5", "check the digits");
    for (const auto& o : n.observables) {
        const auto at = root + o.key;
        if (o.bands.size() < 2)
            return wrong(at + ".bands", "an observable needs two bands or more", "name them");
        if (!o.edges.empty() && o.edges.size() + 1 != o.bands.size())
            return wrong(at + ".edges", fmt::format("{} bands need {} edges, not {}", o.bands.size(), o.bands.size() - 1, o.edges.size()),
                         "give one edge between each two bands");
        if (!std::is_sorted(o.edges.begin(), o.edges.end(), std::less_equal<>{}))
            return wrong(at + ".edges", "edges ascend", "put them in order");
        if (o.test && !(o.test->minutes > 0.0))
            return wrong(at + ".test", "a test takes some minutes", "give minutes above 0");
        for (std::size_t m = 0; m < n.causes.size(); ++m) {
            const auto& line = o.likelihood[m];
            const auto field = at + ".percent." + n.causes[m].key;
            if (line.size() != o.bands.size())
                return wrong(field, fmt::format("{} bands need {} figures, not {}", o.bands.size(), o.bands.size(), line.size()),
                             "give one figure per band");
            const double sum = std::accumulate(line.begin(), line.end(), 0.0);
            if (std::fabs(sum - 1.0) > kRounding)
                return wrong(field, fmt::format("the line adds up to {} %, not 100", formatFixed(100.0 * sum, 1)), "mend a figure");
            if (*std::min_element(line.begin(), line.end()) < kLeastLikelihood - kRounding)
                return wrong(field, "a figure below 1 % would let one reading rule the cause out", "make it 1 or more");
        }
    }
    return {};
}

Result<void> check(const AdviceTables& a, const Network& n, const std::string& root)
{
    if (std::none_of(a.cures.begin(), a.cures.end(), [](const Cure& c) { return c.actions.empty(); }))
        return wrong(root, "one entry must leave the sensor alone", "add a cure without actions");
    for (const auto& c : a.cures) {
        if (!(c.minutes >= 0.0 && c.parts >= 0.0))
            return wrong(root + '.' + c.key, "minutes and parts are not negative", "check the digits");
        if (c.cures.size() != n.causes.size() ||
            std::any_of(c.cures.begin(), c.cures.end(), [](double x) { return !(x >= 0.0 && x <= 1.0); }))
            return wrong(root + '.' + c.key, "a chance of curing lies between 0 and 1", "check the digits");
    }
    return {};
}

}  // namespace

Result<void> consistent(const Tables& t)
{
    if (auto r = check(t.ph.network, "observable."); !r)
        return r;
    if (auto r = check(t.orp.network, "orp_observable."); !r)
        return r;
    if (auto r = check(t.ph.advice, t.ph.network, "cure"); !r)
        return r;
    if (auto r = check(t.orp.advice, t.orp.network, "orp_cure"); !r)
        return r;
    const auto& p = t.round.prior;
    if (std::fabs(p.none + p.wrongStandard + p.staleStandard + p.temperatureIgnored - 1.0) > 1e-9 ||
        std::min({p.none, p.wrongStandard, p.staleStandard, p.temperatureIgnored}) <= 0.0)
        return wrong("diagnosis.round.prior", "the shares of a round's causes are positive and add up to 1", "mend a figure");
    for (const auto& list : t.round.shifts)
        if (list.empty())
            return wrong("diagnosis.round", "each shared cause needs a shift", "add one");
    const bool carried = std::all_of(t.round.carryPct.begin(), t.round.carryPct.end(), [](double x) { return x > 0.0 && x <= 50.0; });
    if (!(t.round.carryPrior >= 0.0 && t.round.carryPrior < 1.0) || !carried || t.round.carryPct.empty() != (t.round.carryPrior == 0.0) ||
        t.round.carryLeast < 3)
        return wrong("diagnosis.round.carry_over", "a chance below 1, losses above 0 and 3 sensors or more", "check the digits");
    if (!t.prior.duties.contains("*"))
        return wrong("diagnosis.duty", "the duty \"*\" is missing", "add it: it holds where the application is not known");
    for (const auto& [key, d] : t.prior.duties)
        if (!(d.lifeMonths > 0.0 && d.cleanWeeks > 0.0 && d.film >= 0.0 && d.clog >= 0.0 && d.chloride >= 0.0 && d.breakage >= 0.0 &&
              d.glass > 0.0))
            return wrong("diagnosis.duty." + key, "rates are not negative; life, cleaning interval and glass are positive",
                         "check the digits");
    return {};
}

}  // namespace halfcell::core::diagnosis
