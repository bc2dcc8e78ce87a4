#pragma once

#include <QColor>
#include <QPalette>

#include <array>
#include <cstddef>

/// The palette: what a colour is for, never which hex it is. Every widget, delegate and plot asks for a role; the
/// figures stand in palette.cpp alone.
///
/// Ink draws, hue fills: surfaces and inks have (almost) no hue; hue appears only as the fill of the four status
/// marks, always outlined in ink1, never as text.
///
/// A widget reads its palette from its own QPalette (`Palette::of(palette())`), which carries the roles like this:
///
///     Window ground      WindowText, Text, ButtonText ink1     Mid, Dark edge
///     AlternateBase sheet            BrightText ink2           Midlight  rule
///     Base   well                    PlaceholderText ink3      Highlight ink1 on HighlightedText ground (reversed)
///     Light  raised                  Shadow ink1
///
/// so a part of the window can stand on other ground (the `past`), or be drawn for paper, by setting its QPalette.
/// Any thread; values are immutable.
namespace halfcell::app {

enum class Role {
    Ground,       ///< the desk itself
    Sheet,        ///< side columns and bars
    Well,         ///< fields and plots
    Raised,       ///< selection and group heads; always together with a 4 px ink bar or weight
    Past,         ///< ground while looking at an earlier date
    Ink1,         ///< text, figures, marks, focus, what is chosen
    Ink2,         ///< rows in order, heads
    Ink3,         ///< uncertainty and hints: the faintest text allowed
    Edge,         ///< field borders, limit hatching, outline of the fan
    Rule,         ///< row lines, decorative
    Fan80,        ///< forecast, 80 % band
    Fan50,        ///< forecast, 50 % band
    Failure,      ///< mark fill, never text
    Check,        ///< mark fill (function check), never text
    Spec,         ///< mark fill (out of specification), never text
    Maintenance   ///< mark fill (maintenance required), never text
};
inline constexpr std::size_t kRoleCount = 16;

enum class Scheme {
    Light,
    Dark,
    Paper,        ///< black on white, for print and export
    HighContrast  ///< all roles follow the system's own two colours
};

class Palette {
public:
    /// Light, Dark or Paper. HighContrast needs the system's colours: use `highContrast`.
    [[nodiscard]] static Palette of(Scheme scheme);
    /// Every role from the system's window and text colours; the marks are told apart by shape alone.
    [[nodiscard]] static Palette highContrast(const QPalette& system);
    /// The palette a QPalette carries (see the table above).
    [[nodiscard]] static Palette of(const QPalette& carried);

    [[nodiscard]] QColor color(Role role) const { return m_colors[static_cast<std::size_t>(role)]; }
    [[nodiscard]] QColor operator[](Role role) const { return color(role); }
    [[nodiscard]] Scheme scheme() const { return m_scheme; }
    /// The same palette with one role replaced (for instance ink3 drawn as ink1 in glove density).
    [[nodiscard]] Palette with(Role role, const QColor& color) const;
    /// The QPalette that carries this palette.
    [[nodiscard]] QPalette toQt() const;

    bool operator==(const Palette&) const = default;

private:
    Scheme m_scheme = Scheme::Light;
    std::array<QColor, kRoleCount> m_colors{};
};

/// True for a system palette that asks for high contrast: window, field and button share one colour, and the text on
/// it reaches 15:1. Our choice: Qt 6.4 tells a program neither the colour scheme nor the contrast wish, and ordinary
/// themes shade at least one of the three.
[[nodiscard]] bool asksForHighContrast(const QPalette& system);
/// True when the system's window is darker than the text on it.
[[nodiscard]] bool isDark(const QPalette& system);

}  // namespace halfcell::app
