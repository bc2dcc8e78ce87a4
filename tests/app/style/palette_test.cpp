#include "app/style/contrast.h"
#include "app/style/palette.h"
#include "app/style/theme.h"
#include "tests/support/qt/watched_application.h"

#include <QFont>

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

using namespace halfcell::app;

namespace {

constexpr std::array kGrounds{Role::Ground, Role::Sheet, Role::Well, Role::Raised, Role::Past};

double lowestContrast(const Palette& palette, Role ink)
{
    double lowest = 21.0;
    for (const Role ground : kGrounds)
        lowest = std::min(lowest, contrastRatio(palette[ink], palette[ground]));
    return lowest;
}

struct Vec {
    double l, a, b;
};

/// CIELAB under D65, from linear sRGB.
Vec labOfLinear(double r, double g, double b)
{
    const auto f = [](double t) {
        constexpr double d = 6.0 / 29.0;
        return t > d * d * d ? std::cbrt(t) : t / (3 * d * d) + 4.0 / 29.0;
    };
    const double x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047;
    const double y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b;
    const double z = (0.0193339 * r + 0.1191920 * g + 0.9503041 * b) / 1.08883;
    return {116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))};
}

double linear(double c)
{
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

using Matrix = std::array<double, 9>;

Vec simulated(const QColor& color, const Matrix& m)
{
    const double r = linear(color.redF()), g = linear(color.greenF()), b = linear(color.blueF());
    const auto row = [&](std::size_t i) { return std::clamp(m[3 * i] * r + m[3 * i + 1] * g + m[3 * i + 2] * b, 0.0, 1.0); };
    return labOfLinear(row(0), row(1), row(2));
}

double smallestDifference(const Palette& palette, const Matrix& m)
{
    constexpr std::array fills{Role::Failure, Role::Check, Role::Spec, Role::Maintenance};
    double smallest = 1e9;
    for (std::size_t i = 0; i < fills.size(); ++i)
        for (std::size_t j = i + 1; j < fills.size(); ++j) {
            const Vec a = simulated(palette[fills[i]], m), b = simulated(palette[fills[j]], m);
            smallest = std::min(smallest, std::hypot(a.l - b.l, a.a - b.a, a.b - b.b));
        }
    return smallest;
}

// Full dichromacy. Source: Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, table of
// severity 1.0 (from memory; rows sum to 1, which the test checks).
constexpr Matrix kProtan{0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998};
constexpr Matrix kDeutan{0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881};
constexpr Matrix kTritan{1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900};

}  // namespace

TEST(Contrast, FollowsTheWcagDefinition)
{
    EXPECT_DOUBLE_EQ(contrastRatio(Qt::black, Qt::white), 21.0);
    EXPECT_DOUBLE_EQ(contrastRatio(Qt::white, Qt::white), 1.0);
    // #767676 on white is the well-known lightest grey that passes 4.5:1 (4.54).
    EXPECT_NEAR(contrastRatio(QColor(0x76, 0x76, 0x76), Qt::white), 4.54, 0.005);
    EXPECT_NEAR(lightness(Qt::white), 100.0, 1e-9);
    EXPECT_NEAR(lightness(QColor(119, 119, 119)), 50.0, 0.2);
}

TEST(Palette, ReachesTheStatedContrastOnEveryGround)
{
    struct Stated {
        Scheme scheme;
        Role role;
        double ratio;
    };
    const Stated stated[] = {{Scheme::Light, Role::Ink1, 12.7}, {Scheme::Light, Role::Ink2, 6.8}, {Scheme::Light, Role::Ink3, 4.8},
                             {Scheme::Light, Role::Edge, 3.6},  {Scheme::Dark, Role::Ink1, 10.9}, {Scheme::Dark, Role::Ink2, 7.6},
                             {Scheme::Dark, Role::Ink3, 5.5},   {Scheme::Dark, Role::Edge, 4.0}};
    for (const Stated& s : stated)
        EXPECT_NEAR(lowestContrast(Palette::of(s.scheme), s.role), s.ratio, 0.055)
            << "scheme " << static_cast<int>(s.scheme) << " role " << static_cast<int>(s.role);
    // Text needs 4.5:1 and borders 3:1 (WCAG 2.2, 1.4.3 and 1.4.11).
    for (const Scheme scheme : {Scheme::Light, Scheme::Dark}) {
        for (const Role ink : {Role::Ink1, Role::Ink2, Role::Ink3})
            EXPECT_GE(lowestContrast(Palette::of(scheme), ink), 4.5);
        EXPECT_GE(lowestContrast(Palette::of(scheme), Role::Edge), 3.0);
    }
}

