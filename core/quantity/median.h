#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace halfcell::core {

/// The middle value, of an even number the mean of the two middle ones; 0 of none. In the values' unit.
[[nodiscard]] inline double medianOf(std::vector<double> values)
{
    if (values.empty())
        return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, middle);
    if (values.size() % 2 == 1)
        return *middle;
    return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

}  // namespace halfcell::core
