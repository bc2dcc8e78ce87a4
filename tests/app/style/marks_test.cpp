#include "app/style/contrast.h"
#include "app/style/efficiency_rule.h"
#include "app/style/marks.h"
#include "tests/support/qt/widgets.h"

#include <QImage>
#include <QPainter>

#include <gtest/gtest.h>

#include <vector>

using namespace halfcell::app;
using halfcell::core::Phase;
using halfcell::core::Signal;
using namespace Qt::Literals::StringLiterals;

namespace {

const std::vector<Condition>& everyCondition()
{
    static const std::vector<Condition> kAll{Signal::Normal,        Signal::MaintenanceRequired, Signal::OutOfSpecification,
                                             Signal::FunctionCheck, Signal::Failure,             std::nullopt};
    return kAll;
}

QImage drawnMark(Condition condition, int size, const Palette& palette)
{
    QImage image(size, size, QImage::Format_RGB32);
    image.fill(palette[Role::Ground]);
    QPainter painter(&image);
    paintSignal(painter, QRectF(0, 0, size, size), condition, palette);
    return image;
}

/// Share of the square that is not ground, antialiased edges counted by their darkness.
double inkCover(Condition condition)
{
    Palette palette = Palette::of(Scheme::Paper);
    const QImage image = drawnMark(condition, 160, palette);
    double sum = 0;
    for (int y = 0; y < 160; ++y)
        for (int x = 0; x < 160; ++x)
            sum += 255 - qGray(image.pixel(x, y));
    return sum / (255.0 * 160 * 160);
}

QImage drawnPhase(Phase phase, bool corrected)
{
    const Palette palette = Palette::of(Scheme::Light);
    QImage image(16, 16, QImage::Format_RGB32);
    image.fill(palette[Role::Well]);
    QPainter painter(&image);
    paintPhase(painter, QPointF(8, 8), 8.0, phase, corrected, palette[Role::Ink1], palette[Role::Well]);
    return image;
}

}  // namespace

TEST(Marks, DifferInGreyscaleAtEverySizeAndTheme)
{
    for (const Scheme scheme : {Scheme::Light, Scheme::Dark, Scheme::Paper}) {
        const Palette palette = Palette::of(scheme);
        for (const int size : {14, 16, 24, 48}) {
            const auto& all = everyCondition();
            for (std::size_t i = 0; i < all.size(); ++i)
                for (std::size_t j = i + 1; j < all.size(); ++j)
                    EXPECT_GT(halfcell::test::greyDifference(drawnMark(all[i], size, palette), drawnMark(all[j], size, palette)), 4.0)
                        << "scheme " << static_cast<int>(scheme) << " size " << size << ": " << i << " and " << j;
        }
    }
}

TEST(Marks, CoverGrowsWithUrgency)
{
    EXPECT_LT(inkCover(Signal::Normal), 0.10);
    EXPECT_LT(inkCover(std::nullopt), 0.10);
    EXPECT_LT(inkCover(Signal::Normal), inkCover(Signal::MaintenanceRequired));
    EXPECT_LT(inkCover(Signal::MaintenanceRequired), inkCover(Signal::OutOfSpecification));
    EXPECT_LT(inkCover(Signal::OutOfSpecification), inkCover(Signal::FunctionCheck));
    EXPECT_LT(inkCover(Signal::FunctionCheck), inkCover(Signal::Failure));
    EXPECT_GT(inkCover(Signal::Failure), 0.5);
}

TEST(Marks, OnlyTheFourSignalsHaveHueAndNormalHasNone)
{
    const Palette palette = Palette::of(Scheme::Light);
    for (const Condition condition : everyCondition()) {
        const int spread = halfcell::test::strongestHue(drawnMark(condition, 24, palette)).spread;
        const bool coloured = condition && *condition != Signal::Normal;
        if (coloured)
            EXPECT_GT(spread, 100) << signalWord(condition).toStdString();
        else
            EXPECT_LE(spread, 16) << signalWord(condition).toStdString();
    }
}

