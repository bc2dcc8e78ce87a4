#include "core/working/working.h"

namespace halfcell::core {

const char* sourceClassWords(SourceClass c)
{
    switch (c) {
    case SourceClass::Law: return "law";
    case SourceClass::Standard: return "standard";
    case SourceClass::Maker: return "maker";
    case SourceClass::CommonPractice: return "common practice";
    case SourceClass::Memory: return "known from memory";
    case SourceClass::Assumed: return "assumed";
    case SourceClass::Record: return "record";
    case SourceClass::Computed: return "computed";
    }
    return "";
}

}  // namespace halfcell::core
