#pragma once

#include "core/lifetimes/life_record.h"

#include <vector>

/// Two invented groups with late entry, months: entry, exit, reason (0 in service, 1 glass, 2 reference). Their figures were
/// made with R's package survival; tests allow one unit of the last printed digit.
namespace halfcell::core {

inline std::vector<LifeRecord> groupA()
{
    return {{0, 3.1, true, 1, 1}, {0, 5.4, true, 1, 2}, {0, 7.0, true, 1, 1},  {2, 8.2, false, 1, 0},
            {0, 9.6, true, 1, 1}, {4, 11.5, true, 1, 1}, {0, 12.0, false, 1, 0}, {6, 14.3, true, 1, 2}};
}
inline std::vector<LifeRecord> groupB()
{
    return {{0, 6.2, true, 1, 2},   {0, 9.9, false, 1, 0}, {0, 11.8, true, 1, 1},  {3, 13.0, true, 1, 1},
            {0, 15.5, false, 1, 0}, {0, 17.4, true, 1, 2}, {5, 18.0, false, 1, 0}, {0, 20.1, true, 1, 1}};
}
inline std::vector<LifeRecord> bothGroups()
{
    auto all = groupA();
    const auto b = groupB();
    all.insert(all.end(), b.begin(), b.end());
    return all;
}

}  // namespace halfcell::core
