#pragma once

#include <QtGlobal>

class QWidget;

/// Sizes: steps of 4 px, two densities, one scale. A widget asks `Metrics::of(this)`; the answer changes with the
/// theme's density and scale, and every widget gets QEvent::StyleChange then.
namespace halfcell::app {

enum class Density {
    Desk,  ///< as drawn: rows 28, fields and buttons 30
    Glove  ///< wet or gloved hands: rows 48, every target at least 56 x 56 with 8 between (about 15 mm at 96 dpi, our choice)
};

/// Which layout the logical width of the window allows.
enum class WidthClass {
    Wide,    ///< 1600 and more: peek becomes a right column
    Normal,  ///< 1180 to 1599
    Narrow,  ///< 900 to 1179: left column folded, peek hidden
    Single   ///< under 900: one region at a time
};

struct Metrics {
    double scale = 1.0;
    Density density = Density::Desk;

    /// The metrics of the style a widget is drawn with; the plain ones if it is not ours.
    [[nodiscard]] static Metrics of(const QWidget* widget);

    /// A length drawn at scale 1, in logical px.
    [[nodiscard]] int px(double length) const;
    /// n steps of the 4 px grid.
    [[nodiscard]] int grid(int steps) const { return px(4.0 * steps); }
    [[nodiscard]] int margin() const { return px(16); }
    [[nodiscard]] int spacing() const { return px(8); }
    [[nodiscard]] int row() const { return px(density == Density::Glove ? 48 : 28); }
    [[nodiscard]] int field() const { return px(density == Density::Glove ? 56 : 30); }
    [[nodiscard]] int button() const { return px(density == Density::Glove ? 56 : 30); }
    /// Least width and height of anything that can be hit (WCAG 2.2, 2.5.8: 24).
    [[nodiscard]] int target() const { return px(density == Density::Glove ? 56 : 24); }
    [[nodiscard]] int topBar() const { return px(density == Density::Glove ? 72 : 44); }
    [[nodiscard]] int shopLine() const { return px(density == Density::Glove ? 56 : 34); }
    [[nodiscard]] int workStrip() const { return px(density == Density::Glove ? 56 : 28); }
    [[nodiscard]] int leftColumn() const { return px(252); }
    [[nodiscard]] int rightColumn() const { return px(480); }
    [[nodiscard]] int peek() const { return px(188); }
    [[nodiscard]] int selectionBar() const { return px(4); }
    [[nodiscard]] int focusWidth() const { return px(2); }
    [[nodiscard]] int focusGap() const { return px(2); }
    [[nodiscard]] int mark() const { return px(16); }

    /// The class of a window width; thresholds count in px at scale 1.
    [[nodiscard]] WidthClass widthClass(int width) const;

    bool operator==(const Metrics&) const = default;
};

}  // namespace halfcell::app
