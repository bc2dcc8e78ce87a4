#include "core/review/review.h"

#include <array>

namespace halfcell::core {

template <>
std::span<const KeyEntry<OptionKind>> keyEntries()
{
    static constexpr std::array<KeyEntry<OptionKind>, 4> kEntries{{{OptionKind::Run, "run", "run on"},
                                                                   {OptionKind::Service, "service", "service now"},
                                                                   {OptionKind::Same, "same", "same new"},
                                                                   {OptionKind::Change, "change", "change design"}}};
    return kEntries;
}

}  // namespace halfcell::core
