#include "app/style/contrast.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

namespace {

double linear(double channel)
{
    return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}

}  // namespace

double relativeLuminance(const QColor& color)
{
    const auto channel = [](int value) { return linear(static_cast<double>(value) / 255.0); };
    return 0.2126 * channel(color.red()) + 0.7152 * channel(color.green()) + 0.0722 * channel(color.blue());
}

double contrastRatio(const QColor& a, const QColor& b)
{
    const double first = relativeLuminance(a);
    const double second = relativeLuminance(b);
    return (std::max(first, second) + 0.05) / (std::min(first, second) + 0.05);
}

double lightness(const QColor& color)
{
    const double y = relativeLuminance(color);
    constexpr double kDelta = 6.0 / 29.0;
    const double f = y > kDelta * kDelta * kDelta ? std::cbrt(y) : y / (3.0 * kDelta * kDelta) + 4.0 / 29.0;
    return 116.0 * f - 16.0;
}

int hueSpread(const QColor& color)
{
    const auto [low, high] = std::minmax({color.red(), color.green(), color.blue()});
    return high - low;
}

}  // namespace halfcell::app
