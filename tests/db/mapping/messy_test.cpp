#include "db/mapping/mapping.h"
#include "tests/db/exchange/tables.h"

#include <algorithm>

/// Tables as they come out of cupboards: whatever is in them, the program says what it could not take, and where.
namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

class Messy : public ExchangeTest {
protected:
    void SetUp() override
    {
        ExchangeTest::SetUp();
        auto tables = goodTables();
        tables.erase("readings");
        tables.erase("lots");
        ASSERT_DONE(ExchangeTest::import(tables));
    }
    /// Guesses a mapping for the text and tries an import through it; the counts are in `report`.
    Mapping tried(const std::string& name, const std::string& text)
    {
        put(folder / name, text);
        const auto guessed = guessMapping(folder / name);
        EXPECT_TRUE(guessed.has_value()) << (guessed ? "" : guessed.error().detail);
        if (!guessed)
            return {};
        ImportOptions options;
        options.dryRun = true;
        const auto done = importMapped(*book, {folder / name}, guessed->mapping, options, kStamp, report);
        EXPECT_TRUE(done.has_value()) << (done ? "" : done.error().detail);
        return guessed->mapping;
    }
    std::string refusal(const std::string& name, const std::string& text)
    {
        put(folder / name, text);
        const auto guessed = guessMapping(folder / name);
        EXPECT_FALSE(guessed.has_value());
        return guessed ? std::string() : guessed.error().detail;
    }
};

TEST_F(Messy, FilesThatHoldNothingSayWhatTheyHold)
{
    EXPECT_EQ(refusal("empty.csv", ""), "the file holds no lines but blank ones");
    EXPECT_EQ(refusal("bom.csv", "\xEF\xBB\xBF"), "the file holds no lines but blank ones");
    EXPECT_EQ(refusal("blank.csv", "\n;;;\n\r\n"), "the file holds no lines but blank ones");
    EXPECT_NE(refusal("zeros.csv", std::string(5000, '\0')).find("line 1 can't be read"), std::string::npos);
    EXPECT_NE(refusal("quote.csv", "\"Serial;Date;pH 7 mV\nK7-0412;13.03.2025;-3\n").find("a quote is opened"), std::string::npos);
    EXPECT_NE(refusal("other.csv", "Alpha;Beta\n1;2\n").find("none of its columns"), std::string::npos);
}

TEST_F(Messy, OnlyNamesAreNoRows)
{
    tried("names.csv", "Serial;Date;pH 7 mV;temp\n");
    EXPECT_EQ(report.taken, 0U);
    EXPECT_TRUE(report.refused.empty());
}

TEST_F(Messy, EveryEncodingReadsTheSame)
{
    const std::string text = "Serial;Date;pH 7 mV;temp\nK7-0412;13.03.2025;-13,5;19,5\nK7-0431;14.03.2025;-12,0;20\n";
    std::string little = "\xFF\xFE", big = "\xFE\xFF", bare;
    for (const char c : text) {
        little += c;
        little += '\0';
        big += '\0';
        big += c;
        bare += c;
        bare += '\0';
    }
    std::string carriage = text;
    std::ranges::replace(carriage, '\n', '\r');
    for (const auto& [name, bytes] : {std::pair{"little.csv", little},
                                      {"big.csv", big},
                                      {"bare.csv", bare},
                                      {"odd.csv", little + "x"},
                                      {"returns.csv", carriage},
                                      {"plain.csv", text}}) {
        tried(name, bytes);
        EXPECT_EQ(report.taken, 2U) << name;
        EXPECT_TRUE(report.refused.empty()) << name;
    }
}

TEST_F(Messy, AUnitUnderTheNamesCountsAndIsNoRow)
{
    const Mapping mapping = tried("units.csv", "Serial;Date;pH 7;pH 4;temp\n-;dd.mm.yyyy;mV;mV;°F\nK7-0412;13.03.2025;-13,5;161,2;66\n");
    EXPECT_EQ(mapping.headerLines, 2U);
    EXPECT_EQ(report.taken, 2U);
    EXPECT_TRUE(report.refused.empty()) << report.refused.front().reason;
    const auto preview = previewMapping(*book, folder / "units.csv", mapping, 5);
    ASSERT_DONE(preview);
    ASSERT_FALSE(preview->after.empty());
    const auto& cells = preview->after.front().cells;
    const auto temp = std::ranges::find(cells, "temp_degc", &std::pair<std::string, std::string>::first);
    ASSERT_NE(temp, cells.end());
    EXPECT_EQ(temp->second.substr(0, 4), "18.8") << "66 degrees Fahrenheit";
}

TEST_F(Messy, UnitsUnderTwoLinesOfNames)
{
    const Mapping mapping = tried("merged.csv", "Upper works;;;;;;\n;;;;;;\nSerial;Date;as found;;as left;;temp\n;;pH 7;pH 4;pH 7;pH 4;\n"
                                                ";;mV;mV;mV;mV;°C\nK7-0412;13.03.2025;-13,5;161,2;-1,0;175;19,5\n");
    EXPECT_EQ(mapping.headerLine, 3U);
    EXPECT_EQ(mapping.headerLines, 3U);
    EXPECT_EQ(report.taken, 4U);
    EXPECT_TRUE(report.refused.empty());
}

