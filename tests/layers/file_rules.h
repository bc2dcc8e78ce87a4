#pragma once

#include "tests/layers/repository.h"

#include <vector>

namespace halfcell::tree {

/// The top level holds the agreed entries only: CMakeLists.txt, README.md, DEVELOPERS.md, LICENSE,
/// CHANGELOG.md, CMakePresets.json, the folders app, core, db, resources, tests, packaging, and names
/// that begin with a dot. A new entry is agreed on first.
[[nodiscard]] std::vector<Offence> checkTopLevel(const Repository& repository);

/// No file names a place on somebody's machine: a home folder, a temporary folder, the folder this
/// clone stands in. Places every system has (/usr, /dev, /proc) may be named; so may these words deeper
/// in a path or an address.
[[nodiscard]] std::vector<Offence> checkMachinePaths(const Repository& repository);

/// No code or text carries a mark of unfinished work.
[[nodiscard]] std::vector<Offence> checkUnfinished(const Repository& repository);

}  // namespace halfcell::tree
