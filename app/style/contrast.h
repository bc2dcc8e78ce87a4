#pragma once

#include <QColor>

/// Contrast and lightness of colours, for the palette's tests and the choice of scheme.
namespace halfcell::app {

/// Relative luminance of an sRGB colour, 0 (black) to 1 (white); alpha is ignored.
/// Source: WCAG 2.2, definition of relative luminance (threshold 0.04045 as in IEC 61966-2-1).
[[nodiscard]] double relativeLuminance(const QColor& color);

/// Contrast ratio of two colours, 1 to 21, the order does not matter. Source: WCAG 2.2, definition of contrast ratio.
[[nodiscard]] double contrastRatio(const QColor& a, const QColor& b);

/// CIE 1976 lightness L*, 0 to 100, against the white of sRGB. Source: ISO/CIE 11664-4.
[[nodiscard]] double lightness(const QColor& color);

/// How far a colour is from grey: largest minus smallest of red, green and blue, 0 to 255. Surfaces and inks stay
/// at 16 or below outside the `past`; mark fills are above 100.
[[nodiscard]] int hueSpread(const QColor& color);

}  // namespace halfcell::app
