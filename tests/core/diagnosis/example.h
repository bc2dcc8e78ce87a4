#pragma once

#include "core/rules/rule_set.h"

#include <initializer_list>
#include <string_view>
#include <utility>

/// The worked example of one sensor: municipal wastewater, sealed double-junction gel, ten months, a routine visit; efficiency
/// low, offset about zero and steady, slow, a plain coating, the loop off the grab sample, never dry, read after a short wait.
/// Its figures were worked out by hand (and by another program) from the shipped tables, each likelihood at its full weight.
namespace halfcell::core::diagnosis::test {

inline const KindTables& ph()
{
    static const KindTables tables = [] {
        KindTables full = RuleSet::shipped().diagnosisTables().ph;
        full.network.exponent = 1.0;
        return full;
    }();
    return tables;
}

inline std::size_t cause(std::string_view key)
{
    return ph().network.cause(key).value();
}

inline Bands bandsOf(std::initializer_list<std::pair<std::string_view, std::size_t>> seen)
{
    Bands bands(ph().network.observables.size());
    for (const auto& [key, band] : seen)
        bands[ph().network.observable(key).value()] = band;
    return bands;
}

inline Setting exampleSetting()
{
    Setting s;
    s.application = "wastewater";
    s.reference = ReferenceDesign::DoubleGel;
    s.sensing = Sensing::Bulb;
    s.ageMonths = 10.0;
    s.round = {0.955, 0.005, 0.010, 0.030};
    return s;
}

inline Bands exampleSeen()
{
    return bandsOf({{"eff", 3}, {"off", 1}, {"trd", 2}, {"t90", 1}, {"coat", 1}, {"grab", 1}, {"dry", 0}, {"wait", 1}});
}

inline Weighing exampleWeighing()
{
    const auto prior = priorOf(ph().network, RuleSet::shipped().diagnosisTables().prior, exampleSetting());
    return weigh(ph().network, prior, exampleSeen());
}

}  // namespace halfcell::core::diagnosis::test
