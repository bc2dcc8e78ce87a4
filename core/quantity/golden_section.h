#pragma once

namespace halfcell::core {

/// The place of the highest value of a function with one hill between two places, by golden-section search.
///
/// @param f      double(double), one hill in [low, high]; no derivative is asked
/// @param low    finite, below `high`
/// @param width  the search ends when the place is known within this; above 0
/// @return       the middle of the last bracket. One value of f per step; each step takes 38 % off the bracket.
/// Source: Kiefer 1953, known from memory. Accuracy: `width`, but no better than the square root of the rounding of f.
template <class F>
[[nodiscard]] double goldenSectionMaximum(const F& f, double low, double high, double width)
{
    constexpr double kGolden = 0.6180339887498949;  // (sqrt 5 - 1) / 2
    double a = high - kGolden * (high - low), b = low + kGolden * (high - low), fa = f(a), fb = f(b);
    while (high - low > width) {
        if (fa < fb) {
            low = a;
            a = b;
            fa = fb;
            b = low + kGolden * (high - low);
            fb = f(b);
        } else {
            high = b;
            b = a;
            fb = fa;
            a = high - kGolden * (high - low);
            fa = f(a);
        }
    }
    return 0.5 * (low + high);
}

}  // namespace halfcell::core
