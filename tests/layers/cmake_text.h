#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::tree {

/// One command of a CMakeLists.txt: its name and its arguments, quotes removed, variables as written.
struct CMakeCommand {
    std::string name;
    std::vector<std::string> arguments;
    std::size_t line = 0;  ///< from 1

    /// The arguments between a keyword (DEPENDS, LIBS, ...) and the next word in capitals; empty when
    /// the keyword is not there.
    [[nodiscard]] std::vector<std::string> after(std::string_view keyword) const;
};

/// Reads the commands of a CMake file, in order. Line comments are left out; bracket comments and
/// arguments are not understood, for our lists need none.
[[nodiscard]] std::vector<CMakeCommand> readCMake(std::string_view text);

}  // namespace halfcell::tree
