#pragma once

#include "core/fleet/keys.h"

#include <string>

namespace halfcell::app {

/// One page of the handbook about a finding, in plain words. Strengths and times are common practice unless the source
/// says otherwise; the site's own procedure and the safety data sheet come first.
struct HandbookPage {
    std::string title, sign, cause, cure, caution, source;
};

/// The page of a finding; every code has one.
[[nodiscard]] HandbookPage handbookPage(core::FindingCode code);

}  // namespace halfcell::app
