#include "db/sheets/text_encoding.h"

#include "db/sheets/utf8.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace halfcell::db {
namespace {

constexpr char32_t kUnreadable = 0xFFFD;

/// Bytes 80 to 9F of windows-1252 as published in the Unicode consortium's mapping table; 0 where it has no character.
constexpr std::array<std::uint16_t, 32> kWindows1252 = {
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0, 0x017D, 0,
    0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0, 0x017E, 0x0178};

/// How much of a text is looked at for zero bytes.
constexpr std::size_t kLookedAt = 4096;

std::string fromUtf16(std::string_view bytes, bool big)
{
    std::string out;
    out.reserve(bytes.size() / 2 + bytes.size() / 8);
    const auto unit = [&](std::size_t at) {
        const auto first = static_cast<unsigned char>(bytes[at]);
        const auto second = static_cast<unsigned char>(bytes[at + 1]);
        return static_cast<char32_t>(big ? first * 256U + second : second * 256U + first);
    };
    std::size_t at = 0;
    while (at + 1 < bytes.size()) {
        char32_t character = unit(at);
        at += 2;
        if (character >= 0xD800 && character <= 0xDBFF && at + 1 < bytes.size()) {
            if (const char32_t low = unit(at); low >= 0xDC00 && low <= 0xDFFF) {
                character = 0x10000 + ((character - 0xD800) << 10U) + (low - 0xDC00);
                at += 2;
            }
        }
        appendUtf8(out, character);
    }
    if (at < bytes.size())
        appendUtf8(out, kUnreadable);
    return out;
}

std::string fromWindows1252(std::string_view bytes)
{
    std::string out;
    out.reserve(bytes.size() + bytes.size() / 16);
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x80U) {
            out += c;
        } else if (byte < 0xA0U) {
            const char32_t character = kWindows1252[byte - 0x80U];
            appendUtf8(out, character == 0 ? kUnreadable : character);
        } else {
            appendUtf8(out, byte);
        }
    }
    return out;
}

}  // namespace

void appendUtf8(std::string& out, char32_t c)
{
    const auto put = [&](char32_t byte) { out += static_cast<char>(static_cast<unsigned char>(byte)); };
    if (c > 0x10FFFF || (c >= 0xD800 && c <= 0xDFFF))
        c = kUnreadable;
    if (c < 0x80) {
        put(c);
    } else if (c < 0x800) {
        put(0xC0U | (c >> 6U));
        put(0x80U | (c & 0x3FU));
    } else if (c < 0x10000) {
        put(0xE0U | (c >> 12U));
        put(0x80U | ((c >> 6U) & 0x3FU));
        put(0x80U | (c & 0x3FU));
    } else {
        put(0xF0U | (c >> 18U));
        put(0x80U | ((c >> 12U) & 0x3FU));
        put(0x80U | ((c >> 6U) & 0x3FU));
        put(0x80U | (c & 0x3FU));
    }
}

std::string_view nameOf(TextEncoding encoding)
{
    switch (encoding) {
    case TextEncoding::Utf8: return "utf-8";
    case TextEncoding::Utf16Little: return "utf-16le";
    case TextEncoding::Utf16Big: return "utf-16be";
    case TextEncoding::Windows1252: return "windows-1252";
    }
    return {};
}

std::optional<TextEncoding> encodingNamed(std::string_view name)
{
    std::string lower(name);
    for (char& c : lower)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c + 32);
    if (lower == "utf8")
        return TextEncoding::Utf8;
    if (lower == "utf-16")
        return TextEncoding::Utf16Little;
    if (lower == "latin1" || lower == "iso-8859-1" || lower == "cp1252")
        return TextEncoding::Windows1252;
    for (const TextEncoding e : {TextEncoding::Utf8, TextEncoding::Utf16Little, TextEncoding::Utf16Big, TextEncoding::Windows1252})
        if (nameOf(e) == lower)
            return e;
    return std::nullopt;
}

TextEncoding guessEncoding(std::string_view bytes)
{
    if (bytes.starts_with("\xEF\xBB\xBF"))
        return TextEncoding::Utf8;
    if (bytes.starts_with("\xFF\xFE"))
        return TextEncoding::Utf16Little;
    if (bytes.starts_with("\xFE\xFF"))
        return TextEncoding::Utf16Big;
    const std::string_view start = bytes.substr(0, kLookedAt);
    std::size_t even = 0, odd = 0;
    for (std::size_t i = 0; i < start.size(); ++i)
        if (start[i] == '\0')
            ++(i % 2 == 0 ? even : odd);
    // Plain letters in UTF-16 have a zero byte each; a few characters of other alphabets among them don't matter.
    if (odd > start.size() / 4 && odd > 4 * even)
        return TextEncoding::Utf16Little;
    if (even > start.size() / 4 && even > 4 * odd)
        return TextEncoding::Utf16Big;
    return firstNotUtf8(bytes) == std::string_view::npos ? TextEncoding::Utf8 : TextEncoding::Windows1252;
}

std::string toUtf8(std::string_view bytes, TextEncoding encoding)
{
    switch (encoding) {
    case TextEncoding::Utf8:
        if (bytes.starts_with("\xEF\xBB\xBF"))
            bytes.remove_prefix(3);
        return std::string(bytes);
    case TextEncoding::Utf16Little:
        if (bytes.starts_with("\xFF\xFE"))
            bytes.remove_prefix(2);
        return fromUtf16(bytes, false);
    case TextEncoding::Utf16Big:
        if (bytes.starts_with("\xFE\xFF"))
            bytes.remove_prefix(2);
        return fromUtf16(bytes, true);
    case TextEncoding::Windows1252: return fromWindows1252(bytes);
    }
    return {};
}

}  // namespace halfcell::db
