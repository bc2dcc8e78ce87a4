#include "db/sheets/text_encoding.h"

#include <gtest/gtest.h>

namespace halfcell::db {
namespace {

/// UTF-16 of a text of characters below U+0800 in UTF-8, by hand.
std::string utf16(std::u16string_view text, bool big, bool mark)
{
    std::string bytes = mark ? (big ? "\xFE\xFF" : "\xFF\xFE") : "";
    for (const char16_t c : text) {
        const char low = static_cast<char>(c & 0xFF), high = static_cast<char>(c >> 8);
        bytes += big ? high : low;
        bytes += big ? low : high;
    }
    return bytes;
}

TEST(TextEncoding, IsGuessedFromMarkAndBytes)
{
    EXPECT_EQ(guessEncoding("serial,mv\nK7,1\n"), TextEncoding::Utf8);
    EXPECT_EQ(guessEncoding("\xEF\xBB\xBFserial"), TextEncoding::Utf8);
    EXPECT_EQ(guessEncoding("temp \xC2\xB0\x43"), TextEncoding::Utf8);
    EXPECT_EQ(guessEncoding("temp \xB0\x43"), TextEncoding::Windows1252);
    for (const bool big : {false, true})
        for (const bool mark : {false, true})
            EXPECT_EQ(guessEncoding(utf16(u"serial;temp °C\n", big, mark)), big ? TextEncoding::Utf16Big : TextEncoding::Utf16Little);
    EXPECT_EQ(guessEncoding(""), TextEncoding::Utf8);
}

TEST(TextEncoding, BecomesUtf8)
{
    const std::string wanted = "M\xC3\xBCller \xC2\xB0\x43 \xE2\x82\xAC \xF0\x9F\x94\xA7";
    for (const bool big : {false, true})
        EXPECT_EQ(toUtf8(utf16(u"Müller °C € \U0001F527", big, true), big ? TextEncoding::Utf16Big : TextEncoding::Utf16Little), wanted);
    EXPECT_EQ(toUtf8("M\xFCller \xB0\x43 \x80", TextEncoding::Windows1252), "M\xC3\xBCller \xC2\xB0\x43 \xE2\x82\xAC");
    EXPECT_EQ(toUtf8("\xEF\xBB\xBFx", TextEncoding::Utf8), "x");
    // What is no character is shown as such and never dropped.
    EXPECT_EQ(toUtf8("\x81", TextEncoding::Windows1252), "\xEF\xBF\xBD");
    EXPECT_EQ(toUtf8(std::string("\x00\xD8x", 3), TextEncoding::Utf16Little), "\xEF\xBF\xBD\xEF\xBF\xBD");
    for (const TextEncoding e : {TextEncoding::Utf8, TextEncoding::Utf16Little, TextEncoding::Utf16Big, TextEncoding::Windows1252})
        EXPECT_EQ(encodingNamed(nameOf(e)), e);
    EXPECT_EQ(encodingNamed("UTF-16"), TextEncoding::Utf16Little);
    EXPECT_FALSE(encodingNamed("ebcdic").has_value());
}

}  // namespace
}  // namespace halfcell::db
