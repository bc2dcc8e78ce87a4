#include "app/style/figure_painter.h"
#include "app/style/figures.h"

#include <QImage>
#include <QPainter>

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;

namespace {

const QLocale kC = QLocale::c();

/// Columns (x) that hold ink in a picture of one figure.
std::vector<int> inkedColumns(const QImage& image)
{
    std::vector<int> columns;
    for (int x = 0; x < image.width(); ++x)
        for (int y = 0; y < image.height(); ++y)
            if (qGray(image.pixel(x, y)) < 128) {
                columns.push_back(x);
                break;
            }
    return columns;
}

QImage drawn(const Figure& figure, const FigureColumn& column)
{
    QImage image(160, 28, QImage::Format_RGB32);
    image.fill(Qt::white);
    QPainter painter(&image);
    paintFigure(painter, QRectF(0, 0, 160, 28), figure, column, TextRole::Body, 1.0, Palette::of(Scheme::Paper), kC);
    return image;
}

}  // namespace

TEST(Figures, AlwaysWriteTheSignWithATrueMinus)
{
    EXPECT_EQ(figureText(-11.94, 1, Sign::Always, kC), u"−11.9"_s);
    EXPECT_EQ(figureText(24.1, 1, Sign::Always, kC), u"+24.1"_s);
    EXPECT_EQ(figureText(92.1, 1, Sign::WhenNegative, kC), u"92.1"_s);
    EXPECT_EQ(figureText(-96.9, 1, Sign::WhenNegative, kC), u"−96.9"_s);
    EXPECT_EQ(figureText(-176, 0, Sign::Always, kC), u"−176"_s);
}

TEST(Figures, ZeroHasNoSign)
{
    EXPECT_EQ(figureText(0.0, 1, Sign::Always, kC), u"0.0"_s);
    EXPECT_EQ(figureText(-0.0, 1, Sign::Always, kC), u"0.0"_s);
    EXPECT_EQ(figureText(-0.04, 1, Sign::Always, kC), u"0.0"_s);
    EXPECT_EQ(figureText(0.04, 1, Sign::Always, kC), u"0.0"_s);
    EXPECT_EQ(figureText(-0.06, 1, Sign::Always, kC), u"−0.1"_s);
    EXPECT_EQ(figureText(-0.4, 0, Sign::Always, kC), u"0"_s);
}

TEST(Figures, WhatIsNotANumberIsNeverWritten)
{
    EXPECT_TRUE(figureText(std::numeric_limits<double>::quiet_NaN(), 1, Sign::Always, kC).isEmpty());
    EXPECT_TRUE(figureText(std::numeric_limits<double>::infinity(), 1, Sign::Always, kC).isEmpty());
    EXPECT_TRUE(uncertaintyText(std::numeric_limits<double>::quiet_NaN(), 1, kC).isEmpty());
}

TEST(Figures, KeepTheLocaleDecimalSignAndNoGroups)
{
    const QLocale german(QLocale::German, QLocale::Germany);
    EXPECT_EQ(figureText(-1234.5, 1, Sign::Always, german), u"−1234,5"_s);
    const QLocale swedish(QLocale::Swedish, QLocale::Sweden);
    EXPECT_EQ(figureText(-11.9, 1, Sign::Always, swedish), u"−11,9"_s);
    const Figure figure{.value = -1234.5, .sign = Sign::Always, .unit = u"mV"_s};
    EXPECT_EQ(copyText(figure, german), u"-1234,5"_s);
    EXPECT_EQ(copyText(figure, swedish), u"-1234,5"_s);
}

TEST(Figures, SayTheReasonWhereThereIsNoValue)
{
    const Figure figure{.unit = u"%"_s, .reason = u"no temperature"_s};
    EXPECT_EQ(screenText(figure, kC), u"no temperature"_s);
    EXPECT_EQ(spokenText(figure, kC), u"no temperature"_s);
    EXPECT_TRUE(copyText(figure, kC).isEmpty());
}

TEST(Figures, CarryUncertaintyAndUnit)
{
    const Figure figure{.value = -11.9, .sign = Sign::Always, .expanded = 3.4, .unit = u"mV"_s};
    EXPECT_EQ(screenText(figure, kC), u"−11.9 ±3.4 mV"_s);
    EXPECT_EQ(copyText(figure, kC), u"-11.9"_s);
    EXPECT_EQ(copyFullText(figure, u"2 Mar 2026"_s, kC), u"-11.9 ±3.4 mV, 2 Mar 2026"_s);
    EXPECT_EQ(spokenText(figure, kC), u"minus 11.9 millivolts, plus or minus 3.4"_s);
    const Figure span{.value = 31, .decimals = 0, .expanded = 6.0, .lead = u"span"_s};
    EXPECT_EQ(screenText(span, kC), u"span 31 ±6"_s);
}

