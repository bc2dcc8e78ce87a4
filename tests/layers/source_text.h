#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::tree {

/// What the rules of the tree need to know of one C++ file. Comments are left out everywhere.
struct SourceText {
    struct Include {
        std::string path;  ///< between the quotes or angle brackets
        bool quoted = false;
        std::size_t line = 0;  ///< from 1
    };
    struct Literal {
        std::string text;  ///< between the quotes, escapes as written; adjacent literals joined into one
        std::size_t line = 0;
    };
    std::vector<Include> includes;
    std::vector<Literal> literals;
    std::vector<std::string> code;  ///< line by line, without comments and without what literals hold
};

/// Splits C++ source. Understands line and block comments, ordinary and raw string literals with their
/// prefixes, character literals and digit separators. Never fails: at the end of a file an open comment
/// or literal is closed.
[[nodiscard]] SourceText readSource(std::string_view text);

}  // namespace halfcell::tree
