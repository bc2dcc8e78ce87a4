#include "app/review/option_rule.h"

#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QPainter>

#include <algorithm>

namespace halfcell::app {

OptionRule::OptionRule(QWidget* parent) : QWidget(parent)
{
    setObjectName(QStringLiteral("review.case.options"));
    setAccessibleName(tr("Cost a month of each option"));
}

void OptionRule::setLines(std::vector<OptionLine> lines)
{
    m_lines = std::move(lines);
    QString words;
    for (const OptionLine& l : m_lines) {
        words += l.cost ? tr("%1: %2 a month, 90 %: %3 to %4, best in %5 % of the draws. ")
                              .arg(l.name, figureText(*l.cost, 1, Sign::WhenNegative),
                                   figureText(l.low.value_or(*l.cost), 1, Sign::WhenNegative),
                                   figureText(l.high.value_or(*l.cost), 1, Sign::WhenNegative),
                                   l.probabilityBest > 0.99 ? tr("over 99") : figureText(100.0 * l.probabilityBest, 0, Sign::WhenNegative))
                        : tr("%1: no price. ").arg(l.name);
    }
    setAccessibleDescription(words);
    updateGeometry();
    update();
}

QSize OptionRule::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    return {metrics.px(420), metrics.px(24.0) * std::max<int>(2, static_cast<int>(m_lines.size())) + metrics.px(22)};
}

void OptionRule::paintEvent(QPaintEvent*)
{
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const Palette inks = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    double low = 1e300, high = -1e300;
    for (const OptionLine& l : m_lines)
        if (l.cost) {
            low = std::min({low, *l.cost, l.low.value_or(*l.cost)});
            high = std::max({high, *l.cost, l.high.value_or(*l.cost)});
        }
    if (low > high)
        return;
    const double pad = std::max(1.0, 0.08 * (high - low));
    low = std::max(0.0, low - pad);
    high += pad;
    const double nameWidth = metrics.px(150), figureWidth = metrics.px(136);
    const double left = nameWidth, right = width() - figureWidth;
    const auto x = [&](double cost) { return left + (right - left) * (cost - low) / (high - low); };
    const double rowHeight = metrics.px(24);
    double y = rowHeight / 2;
    for (const OptionLine& l : m_lines) {
        const QFont font = fontOf(TextRole::Hint, l.best ? Weight::Heavy : Weight::Regular, metrics.scale);
        p.setFont(font);
        p.setPen(inks[l.best ? Role::Ink1 : Role::Ink2]);
        p.drawText(QRectF(0, y - rowHeight / 2, nameWidth - metrics.px(8), rowHeight), Qt::AlignVCenter | Qt::AlignLeft,
                   QFontMetricsF(font).elidedText(l.name, Qt::ElideMiddle, nameWidth - metrics.px(8)));
        p.setPen(QPen(inks[Role::Rule], 1));
        p.drawLine(QPointF(left, y), QPointF(right, y));
        if (l.cost) {
            p.setPen(QPen(inks[Role::Ink1], 1.5));
            p.drawLine(QPointF(x(l.low.value_or(*l.cost)), y), QPointF(x(l.high.value_or(*l.cost)), y));
            p.setPen(Qt::NoPen);
            p.setBrush(inks[Role::Ink1]);
            const double r = metrics.px(l.best ? 5 : 4);
            p.drawEllipse(QPointF(x(*l.cost), y), r, r);
            p.setPen(inks[l.best ? Role::Ink1 : Role::Ink2]);
            p.drawText(QRectF(right + metrics.px(10), y - rowHeight / 2, figureWidth - metrics.px(10), rowHeight),
                       Qt::AlignVCenter | Qt::AlignLeft,
                       tr("%1   best %2 %")
                           .arg(figureText(*l.cost, 1, Sign::WhenNegative),
                                l.probabilityBest > 0.99 ? tr("over 99") : figureText(100.0 * l.probabilityBest, 0, Sign::WhenNegative)));
        } else {
            p.setPen(inks[Role::Ink3]);
            p.drawText(QRectF(left, y - rowHeight / 2, right - left, rowHeight), Qt::AlignVCenter | Qt::AlignLeft, tr("no price"));
        }
        y += rowHeight;
    }
    p.setFont(fontOf(TextRole::Axis, Weight::Regular, metrics.scale));
    p.setPen(inks[Role::Ink3]);
    p.drawText(QRectF(left, y - rowHeight / 2, right - left, metrics.px(20)), Qt::AlignVCenter | Qt::AlignLeft,
               figureText(low, 0, Sign::WhenNegative));
    p.drawText(QRectF(left, y - rowHeight / 2, right - left, metrics.px(20)), Qt::AlignVCenter | Qt::AlignRight,
               figureText(high, 0, Sign::WhenNegative));
    p.drawText(QRectF(left, y - rowHeight / 2, right - left, metrics.px(20)), Qt::AlignCenter, tr("money a month"));
}

}  // namespace halfcell::app
