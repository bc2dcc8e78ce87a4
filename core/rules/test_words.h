#pragma once

#include <string>
#include <string_view>

namespace halfcell::core {

/// What a test of a sensor is called on screens, in speech and on paper: "shorting plug and open input" for `short_open`.
/// Starts in lower case. A key that is not known is said with spaces in place of its underscores.
[[nodiscard]] std::string testWords(std::string_view key);

}  // namespace halfcell::core