TEST(Palette, ReversedInkOnThePrimaryButtonIsReadable)
{
    const auto reversed = [](Scheme scheme) {
        const Palette palette = Palette::of(scheme);
        return std::max(contrastRatio(palette[Role::Ink1], palette[Role::Well]), contrastRatio(palette[Role::Ink1], palette[Role::Ground]));
    };
    EXPECT_GE(reversed(Scheme::Light), 16.0);
    EXPECT_GE(reversed(Scheme::Dark), 15.0);
}

TEST(Palette, MarkFillsDifferInLightness)
{
    const auto steps = [](Scheme scheme) {
        const Palette palette = Palette::of(scheme);
        std::array<double, 4> l{lightness(palette[Role::Failure]), lightness(palette[Role::Maintenance]), lightness(palette[Role::Check]),
                                lightness(palette[Role::Spec])};
        return l;
    };
    const std::array light{38.0, 55.0, 69.0, 88.0}, dark{49.0, 58.0, 71.0, 88.0};
    for (std::size_t i = 0; i < 4; ++i) {
        EXPECT_NEAR(steps(Scheme::Light)[i], light[i], 0.6) << i;
        EXPECT_NEAR(steps(Scheme::Dark)[i], dark[i], 0.6) << i;
    }
}

TEST(Palette, MarkFillsStayApartForColourDeficientVision)
{
    for (const Matrix& m : {kProtan, kDeutan, kTritan})
        for (std::size_t row = 0; row < 3; ++row)
            ASSERT_NEAR(m[3 * row] + m[3 * row + 1] + m[3 * row + 2], 1.0, 1e-5);
    for (const Scheme scheme : {Scheme::Light, Scheme::Dark})
        for (const Matrix& m : {kProtan, kDeutan, kTritan})
            EXPECT_GE(smallestDifference(Palette::of(scheme), m), 17.0) << static_cast<int>(scheme);
}

TEST(Palette, OnlyMarkFillsHaveHue)
{
    for (const Scheme scheme : {Scheme::Light, Scheme::Dark}) {
        const Palette palette = Palette::of(scheme);
        for (const Role role : {Role::Ground, Role::Sheet, Role::Well, Role::Raised, Role::Ink1, Role::Ink2, Role::Ink3, Role::Edge, Role::Rule,
                                Role::Fan80, Role::Fan50})
            EXPECT_LE(hueSpread(palette[role]), 16) << static_cast<int>(role);
        for (const Role role : {Role::Failure, Role::Check, Role::Spec, Role::Maintenance})
            EXPECT_GT(hueSpread(palette[role]), 100) << static_cast<int>(role);
        for (int r = 0; r < QPalette::NColorRoles; ++r) {
            if (r == QPalette::NoRole)
                continue;
            EXPECT_LE(hueSpread(palette.toQt().color(QPalette::Active, static_cast<QPalette::ColorRole>(r))), 16) << r;
        }
    }
}

TEST(Palette, ComesBackFromTheQPaletteThatCarriesIt)
{
    for (const Scheme scheme : {Scheme::Light, Scheme::Dark, Scheme::Paper})
        EXPECT_EQ(Palette::of(Palette::of(scheme).toQt()), Palette::of(scheme)) << static_cast<int>(scheme);
    QPalette system;
    system.setColor(QPalette::Window, Qt::black);
    system.setColor(QPalette::WindowText, Qt::yellow);
    const Palette high = Palette::highContrast(system);
    EXPECT_EQ(Palette::of(high.toQt()), high);
    // A part of the window on other ground keeps everything else.
    QPalette past = Palette::of(Scheme::Light).toQt();
    past.setColor(QPalette::Window, Palette::of(Scheme::Light)[Role::Past]);
    EXPECT_EQ(Palette::of(past)[Role::Ground], QColor(0xEF, 0xE3, 0xC8));
    EXPECT_EQ(Palette::of(past)[Role::Ink3], Palette::of(Scheme::Light)[Role::Ink3]);
}

