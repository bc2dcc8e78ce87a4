#pragma once

#include "tests/layers/repository.h"

#include <vector>

namespace halfcell::tree {

/// Arrows point down only. In the C++ files of core, db and app:
///  - project headers are included in quotes and from the repository root;
///  - core includes core; db includes core and db; app includes all three; none includes tests;
///  - no Qt in core and db, nor in the rooms of the command line (those that app/CMakeLists.txt adds
///    outside of HALFCELL_DESKTOP), which include no desktop room either;
///  - no database, file or clock in core; no Qt SQL anywhere;
///  - no SQL text in core and app.
/// Linking alone would not keep these: an inline function or a type needs no library.
[[nodiscard]] std::vector<Offence> checkIncludes(const Repository& repository);

/// The same for the build: the libraries and rooms each room names in its CMakeLists.txt point down
/// too, go in no circle, and name (by way of others, too) every room its files include.
[[nodiscard]] std::vector<Offence> checkRooms(const Repository& repository);

}  // namespace halfcell::tree
