#pragma once

#include "core/simulator/simulate.h"

#include <map>
#include <string>
#include <string_view>

/// The demo plant as the tests look at it: built once per test program.
namespace halfcell::core {

inline SimulationSettings demoSettings(std::uint64_t seed = 1)
{
    SimulationSettings settings;
    settings.seed = seed;
    settings.until = *parseInstant("2026-03-02", DateMeans::EndOfDay);
    return settings;
}

inline const SimulatedPlant& demoPlant()
{
    static const SimulatedPlant plant = simulatePlant(demoSettings());
    return plant;
}

inline const Visit* visitOf(const SimulatedPlant& plant, std::string_view key)
{
    static std::map<const SimulatedPlant*, std::map<std::string, const Visit*, std::less<>>> known;
    auto& index = known[&plant];
    if (index.empty())
        for (const Visit& visit : plant.records.visits)
            index.emplace(visit.visit, &visit);
    const auto it = index.find(key);
    return it == index.end() ? nullptr : it->second;
}

/// Faults of a code, in visit order.
inline std::vector<TruthFault> faultsOf(const SimulatedPlant& plant, std::string_view code)
{
    std::vector<TruthFault> found;
    for (const TruthFault& fault : plant.faults)
        if (fault.code == code)
            found.push_back(fault);
    return found;
}

}  // namespace halfcell::core
