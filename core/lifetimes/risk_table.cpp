#include "core/lifetimes/risk_table.h"

#include <fmt/format.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

namespace halfcell::core {
namespace {

struct Keyed {
    std::uint64_t bits;
    std::uint32_t index;
};

/// Ascending order of positive finite ages: least significant digit first, eleven bits at a time, passes in which all ages share
/// the digit left out.
void sortByAge(std::vector<Keyed>& keys)
{
    constexpr unsigned kDigit = 11, kPasses = 6;
    constexpr std::size_t kBuckets = std::size_t{1} << kDigit;
    constexpr std::uint64_t kMask = kBuckets - 1;
    std::vector<std::array<std::uint32_t, kBuckets>> counts(kPasses);
    for (auto& c : counts)
        c.fill(0);
    for (const Keyed& k : keys)
        for (unsigned pass = 0; pass < kPasses; ++pass)
            ++counts[pass][(k.bits >> (pass * kDigit)) & kMask];
    std::vector<Keyed> other(keys.size());
    for (unsigned pass = 0; pass < kPasses; ++pass) {
        auto& count = counts[pass];
        if (count[(keys.front().bits >> (pass * kDigit)) & kMask] == keys.size())
            continue;
        std::uint32_t sum = 0;
        for (std::uint32_t& c : count) {
            const std::uint32_t n = c;
            c = sum;
            sum += n;
        }
        for (const Keyed& k : keys)
            other[count[(k.bits >> (pass * kDigit)) & kMask]++] = k;
        keys.swap(other);
    }
}

}  // namespace

Result<void> checkLives(std::span<const LifeRecord> lives)
{
    if (lives.empty())
        return failure(Errc::TooFewReadings, "no lives to look at", "give at least one");
    for (std::size_t i = 0; i < lives.size(); ++i) {
        const LifeRecord& l = lives[i];
        if (!(l.entry >= 0.0 && l.exit > l.entry && std::isfinite(l.exit))) {
            Error error{Errc::BadInput, fmt::format("life {}: an age from {} to {} is no life", i + 1, l.entry, l.exit)};
            error.line = i + 1;
            error.field = "time";
            error.remedy = "the age at the end must be positive and above the age on entry";
            return std::unexpected(error);
        }
        if (!(l.weight > 0.0 && std::isfinite(l.weight))) {
            Error error{Errc::BadInput, fmt::format("life {}: a count of {} is no count", i + 1, l.weight)};
            error.line = i + 1;
            error.field = "count";
            error.remedy = "give a positive count, or leave the row out";
            return std::unexpected(error);
        }
    }
    return {};
}

Result<std::vector<RiskRow>> riskTable(std::span<const LifeRecord> lives)
{
    if (const auto ok = checkLives(lives); !ok)
        return std::unexpected(ok.error());
    std::vector<Keyed> exits, entries;
    exits.reserve(lives.size());
    for (std::size_t i = 0; i < lives.size(); ++i) {
        exits.push_back({std::bit_cast<std::uint64_t>(lives[i].exit), static_cast<std::uint32_t>(i)});
        if (lives[i].entry > 0.0)
            entries.push_back({std::bit_cast<std::uint64_t>(lives[i].entry), static_cast<std::uint32_t>(i)});
    }
    sortByAge(exits);
    if (!entries.empty())
        sortByAge(entries);

    double inView = 0.0;
    for (const LifeRecord& l : lives)
        if (l.entry <= 0.0)
            inView += l.weight;
    std::vector<RiskRow> rows;
    rows.reserve(lives.size());
    std::size_t entered = 0;
    for (std::size_t i = 0; i < exits.size();) {
        RiskRow row;
        row.time = std::bit_cast<double>(exits[i].bits);
        // Those that came into view before this age; one that enters at it counts from the next on.
        while (entered < entries.size() && std::bit_cast<double>(entries[entered].bits) < row.time)
            inView += lives[entries[entered++].index].weight;
        row.atRisk = inView;
        for (; i < exits.size() && std::bit_cast<double>(exits[i].bits) == row.time; ++i) {
            const LifeRecord& l = lives[exits[i].index];
            (l.failed ? row.ended : row.left) += l.weight;
        }
        inView -= row.ended + row.left;
        rows.push_back(row);
    }
    return rows;
}

}  // namespace halfcell::core
