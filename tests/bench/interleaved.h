#pragma once

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <vector>

/// Ratios to a floor that is measured in the same run, turn by turn: absolute times vary with the machine's neighbours,
/// ratios hardly. A benchmark iteration is one round.
namespace halfcell::bench {

template <class Work>
double secondsOf(Work&& work)
{
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// One round per iteration: the floor, then the contender, each once to warm up before. The time reported is the contender's;
/// counters: `ratio` (median over the rounds), `least`, `most`, and the `goal`.
template <class Floor, class Contender>
void ratioToFloor(benchmark::State& state, double goal, Floor&& floor, Contender&& contender)
{
    floor();
    contender();
    std::vector<double> ratios;
    for ([[maybe_unused]] auto round : state) {
        const double least = secondsOf(floor);
        const double taken = secondsOf(contender);
        state.SetIterationTime(taken);
        ratios.push_back(taken / least);
    }
    std::ranges::sort(ratios);
    state.counters["ratio"] = ratios[ratios.size() / 2];
    state.counters["least"] = ratios.front();
    state.counters["most"] = ratios.back();
    state.counters["goal"] = goal;
}

}  // namespace halfcell::bench
