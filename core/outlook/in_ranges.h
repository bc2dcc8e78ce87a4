#pragma once

#include <algorithm>
#include <cstddef>
#include <thread>
#include <vector>

namespace halfcell::core::outlook {

/// Calls work(first, last) on equal ranges of 0..n, one a thread. Each item has its own result slot, so the number of threads
/// changes no byte.
template <class Work>
void inRanges(std::size_t n, unsigned threads, const Work& work)
{
    const std::size_t parts = std::clamp<std::size_t>(threads, 1, std::max<std::size_t>(n, 1));
    std::vector<std::jthread> pool;
    for (std::size_t p = 1; p < parts; ++p)
        pool.emplace_back([&work, first = n * p / parts, last = n * (p + 1) / parts] { work(first, last); });
    work(std::size_t{0}, n / parts);
}

}  // namespace halfcell::core::outlook
