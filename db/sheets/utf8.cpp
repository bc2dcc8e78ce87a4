#include "db/sheets/utf8.h"

#include <cstring>

namespace halfcell::db {
namespace {

/// Length of the well-formed character at `at` (Unicode, table 3-7); 0 if there is none.
std::size_t characterAt(std::string_view text, std::size_t at)
{
    const auto byte = [&](std::size_t i) -> unsigned { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U; };
    const auto follows = [&](std::size_t i, unsigned low = 0x80U, unsigned high = 0xBFU) { return byte(i) >= low && byte(i) <= high; };
    const unsigned first = byte(0);
    if (first < 0x80U)
        return 1;
    if (first >= 0xC2U && first <= 0xDFU)
        return follows(1) ? 2 : 0;
    if (first >= 0xE0U && first <= 0xEFU) {
        const unsigned low = first == 0xE0U ? 0xA0U : 0x80U;
        const unsigned high = first == 0xEDU ? 0x9FU : 0xBFU;
        return follows(1, low, high) && follows(2) ? 3 : 0;
    }
    if (first >= 0xF0U && first <= 0xF4U) {
        const unsigned low = first == 0xF0U ? 0x90U : 0x80U;
        const unsigned high = first == 0xF4U ? 0x8FU : 0xBFU;
        return follows(1, low, high) && follows(2) && follows(3) ? 4 : 0;
    }
    return 0;
}

}  // namespace

std::size_t firstNotUtf8(std::string_view text)
{
    std::size_t at = 0;
    while (at < text.size()) {
        // Eight plain characters at a time: most tables are ASCII.
        while (at + 8 <= text.size()) {
            unsigned long long block = 0;
            std::memcpy(&block, text.data() + at, 8);
            if ((block & 0x8080808080808080ULL) != 0)
                break;
            at += 8;
        }
        if (at == text.size())
            break;
        const std::size_t length = characterAt(text, at);
        if (length == 0)
            return at;
        at += length;
    }
    return std::string_view::npos;
}

std::string shortened(std::string_view text, std::size_t most)
{
    std::string out;
    std::size_t count = 0;
    for (std::size_t at = 0; at < text.size();) {
        if (count++ == most)
            return out + "…";
        const std::size_t length = characterAt(text, at);
        if (length == 0 || (length == 1 && static_cast<unsigned char>(text[at]) < 0x20U))
            out += "·";
        else
            out += text.substr(at, length);
        at += length == 0 ? 1 : length;
    }
    return out;
}

}  // namespace halfcell::db
