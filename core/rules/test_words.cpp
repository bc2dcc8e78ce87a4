#include "core/rules/test_words.h"

#include <algorithm>
#include <array>
#include <utility>

namespace halfcell::core {

std::string testWords(std::string_view key)
{
    constexpr std::array kTests{std::pair<std::string_view, std::string_view>{"cable", "a spare cable"},
                                std::pair<std::string_view, std::string_view>{"coating", "look and feel of the coating"},
                                std::pair<std::string_view, std::string_view>{"dilution", "dilution test"},
                                std::pair<std::string_view, std::string_view>{"earth_wire", "earth wire in the beaker"},
                                std::pair<std::string_view, std::string_view>{"glass_resistance", "glass resistance"},
                                std::pair<std::string_view, std::string_view>{"grab", "grab sample"},
                                std::pair<std::string_view, std::string_view>{"hysteresis", "the first standard once more"},
                                std::pair<std::string_view, std::string_view>{"noise", "noise of the reading"},
                                std::pair<std::string_view, std::string_view>{"reference_resistance", "reference resistance"},
                                std::pair<std::string_view, std::string_view>{"reread", "a second reading after three minutes"},
                                std::pair<std::string_view, std::string_view>{"second_bottle", "a second bottle"},
                                std::pair<std::string_view, std::string_view>{"second_standard", "a second standard"},
                                std::pair<std::string_view, std::string_view>{"short_open", "shorting plug and open input"},
                                std::pair<std::string_view, std::string_view>{"stir", "stir test"},
                                std::pair<std::string_view, std::string_view>{"thermometer", "a second thermometer"},
                                std::pair<std::string_view, std::string_view>{"third_standard", "a third standard"}};
    const auto* found = std::ranges::find(kTests, key, &std::pair<std::string_view, std::string_view>::first);
    if (found != kTests.end())
        return std::string(found->second);
    std::string words(key);
    std::ranges::replace(words, '_', ' ');
    return words;
}

}  // namespace halfcell::core
