#include "app/style/palette.h"

#include "app/style/contrast.h"

#include <QRgb>

namespace halfcell::app {

namespace {

constexpr std::array<QRgb, kRoleCount> kLight{
    0xFFF1F0EB, 0xFFFBFAF7, 0xFFFFFFFF, 0xFFE3E1D8, 0xFFEFE3C8,  // ground sheet well raised past
    0xFF1B1F22, 0xFF454B50, 0xFF5B6166,                          // ink1 ink2 ink3
    0xFF77736C, 0xFFCFCCC2, 0xFFE2E0D9, 0xFFCBC8BF,              // edge rule fan80 fan50
    0xFFB5121B, 0xFFF0923B, 0xFFF9DC4E, 0xFF4A86CF               // failure check spec maintenance
};
constexpr std::array<QRgb, kRoleCount> kDark{
    0xFF15181A, 0xFF1C2023, 0xFF111416, 0xFF2C3135, 0xFF33291A,
    0xFFECEAE4, 0xFFC3C5C4, 0xFFA2A8AB,
    0xFF868E94, 0xFF3A4045, 0xFF2B3034, 0xFF40474C,
    0xFFD63A3F, 0xFFF39A45, 0xFFF9DC4E, 0xFF4F8FDB
};
// Paper is black ink only; marks are told apart by shape.
constexpr std::array<QRgb, kRoleCount> kPaper{
    0xFFFFFFFF, 0xFFFFFFFF, 0xFFFFFFFF, 0xFFFFFFFF, 0xFFFFFFFF,
    0xFF000000, 0xFF000000, 0xFF000000,
    0xFF000000, 0xFF000000, 0xFFFFFFFF, 0xFFFFFFFF,
    0xFF000000, 0xFF000000, 0xFF000000, 0xFF000000
};

std::array<QColor, kRoleCount> colorsFrom(const std::array<QRgb, kRoleCount>& values)
{
    std::array<QColor, kRoleCount> colors;
    for (std::size_t i = 0; i < kRoleCount; ++i)
        colors[i] = QColor(values[i]);
    return colors;
}

constexpr std::size_t at(Role role)
{
    return static_cast<std::size_t>(role);
}

/// The scheme whose edge colour a QPalette carries; HighContrast if none.
Scheme schemeOf(const QPalette& carried)
{
    const QRgb edge = carried.color(QPalette::Active, QPalette::Mid).rgba();
    if (edge == kLight[at(Role::Edge)])
        return Scheme::Light;
    if (edge == kDark[at(Role::Edge)])
        return Scheme::Dark;
    if (edge == kPaper[at(Role::Edge)] && carried.color(QPalette::Active, QPalette::Window).rgba() == kPaper[at(Role::Ground)])
        return Scheme::Paper;
    return Scheme::HighContrast;
}

}  // namespace

Palette Palette::of(Scheme scheme)
{
    Palette palette;
    palette.m_scheme = scheme;
    switch (scheme) {
    case Scheme::Light: palette.m_colors = colorsFrom(kLight); break;
    case Scheme::Dark: palette.m_colors = colorsFrom(kDark); break;
    case Scheme::Paper:
    case Scheme::HighContrast: palette.m_colors = colorsFrom(kPaper); break;
    }
    return palette;
}

Palette Palette::highContrast(const QPalette& system)
{
    const QColor ground = system.color(QPalette::Active, QPalette::Window);
    const QColor ink = system.color(QPalette::Active, QPalette::WindowText);
    Palette palette;
    palette.m_scheme = Scheme::HighContrast;
    palette.m_colors.fill(ink);
    for (const Role role : {Role::Ground, Role::Sheet, Role::Well, Role::Raised, Role::Past, Role::Fan80, Role::Fan50})
        palette.m_colors[at(role)] = ground;
    return palette;
}

Palette Palette::of(const QPalette& carried)
{
    const Scheme scheme = schemeOf(carried);
    if (scheme == Scheme::HighContrast)
        return highContrast(carried);
    Palette palette = of(scheme);
    const auto take = [&](Role role, QPalette::ColorRole from) {
        palette.m_colors[at(role)] = carried.color(QPalette::Active, from);
    };
    take(Role::Ground, QPalette::Window);
    take(Role::Sheet, QPalette::AlternateBase);
    take(Role::Well, QPalette::Base);
    take(Role::Raised, QPalette::Light);
    take(Role::Ink1, QPalette::WindowText);
    take(Role::Ink2, QPalette::BrightText);
    take(Role::Ink3, QPalette::PlaceholderText);
    take(Role::Rule, QPalette::Midlight);
    return palette;
}

Palette Palette::with(Role role, const QColor& color) const
{
    Palette changed = *this;
    changed.m_colors[at(role)] = color;
    return changed;
}

QPalette Palette::toQt() const
{
    QPalette qt;
    const auto put = [&](QPalette::ColorRole to, Role role) {
        for (const auto group : {QPalette::Active, QPalette::Inactive, QPalette::Disabled})
            qt.setColor(group, to, color(role));
    };
    put(QPalette::Window, Role::Ground);
    put(QPalette::AlternateBase, Role::Sheet);
    put(QPalette::Base, Role::Well);
    put(QPalette::Light, Role::Raised);
    put(QPalette::Button, Role::Sheet);
    put(QPalette::WindowText, Role::Ink1);
    put(QPalette::Text, Role::Ink1);
    put(QPalette::ButtonText, Role::Ink1);
    put(QPalette::BrightText, Role::Ink2);
    put(QPalette::PlaceholderText, Role::Ink3);
    put(QPalette::Mid, Role::Edge);
    put(QPalette::Dark, Role::Edge);
    put(QPalette::Midlight, Role::Rule);
    put(QPalette::Shadow, Role::Ink1);
    put(QPalette::Highlight, Role::Ink1);
    put(QPalette::HighlightedText, Role::Ground);
    put(QPalette::Link, Role::Ink1);
    put(QPalette::LinkVisited, Role::Ink1);
    put(QPalette::ToolTipBase, Role::Sheet);
    put(QPalette::ToolTipText, Role::Ink1);
    for (const auto text : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
        qt.setColor(QPalette::Disabled, text, color(Role::Ink3));
    return qt;
}

bool asksForHighContrast(const QPalette& system)
{
    const QColor window = system.color(QPalette::Active, QPalette::Window);
    // Our choice: 15:1 keeps the common white-on-black, black-on-white and yellow-on-black schemes in.
    constexpr double kLeastContrast = 15.0;
    return system.color(QPalette::Active, QPalette::Base) == window && system.color(QPalette::Active, QPalette::Button) == window
           && contrastRatio(system.color(QPalette::Active, QPalette::WindowText), window) >= kLeastContrast;
}

bool isDark(const QPalette& system)
{
    return relativeLuminance(system.color(QPalette::Active, QPalette::Window))
           < relativeLuminance(system.color(QPalette::Active, QPalette::WindowText));
}

}  // namespace halfcell::app