TEST_F(Messy, DatesThatAreNoneSayHowTheyWereRead)
{
    tried("dates.csv", "Serial;Date;pH 7 mV\nK7-0412;13.03.2025;-3\nK7-0412;03/14/2025;-3\nK7-0412;31.02.2025;-3\nK7-0412;soon;-3\n"
                       "K7-0412;45000;-3\nK7-0412;01.01.0001;-3\n");
    EXPECT_EQ(report.taken, 1U);
    ASSERT_EQ(report.refused.size(), 5U);
    EXPECT_NE(report.refused[0].reason.find("\"03/14/2025\" is no date: read as day 3, month 14"), std::string::npos)
        << report.refused[0].reason;
    EXPECT_NE(report.refused[1].reason.find("no such day"), std::string::npos);
    EXPECT_NE(report.refused[3].reason.find("spreadsheet's number of a day"), std::string::npos);
    EXPECT_NE(report.refused[4].reason.find("before 1900"), std::string::npos);
    for (const Refusal& r : report.refused) {
        EXPECT_EQ(r.field, "Date");
        EXPECT_FALSE(r.remedy.empty());
    }
}

TEST_F(Messy, NumbersThatAreNoneAreRefusedWordForWord)
{
    tried("numbers.csv", "Serial;Date;pH 7 mV\nK7-0412;13.03.2025;-13,5\nK7-0412;14.03.2025;+-171\nK7-0412;15.03.2025;1e400\n"
                         "K7-0412;16.03.2025;(13)\nK7-0412;17.03.2025;13,5-\nK7-0412;18.03.2025;nan\nK7-0412;19.03.2025;99999999\n");
    EXPECT_EQ(report.taken, 1U);
    ASSERT_EQ(report.refused.size(), 6U);
    EXPECT_NE(report.refused[2].remedy.find("minus before the number"), std::string::npos) << report.refused[2].reason;
    EXPECT_NE(report.refused[3].remedy.find("minus before the number"), std::string::npos) << report.refused[3].reason;
}

TEST_F(Messy, WordsInNumericCellsAreKeptAsWhy)
{
    tried("words.csv", "Serial;Date;pH 7 mV;temp\nK7-0412;13.03.2025;n/a;19\nK7-0431;14.03.2025;broken;20\nK7-0412;15.03.2025;-3;#N/A\n");
    EXPECT_EQ(report.taken, 3U);
    EXPECT_TRUE(report.refused.empty());
}

TEST_F(Messy, OneBadLineNeverTakesOthersWithIt)
{
    std::string huge = "Serial;Date;pH 7 mV;Remarks\nK7-0412;13.03.2025;-3;" + std::string(3'000'000, 'x') + "\nK7-0431;13.03.2025;-3;ok\n";
    tried("huge.csv", huge);
    EXPECT_EQ(report.taken, 2U) << "a reading and a visit with its remark";
    EXPECT_EQ(report.refused.size(), 1U);
    tried("nul.csv", std::string("Serial;Date;pH 7 mV\nK7-0412;13.03.2025;-1\0003\nK7-0431;13.03.2025;-12\n", 64));
    EXPECT_EQ(report.taken, 1U);
    EXPECT_EQ(report.refused.size(), 1U);
    tried("quote.csv", "Serial;Date;pH 7 mV;Remarks\nK7-0412;13.03.2025;-3;\"never closed\nK7-0431;14.03.2025;-3;ok\n");
    EXPECT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.refused.front().line, 2U);
    tried("short.csv", "Serial;Date;pH 7 mV;temp\nK7-0412\nK7-0412;13.03.2025;-3;19;extra;cells\n");
    EXPECT_EQ(report.taken, 1U);
    std::string wide = "Serial;Date;pH 7 mV", cells = "K7-0412;13.03.2025;-3";
    for (int i = 0; i < 5000; ++i) {
        wide += ";extra " + std::to_string(i);
        cells += ";" + std::to_string(i);
    }
    tried("wide.csv", wide + "\n" + cells + "\n");
    EXPECT_EQ(report.taken, 1U);
}

TEST_F(Messy, WhatNothingFillsIsSaidOnceWithWhatToDo)
{
    tried("doubled.csv", "Serial;Date;mV;mV;temp;temp\nK7-0412;13.03.2025;-13,5;161,2;19,5;20\nK7-0412;14.03.2025;-13,5;161,2;19,5;20\n");
    EXPECT_EQ(report.taken, 0U);
    ASSERT_EQ(report.refused.size(), 2U) << "phase and standard, once each";
    EXPECT_EQ(report.refused[0].field, "phase");
    EXPECT_EQ(report.refused[1].field, "standard");
    EXPECT_NE(report.refused[0].remedy.find("map a column"), std::string::npos);
}

TEST_F(Messy, TheSameLineTwiceIsRefusedAsDoubled)
{
    const std::string line = "K7-0412;13.03.2025;-13,5;19,5\n";
    tried("doubled.csv", "Serial;Date;pH 7 mV;temp\n" + line + line);
    EXPECT_EQ(report.taken, 1U);
    ASSERT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.refused.front().line, 3U);
}

TEST_F(Messy, PicturesAndBrokenWorkbooksAreNamedForWhatTheyAre)
{
    for (const char* start : {"\xFF\xD8\xFF\xE0", "PK\x03\x04"}) {
        std::string bytes(start);
        for (int i = 0; i < 3000; ++i)
            bytes += static_cast<char>(i * 37 % 251);
        EXPECT_NE(refusal("picture.xlsx", bytes).find("no workbook"), std::string::npos);
    }
}

}  // namespace
}  // namespace halfcell::db
