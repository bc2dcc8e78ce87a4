#pragma once

#include "core/fleet/keys.h"
#include "core/working/working.h"

#include <optional>
#include <string>
#include <vector>

namespace halfcell::core {

/// A reason that speaks for (or against) a finding, with the readings behind it.
struct Because {
    enum class Side { For, Against, NotMeasured, NotPossible };
    Side side = Side::For;
    std::string text;  ///< "t90 95 -> 24 s after acid"; ASCII, screens replace the minus
    bool operator==(const Because&) const = default;
};

/// The cheapest test that would tell the leading findings apart.
struct NextTest {
    std::string test;  ///< key: stir, dilution, second_bottle, short_open, cable, glass_resistance, reread, ...
    double minutes = 0;
    std::string splits;  ///< what it tells apart, in words
    bool operator==(const NextTest&) const = default;
};

/// One thing that is (probably) so. Rules give no probability (absent); the probabilistic diagnosis fills it in.
struct Finding {
    FindingCode code = FindingCode::Healthy;
    std::string title;
    std::optional<double> probability;  ///< 0 to 1
    std::vector<Because> because;
    std::optional<NextTest> next_test;
    std::optional<ActionKey> action;    ///< never one the design forbids
    std::vector<std::string> cautions;  ///< texts
    bool operator==(const Finding&) const = default;
};

}  // namespace halfcell::core
