#include "app/style/metrics.h"

#include "app/style/ink_style.h"

#include <QApplication>
#include <QWidget>

#include <cmath>

namespace halfcell::app {

Metrics Metrics::of(const QWidget* widget)
{
    QStyle* style = widget != nullptr ? widget->style() : QApplication::style();
    const auto* ink = qobject_cast<const InkStyle*>(style);
    return ink != nullptr ? ink->metrics() : Metrics{};
}

int Metrics::px(double length) const
{
    return static_cast<int>(std::lround(length * scale));
}

WidthClass Metrics::widthClass(int width) const
{
    const double plain = width / scale;
    if (plain >= 1600)
        return WidthClass::Wide;
    if (plain >= 1180)
        return WidthClass::Normal;
    return plain >= 900 ? WidthClass::Narrow : WidthClass::Single;
}

}  // namespace halfcell::app