TEST(Figures, CountsProbabilitiesAndTimes)
{
    EXPECT_EQ(countText(118), u"118"_s);
    EXPECT_EQ(countText(18204), u"18\u202F204"_s);
    EXPECT_EQ(countText(1234567), u"1\u202F234\u202F567"_s);
    EXPECT_EQ(countText(-1002), u"−1\u202F002"_s);
    EXPECT_EQ(probabilityText(0.71), u"71 %"_s);
    EXPECT_EQ(probabilityText(0.0004), u"under 1 %"_s);
    EXPECT_EQ(probabilityText(0.999), u"over 99 %"_s);
    EXPECT_EQ(probabilityText(1.0), u"over 99 %"_s);
    EXPECT_EQ(heldText(34), u"0 h 34"_s);
    EXPECT_EQ(heldText(125), u"2 h 05"_s);
    EXPECT_EQ(heldText(27 * 60), u"1 d 3 h"_s);
}

TEST(Figures, CoreTextGetsScreenSignsButSerialsKeepTheirHyphen)
{
    EXPECT_EQ(toScreen(u"offset -11.9 mV at AE-3107, K7-0412"_s), u"offset −11.9 mV at AE-3107, K7-0412"_s);
    EXPECT_EQ(toScreen(u"t90 95 -> 24 s"_s), u"t90 95 → 24 s"_s);
    EXPECT_EQ(toScreen(u"on 2026-03-02: 19.0 degC, 2.0 +- 0.3 (-3)"_s), u"on 2026-03-02: 19.0 °C, 2.0 ± 0.3 (−3)"_s);
    EXPECT_EQ(toPlain(u"−11.9, 18\u202F204"_s), u"-11.9, 18 204"_s);
}

TEST(FigureType, FiguresShareOneWidthInBothWeights)
{
    for (const TextRole role : {TextRole::Body, TextRole::KeyFigure, TextRole::Field, TextRole::Hint, TextRole::Axis}) {
        const FigureWidths plain = measureFigures(fontOf(role));
        const FigureWidths heavy = measureFigures(fontOf(role, Weight::Heavy));
        EXPECT_GT(plain.cell, 0);
        // Where the font lacks it the painter sets figures in cells; both ways columns hold (next tests).
        if (plain.uniform && heavy.uniform) {
            EXPECT_NEAR(plain.cell, heavy.cell, 0.5);
        }
    }
}

TEST(FigurePainter, AlignsTheDecimalSignsOfAColumn)
{
    const FigureColumn column{.integers = 3, .sign = true, .decimals = 1};
    // 0.0 and −188.0 end in the same column; the digits after the sign stand at the same place.
    const auto shortOne = inkedColumns(drawn({.value = 8.0, .sign = Sign::Always}, column));
    const auto longOne = inkedColumns(drawn({.value = -188.0, .sign = Sign::Always}, column));
    ASSERT_FALSE(shortOne.empty());
    ASSERT_FALSE(longOne.empty());
    EXPECT_NEAR(shortOne.back(), longOne.back(), 1);
    // One with fewer decimals keeps its last digit left of the sign.
    const auto whole = inkedColumns(drawn({.value = 8.0, .decimals = 0, .sign = Sign::Always}, column));
    EXPECT_LT(whole.back(), shortOne.back() - 8);
    EXPECT_NEAR(whole.front(), shortOne.front(), 1);
    // The guilty number is heavier, in the same place.
    const auto inked = [](const QImage& image) {
        int dark = 0;
        for (int y = 0; y < image.height(); ++y)
            for (int x = 0; x < image.width(); ++x)
                dark += 255 - qGray(image.pixel(x, y));
        return dark;
    };
    Figure guilty{.value = -188.0, .sign = Sign::Always, .guilty = true};
    EXPECT_GT(inked(drawn(guilty, column)), inked(drawn({.value = -188.0, .sign = Sign::Always}, column)) * 1.1);
    EXPECT_NEAR(inkedColumns(drawn(guilty, column)).back(), longOne.back(), 1);
}

TEST(FigurePainter, SetsFiguresInCellsWhereTheFontHasNone)
{
    FigureWidths widths = measureFigures(fontOf(TextRole::Body));
    widths.uniform = false;
    widths.cell = 12.0;
    const QFont font = fontOf(TextRole::Body);
    EXPECT_DOUBLE_EQ(figureTextWidth(u"+11"_s, font, widths), 36.0);
    QImage image(120, 28, QImage::Format_RGB32);
    image.fill(Qt::white);
    QPainter painter(&image);
    EXPECT_DOUBLE_EQ(paintFigureText(painter, QPointF(4, 20), u"111"_s, font, widths), 36.0);
}

TEST(FigurePainter, ALongReasonIsElidedInsideTheCell)
{
    const FigureColumn column{.integers = 3, .decimals = 1};
    const auto columns = inkedColumns(drawn({.reason = u"the temperature of the first standard was not written down"_s}, column));
    ASSERT_FALSE(columns.empty());
    EXPECT_GE(columns.front(), 4);
    EXPECT_LE(columns.back(), 156);
}
