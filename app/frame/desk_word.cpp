#include "app/frame/desk_word.h"

#include "app/style/focus_ring.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QFontMetrics>
#include <QPainter>

namespace halfcell::app {

namespace {

constexpr double kSide = 12.0;  // px left and right of the word, three steps of the grid

}  // namespace

DeskWord::DeskWord(const QString& text, QWidget* parent) : QPushButton(text, parent)
{
    setCheckable(true);
    setFlat(true);
    setAutoDefault(false);
    setSizePolicy(QSizePolicy::Minimum, QSizePolicy::Expanding);
    setProperty(FocusRing::kOwnFocus, true);  // the bar is too low for a ring outside
}

QSize DeskWord::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    // As wide as the heavy word, so that choosing one does not move the others.
    const QFontMetrics heavy(fontOf(TextRole::Field, Weight::Heavy, metrics.scale));
    return {heavy.horizontalAdvance(text()) + 2 * metrics.px(kSide), metrics.topBar()};
}

void DeskWord::paintEvent(QPaintEvent* event)
{
    Q_UNUSED(event);
    QPainter painter(this);
    const Palette inks = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    painter.setFont(fontOf(TextRole::Field, isChecked() ? Weight::Heavy : Weight::Regular, metrics.scale));
    painter.setPen(inks[!isEnabled() ? Role::Ink3 : isChecked() ? Role::Ink1 : Role::Ink2]);
    painter.drawText(rect(), Qt::AlignCenter, text());
    const int side = metrics.px(kSide);
    if (isChecked())
        painter.fillRect(QRect(side, height() - metrics.selectionBar(), width() - 2 * side, metrics.selectionBar()), inks[Role::Ink1]);
    if (hasFocus()) {
        const int gap = metrics.px(4);
        painter.setPen(QPen(inks[Role::Ink1], metrics.focusWidth()));
        painter.drawRect(rect().adjusted(gap, gap + metrics.px(2), -gap, -gap - metrics.px(6)));
    }
}

}  // namespace halfcell::app