TEST(Marks, StayInsideTheirSquare)
{
    const Palette palette = Palette::of(Scheme::Paper);
    for (const Condition condition : everyCondition()) {
        QImage image(64, 64, QImage::Format_RGB32);
        image.fill(Qt::white);
        QPainter painter(&image);
        paintSignal(painter, QRectF(8, 8, 48, 48), condition, palette);
        painter.end();
        for (int i = 0; i < 64; ++i)
            for (int edge = 0; edge < 7; ++edge) {
                EXPECT_EQ(qGray(image.pixel(i, edge)), 255);
                EXPECT_EQ(qGray(image.pixel(edge, i)), 255);
                EXPECT_EQ(qGray(image.pixel(i, 63 - edge)), 255);
                EXPECT_EQ(qGray(image.pixel(63 - edge, i)), 255);
            }
    }
}

TEST(Marks, StandBesideTheWordsOfNe107)
{
    EXPECT_EQ(signalWord(Signal::Failure), u"Failure"_s);
    EXPECT_EQ(signalWord(Signal::FunctionCheck), u"Function check"_s);
    EXPECT_EQ(signalWord(Signal::OutOfSpecification), u"Out of specification"_s);
    EXPECT_EQ(signalWord(Signal::MaintenanceRequired), u"Maintenance required"_s);
    EXPECT_EQ(signalWord(Signal::Normal), u"normal"_s);
    EXPECT_EQ(signalWord(std::nullopt), u"not enough data"_s);
    EXPECT_EQ(signalSpoken(Signal::OutOfSpecification), u"out of specification"_s);
    EXPECT_LT(signalOrder(Signal::Failure), signalOrder(Signal::FunctionCheck));
    EXPECT_LT(signalOrder(Signal::OutOfSpecification), signalOrder(Signal::MaintenanceRequired));
    EXPECT_LT(signalOrder(std::nullopt), signalOrder(Signal::Normal));
}

TEST(PhaseMarks, AreHollowHalfAndFull)
{
    const auto dark = [](const QImage& image, int y) { return qGray(image.pixel(8, y)) < 100; };
    const QImage found = drawnPhase(Phase::AsFound, false);
    const QImage cleaned = drawnPhase(Phase::AfterClean, false);
    const QImage left = drawnPhase(Phase::AsLeft, false);
    EXPECT_FALSE(dark(found, 7));
    EXPECT_FALSE(dark(found, 9));
    EXPECT_FALSE(dark(cleaned, 6));
    EXPECT_TRUE(dark(cleaned, 9));
    EXPECT_TRUE(dark(left, 6));
    EXPECT_TRUE(dark(left, 9));
}

TEST(PhaseMarks, ACorrectedOneIsCrossed)
{
    for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft}) {
        const QImage plain = drawnPhase(phase, false);
        const QImage crossed = drawnPhase(phase, true);
        EXPECT_GT(halfcell::test::greyDifference(plain, crossed), 3.0);
        // The stroke reaches beyond the mark.
        EXPECT_LT(qGray(crossed.pixel(3, 12)), qGray(plain.pixel(3, 12)));
    }
}

TEST(EfficiencyRule, HatchesFromTheBadSideAndTicksTheLimit)
{
    const Palette palette = Palette::of(Scheme::Light);
    const auto drawn = [&](const EfficiencyRule& rule) {
        QImage image(72, 28, QImage::Format_RGB32);
        image.fill(palette[Role::Ground]);
        QPainter painter(&image);
        paintEfficiencyRule(painter, QRectF(0, 0, 72, 28), rule, palette);
        return image;
    };
    const auto inkIn = [&](const QImage& image, int from, int to) {
        int dark = 0;
        for (int x = from; x < to; ++x)
            for (int y = 8; y < 20; ++y)
                dark += qGray(image.pixel(x, y)) < 200 ? 1 : 0;
        return dark;
    };
    const QImage empty = drawn({});
    // 70 % lies at 16.7 px, 80 % at 33.5 px.
    EXPECT_GT(inkIn(empty, 0, 16), 2 * 16);
    EXPECT_EQ(inkIn(empty, 19, 31), 12);
    EXPECT_GE(inkIn(empty, 32, 36), 10);
    const QImage good = drawn({.value = 92.1, .expanded = 2.0});
    EXPECT_GT(inkIn(good, 49, 58), inkIn(empty, 49, 58) + 20);
    EXPECT_EQ(inkIn(good, 62, 72), inkIn(empty, 62, 72));
    // Below the end of the rule the dot becomes an arrow head at the end.
    EXPECT_GT(inkIn(drawn({.value = 31.0}), 0, 8), inkIn(empty, 0, 8));
    EXPECT_NE(drawn({.value = 31.0}), drawn({.value = 60.0}));
}
