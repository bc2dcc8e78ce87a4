#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace halfcell::db {

/// How the bytes of a table's text are to be read.
enum class TextEncoding { Utf8, Utf16Little, Utf16Big, Windows1252 };

/// `utf-8`, `utf-16le`, `utf-16be`, `windows-1252`.
[[nodiscard]] std::string_view nameOf(TextEncoding encoding);
/// By its name in any case; also `utf8`, `utf-16` (little), `latin1` and `iso-8859-1` (read as windows-1252, which holds the
/// same letters and gives meaning to bytes that would else be none).
[[nodiscard]] std::optional<TextEncoding> encodingNamed(std::string_view name);

/// The likely encoding of a text: what its byte order mark says; else UTF-16 if every other byte of the beginning is zero;
/// else UTF-8 if it reads as such; else windows-1252.
[[nodiscard]] TextEncoding guessEncoding(std::string_view bytes);

/// The text as UTF-8 without a byte order mark. What is no character in the encoding becomes U+FFFD. A text that is UTF-8
/// already is given back as it is, faults included: whoever splits it names the cell.
[[nodiscard]] std::string toUtf8(std::string_view bytes, TextEncoding encoding);

/// Adds a character as UTF-8; U+FFFD for surrogates and what lies above U+10FFFF.
void appendUtf8(std::string& out, char32_t character);

}  // namespace halfcell::db
