#pragma once

#include <filesystem>

namespace halfcell::app {

/// Where refused rows go if nothing is said: beside what was imported, NAME.refused.csv.
[[nodiscard]] std::filesystem::path refusedBeside(const std::filesystem::path& first);

/// The folder for the refused rows themselves: the file's name without its ending. What an earlier import left there, perhaps half
/// mended, stays.
[[nodiscard]] std::filesystem::path mendBeside(const std::filesystem::path& refusedFile);

}  // namespace halfcell::app
