#pragma once

#include "tests/layers/repository.h"

#include <vector>

namespace halfcell::tree {

/// Sources are listed by hand, and what is not listed is silently not built: each .cpp file of the
/// program and its tests is named in the CMakeLists.txt nearest to it, and each folder that has a
/// CMakeLists.txt is named in the one above it.
[[nodiscard]] std::vector<Offence> checkLists(const Repository& repository);

}  // namespace halfcell::tree
