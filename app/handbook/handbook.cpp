#include "app/handbook/handbook.h"

#include "embedded/handbook_findings.h"

#include <toml++/toml.h>

#include <cassert>
#include <map>

namespace halfcell::app {
namespace {

using Pages = std::map<core::FindingCode, HandbookPage>;

Pages readPages()
{
    Pages pages;
    const toml::table table = toml::parse(embedded::handbook_findings);
    for (const auto& entry : core::keyEntries<core::FindingCode>()) {
        const auto* page = table[entry.key].as_table();
        if (page == nullptr)
            continue;
        const auto text = [page](std::string_view key) { return (*page)[key].value_or(std::string()); };
        pages[entry.value] = {.title = std::string(entry.words),
                              .sign = text("sign"),
                              .cause = text("cause"),
                              .cure = text("cure"),
                              .caution = text("caution"),
                              .source = text("source")};
    }
    return pages;
}

}  // namespace

HandbookPage handbookPage(core::FindingCode code)
{
    static const Pages pages = readPages();
    const auto it = pages.find(code);
    assert(it != pages.end());
    return it != pages.end() ? it->second : HandbookPage{};
}

}  // namespace halfcell::app
