#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace halfcell::db {

/// Position of the first byte that is no UTF-8 (overlong forms, surrogates and values above U+10FFFF included);
/// npos if the text is clean.
[[nodiscard]] std::size_t firstNotUtf8(std::string_view text);

/// The text, shortened to `most` characters with an ellipsis, never inside a character; line ends and bytes that are no
/// text are shown as a dot.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t most = 60);

}  // namespace halfcell::db