TEST(Palette, HighContrastFollowsTheSystemAlone)
{
    QPalette system;
    for (const auto role : {QPalette::Window, QPalette::Base, QPalette::Button})
        system.setColor(role, Qt::black);
    system.setColor(QPalette::WindowText, QColor(255, 255, 0));
    ASSERT_TRUE(asksForHighContrast(system));
    const Palette palette = Palette::highContrast(system);
    for (const Role ink : {Role::Ink1, Role::Ink2, Role::Ink3, Role::Edge, Role::Failure})
        EXPECT_EQ(palette[ink], QColor(255, 255, 0));
    // An ordinary theme shades its buttons.
    QPalette ordinary = system;
    ordinary.setColor(QPalette::Button, QColor(40, 40, 40));
    EXPECT_FALSE(asksForHighContrast(ordinary));
}

TEST(Theme, SwitchesAtRunTimeAndTellsWidgets)
{
    Theme theme(halfcell::test::application());
    int told = 0;
    QObject::connect(&theme, &Theme::changed, &theme, [&] { ++told; });
    theme.setChoice(ThemeChoice::Dark);
    EXPECT_EQ(told, 1);
    EXPECT_EQ(theme.scheme(), Scheme::Dark);
    EXPECT_EQ(QApplication::palette().color(QPalette::Window), QColor(0x15, 0x18, 0x1A));
    theme.setChoice(ThemeChoice::Light);
    EXPECT_EQ(QApplication::palette().color(QPalette::Window), QColor(0xF1, 0xF0, 0xEB));
    // The same choice again is no change.
    theme.setChoice(ThemeChoice::Light);
    EXPECT_EQ(told, 2);
    // The system's look decides when it is asked, and a high-contrast one always.
    QPalette dark;
    dark.setColor(QPalette::Window, QColor(30, 30, 30));
    dark.setColor(QPalette::WindowText, Qt::white);
    dark.setColor(QPalette::Base, QColor(10, 10, 10));
    theme.setSystemPalette(dark);
    EXPECT_EQ(theme.scheme(), Scheme::Light);
    theme.setChoice(ThemeChoice::System);
    EXPECT_EQ(theme.scheme(), Scheme::Dark);
    QPalette high;
    for (const auto role : {QPalette::Window, QPalette::Base, QPalette::Button})
        high.setColor(role, Qt::white);
    high.setColor(QPalette::WindowText, Qt::black);
    theme.setSystemPalette(high);
    EXPECT_EQ(theme.scheme(), Scheme::HighContrast);
    theme.setChoice(ThemeChoice::Dark);
    EXPECT_EQ(theme.scheme(), Scheme::HighContrast);
}

TEST(Theme, GloveDensityDrawsInkThreeAsInkOne)
{
    Theme theme(halfcell::test::application());
    theme.setChoice(ThemeChoice::Light);
    EXPECT_NE(theme.palette()[Role::Ink3], theme.palette()[Role::Ink1]);
    theme.setDensity(Density::Glove);
    EXPECT_EQ(theme.palette()[Role::Ink3], theme.palette()[Role::Ink1]);
    EXPECT_EQ(Metrics::of(nullptr).row(), 48);
    EXPECT_GE(Metrics::of(nullptr).target(), 56);
    theme.setDensity(Density::Desk);
    theme.setScale(2.0);
    EXPECT_EQ(Metrics::of(nullptr).row(), 56);
    EXPECT_EQ(QApplication::font().pixelSize(), 28);
    theme.stepScale(-1);
    EXPECT_DOUBLE_EQ(theme.metrics().scale, 1.75);
    theme.stepScale(0);
    EXPECT_DOUBLE_EQ(theme.metrics().scale, 1.0);
}

TEST(Metrics, WidthClassesFollowTheLogicalWidth)
{
    const Metrics plain;
    EXPECT_EQ(plain.widthClass(1920), WidthClass::Wide);
    EXPECT_EQ(plain.widthClass(1280), WidthClass::Normal);
    EXPECT_EQ(plain.widthClass(960), WidthClass::Narrow);
    EXPECT_EQ(plain.widthClass(640), WidthClass::Single);
    Metrics big;
    big.scale = 2.0;
    EXPECT_EQ(big.widthClass(1920), WidthClass::Narrow);
}
