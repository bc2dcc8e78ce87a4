#include "app/style/type.h"

#include "app/style/metrics.h"

#include <QFontMetricsF>
#include <QString>
#include <QVariant>
#include <QWidget>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr char kRoleProperty[] = "halfcellTextRole";
constexpr char kWeightProperty[] = "halfcellTextWeight";

bool isMono(TextRole role)
{
    return role == TextRole::Serial || role == TextRole::InlineSerial;
}

}  // namespace

int pixelSize(TextRole role)
{
    switch (role) {
    case TextRole::Serial: return 24;
    case TextRole::KeyFigure: return 22;
    case TextRole::Field: return 16;
    case TextRole::Finding: return 15;
    case TextRole::Body: return 14;
    case TextRole::Hint:
    case TextRole::InlineSerial: return 13;
    case TextRole::Axis: return 12;
    }
    return 14;
}

QFont fontOf(TextRole role, Weight weight, double scale)
{
    QFont font;
    font.setFamilies(isMono(role) ? QStringList{u"DejaVu Sans Mono"_s, u"monospace"_s} : QStringList{u"Lato"_s, u"DejaVu Sans"_s});
    font.setStyleHint(isMono(role) ? QFont::Monospace : QFont::SansSerif);
    font.setPixelSize(std::max(1, static_cast<int>(std::lround(pixelSize(role) * scale))));
    font.setWeight(weight == Weight::Heavy ? QFont::Bold : QFont::Normal);
    return font;
}

FigureWidths measureFigures(const QFont& font)
{
    const QFontMetricsF metrics(font);
    FigureWidths widths;
    double narrowest = metrics.horizontalAdvance(u'0');
    for (const QChar c : u"0123456789+\u2212\u00B1\u2007"_s) {
        const double width = metrics.horizontalAdvance(c);
        widths.cell = std::max(widths.cell, width);
        narrowest = std::min(narrowest, width);
    }
    widths.point = std::max(metrics.horizontalAdvance(u'.'), metrics.horizontalAdvance(u','));
    // Half a pixel over a whole column is not seen; rounding of advances at small sizes stays below it.
    widths.uniform = widths.cell - narrowest < 0.05;
    return widths;
}

void setTextRole(QWidget* widget, TextRole role, Weight weight)
{
    widget->setProperty(kRoleProperty, static_cast<int>(role));
    widget->setProperty(kWeightProperty, static_cast<int>(weight));
    applyTextRole(widget, Metrics::of(widget).scale);
}

void applyTextRole(QWidget* widget, double scale)
{
    const QVariant role = widget->property(kRoleProperty);
    if (!role.isValid())
        return;
    const auto weight = static_cast<Weight>(widget->property(kWeightProperty).toInt());
    widget->setFont(fontOf(static_cast<TextRole>(role.toInt()), weight, scale));
}

}  // namespace halfcell::app
