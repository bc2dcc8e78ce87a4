// Drawing of single controls: buttons, indicators, fields with arrows, headers, tabs, scroll bars, progress.
#include "app/style/ink_style.h"

#include <QPainter>
#include <QPainterPath>
#include <QStyleOption>
#include <QWidget>

namespace halfcell::app {

namespace {

QRectF inside(const QRect& rect)
{
    return QRectF(rect).adjusted(0.5, 0.5, -0.5, -0.5);
}

bool isFlat(const QWidget* widget)
{
    return widget != nullptr && widget->property("halfcellFlat").isValid();
}

/// The button is drawn reversed: primary and not disabled, or checked.
bool isReversed(const QStyleOption& option, const QWidget* widget)
{
    return (isPrimary(widget) && (option.state & QStyle::State_Enabled)) || (option.state & QStyle::State_On);
}

}  // namespace

void InkStyle::drawButtonPanel(const QStyleOption& option, QPainter& painter, const QWidget* widget) const
{
    if (isFlat(widget))
        return;
    const auto* button = qstyleoption_cast<const QStyleOptionButton*>(&option);
    if (button != nullptr && (button->features & QStyleOptionButton::Flat) && !(option.state & (State_Sunken | State_On)))
        return;
    const Palette palette = Palette::of(option.palette);
    const bool down = option.state & State_Sunken;
    const bool toolButton = widget != nullptr && widget->inherits("QToolButton");
    painter.save();
    if (isReversed(option, widget)) {
        painter.setPen(QPen(palette[Role::Ink1], 1.0));
        painter.setBrush(down ? palette[Role::Ink2] : palette[Role::Ink1]);
    } else {
        painter.setPen(toolButton && (option.state & State_AutoRaise) ? QPen(Qt::NoPen) : QPen(palette[Role::Edge], 1.0));
        painter.setBrush(down ? QBrush(palette[Role::Raised]) : toolButton ? QBrush(Qt::NoBrush) : QBrush(palette[Role::Sheet]));
    }
    painter.drawRect(inside(option.rect));
    painter.restore();
}

void InkStyle::drawIndicator(PrimitiveElement element, const QStyleOption& option, QPainter& painter) const
{
    const Palette palette = Palette::of(option.palette);
    const bool enabled = option.state & State_Enabled;
    const QColor ink = palette[enabled ? Role::Ink1 : Role::Ink3];
    const QRectF box = inside(option.rect);
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(QPen(palette[Role::Edge], 1.0));
    painter.setBrush(palette[Role::Well]);
    if (element == PE_IndicatorRadioButton) {
        painter.drawEllipse(box);
        if (option.state & State_On) {
            painter.setPen(Qt::NoPen);
            painter.setBrush(ink);
            painter.drawEllipse(box.center(), box.width() / 4.0, box.height() / 4.0);
        }
    } else {
        painter.drawRect(box);
        const double unit = box.width() / 15.0;
        if (option.state & State_On) {
            painter.setPen(QPen(ink, 2.0 * unit));
            painter.setBrush(Qt::NoBrush);
            QPainterPath tick(box.topLeft() + QPointF(3, 7.5) * unit);
            tick.lineTo(box.topLeft() + QPointF(6.2, 11) * unit);
            tick.lineTo(box.topLeft() + QPointF(12, 3.8) * unit);
            painter.drawPath(tick);
        } else if (option.state & State_NoChange) {
            painter.fillRect(box.adjusted(4 * unit, 6.5 * unit, -4 * unit, -6.5 * unit), ink);
        }
    }
    painter.restore();
}

void InkStyle::drawBranch(const QStyleOption& option, QPainter& painter) const
{
    if (!(option.state & State_Children))
        return;
    paintArrow(painter, QRectF(option.rect), (option.state & State_Open) ? Qt::DownArrow : Qt::RightArrow,
               Palette::of(option.palette)[Role::Ink3]);
}

void InkStyle::drawHeaderSection(const QStyleOption& option, QPainter& painter) const
{
    const Palette palette = Palette::of(option.palette);
    painter.fillRect(option.rect, option.palette.brush(QPalette::Window));
    painter.save();
    painter.setPen(QPen(palette[Role::Edge], 1.0));
    const auto* header = qstyleoption_cast<const QStyleOptionHeader*>(&option);
    if (header == nullptr || header->orientation == Qt::Horizontal)
        painter.drawLine(QPointF(option.rect.left(), option.rect.bottom() + 0.5), QPointF(option.rect.right() + 1, option.rect.bottom() + 0.5));
    painter.restore();
}

void InkStyle::drawTabShape(const QStyleOption& option, QPainter& painter) const
{
    const Palette palette = Palette::of(option.palette);
    if (option.state & State_Selected)
        painter.fillRect(QRect(option.rect.left() + m_metrics.px(8), option.rect.bottom() + 1 - m_metrics.selectionBar(),
                               option.rect.width() - m_metrics.px(16), m_metrics.selectionBar()),
                         palette[Role::Ink1]);
}

void InkStyle::drawControl(ControlElement element, const QStyleOption* option, QPainter* painter, const QWidget* widget) const
{
    const Palette palette = Palette::of(option->palette);
    switch (element) {
    case CE_PushButtonBevel: {
        const auto* button = qstyleoption_cast<const QStyleOptionButton*>(option);
        if (button == nullptr)
            return;
        drawButtonPanel(*option, *painter, widget);
        if (button->features & QStyleOptionButton::HasMenu)
            paintArrow(*painter, QRectF(option->rect.right() - 20, option->rect.top(), 16, option->rect.height()), Qt::DownArrow,
                       palette[isReversed(*option, widget) ? Role::Ground : Role::Ink1]);
        return;
    }
    case CE_PushButtonLabel: {
        const auto* button = qstyleoption_cast<const QStyleOptionButton*>(option);
        if (button == nullptr)
            return;
        QStyleOptionButton label = *button;
        if (!isFlat(widget) && isReversed(*option, widget))
            label.palette.setColor(QPalette::ButtonText, palette[Role::Ground]);
        label.state &= ~State_HasFocus;
        QProxyStyle::drawControl(element, &label, painter, widget);
        return;
    }
    case CE_ToolButtonLabel: {
        const auto* button = qstyleoption_cast<const QStyleOptionToolButton*>(option);
        if (button == nullptr)
            return;
        QStyleOptionToolButton label = *button;
        if (!isFlat(widget) && isReversed(*option, widget))
            label.palette.setColor(QPalette::ButtonText, palette[Role::Ground]);
        QProxyStyle::drawControl(element, &label, painter, widget);
        return;
    }
    case CE_ItemViewItem: {
        const auto* item = qstyleoption_cast<const QStyleOptionViewItem*>(option);
        if (item == nullptr)
            return;
        QStyleOptionViewItem plain = *item;
        // Selection is a raised ground, so the text on it stays ink.
        plain.palette.setColor(QPalette::HighlightedText, plain.palette.color(QPalette::Text));
        plain.palette.setColor(QPalette::Highlight, palette[Role::Raised]);
        QProxyStyle::drawControl(element, &plain, painter, widget);
        return;
    }
    case CE_HeaderSection: drawHeaderSection(*option, *painter); return;
    case CE_HeaderEmptyArea: {
        painter->fillRect(option->rect, option->palette.brush(QPalette::Window));
        painter->fillRect(QRect(option->rect.left(), option->rect.bottom(), option->rect.width(), 1), palette[Role::Edge]);
        return;
    }
    case CE_HeaderLabel: {
        const auto* header = qstyleoption_cast<const QStyleOptionHeader*>(option);
        if (header == nullptr)
            return;
        QStyleOptionHeaderV2 label;
        if (const auto* v2 = qstyleoption_cast<const QStyleOptionHeaderV2*>(option))
            label = *v2;
        else
            static_cast<QStyleOptionHeader&>(label) = *header;
        label.palette.setColor(QPalette::ButtonText, palette[Role::Ink2]);
        QProxyStyle::drawControl(element, &label, painter, widget);
        return;
    }
    case CE_TabBarTabShape: drawTabShape(*option, *painter); return;
    case CE_ProgressBarGroove:
        painter->save();
        painter->setPen(QPen(palette[Role::Edge], 1.0));
        painter->setBrush(palette[Role::Well]);
        painter->drawRect(inside(option->rect));
        painter->restore();
        return;
    case CE_ProgressBarContents:
        if (const auto* bar = qstyleoption_cast<const QStyleOptionProgressBar*>(option); bar != nullptr && bar->maximum > bar->minimum) {
            const double part = double(bar->progress - bar->minimum) / double(bar->maximum - bar->minimum);
            QRectF filled = QRectF(option->rect).adjusted(1, 1, -1, -1);
            filled.setWidth(filled.width() * part);
            painter->fillRect(filled, palette[Role::Ink2]);
        }
        return;
    case CE_Splitter: {
        const bool upright = option->state & State_Horizontal;
        const QRect r = option->rect;
        painter->fillRect(upright ? QRect(r.center().x(), r.top(), 1, r.height()) : QRect(r.left(), r.center().y(), r.width(), 1),
                          palette[Role::Rule]);
        return;
    }
    case CE_ShapedFrame: {
        const auto* frame = qstyleoption_cast<const QStyleOptionFrame*>(option);
        if (frame == nullptr)
            return;
        const QRect r = option->rect;
        if (frame->frameShape == QFrame::HLine)
            painter->fillRect(QRect(r.left(), r.center().y(), r.width(), 1), palette[Role::Rule]);
        else if (frame->frameShape == QFrame::VLine)
            painter->fillRect(QRect(r.center().x(), r.top(), 1, r.height()), palette[Role::Rule]);
        else if (frame->frameShape != QFrame::NoFrame)
            drawPrimitive(PE_Frame, option, painter, widget);
        return;
    }
    default: QProxyStyle::drawControl(element, option, painter, widget);
    }
}

void InkStyle::drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter, const QWidget* widget) const
{
    switch (control) {
    case CC_ScrollBar: drawScrollBar(*option, *painter, widget); return;
    case CC_ComboBox: drawComboBox(*option, *painter, widget); return;
    case CC_SpinBox: drawSpinBox(*option, *painter, widget); return;
    case CC_Slider: drawSlider(*option, *painter, widget); return;
    case CC_GroupBox: drawGroupBox(*option, *painter, widget); return;
    case CC_ToolButton: drawToolButton(*option, *painter, widget); return;
    default: QProxyStyle::drawComplexControl(control, option, painter, widget);
    }
}

void InkStyle::drawScrollBar(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    const auto* bar = qstyleoption_cast<const QStyleOptionSlider*>(&option);
    if (bar == nullptr)
        return;
    const Palette palette = Palette::of(option.palette);
    painter.fillRect(option.rect, option.palette.brush(QPalette::Window));
    if (bar->maximum <= bar->minimum)
        return;
    const QRect thumb = proxy()->subControlRect(CC_ScrollBar, bar, SC_ScrollBarSlider, widget);
    // The target is wide, the drawn thumb narrow and at the outer side.
    const int width = m_metrics.px(8);
    const QRect drawn = bar->orientation == Qt::Vertical ? QRect(thumb.right() - width - 3, thumb.top() + 2, width, thumb.height() - 4)
                                                         : QRect(thumb.left() + 2, thumb.bottom() - width - 3, thumb.width() - 4, width);
    painter.fillRect(drawn, palette[Role::Edge]);
    const auto arrow = [&](SubControl part, Qt::ArrowType upright, Qt::ArrowType level) {
        const QRect box = proxy()->subControlRect(CC_ScrollBar, bar, part, widget);
        paintArrow(painter, bar->orientation == Qt::Vertical ? QRectF(box.right() - width - 3, box.top(), width, box.height())
                                                             : QRectF(box.left(), box.bottom() - width - 3, box.width(), width),
                   bar->orientation == Qt::Vertical ? upright : level, palette[Role::Ink2]);
    };
    arrow(SC_ScrollBarSubLine, Qt::UpArrow, Qt::LeftArrow);
    arrow(SC_ScrollBarAddLine, Qt::DownArrow, Qt::RightArrow);
}

void InkStyle::drawComboBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    const auto* combo = qstyleoption_cast<const QStyleOptionComboBox*>(&option);
    if (combo == nullptr)
        return;
    const Palette palette = Palette::of(option.palette);
    painter.save();
    painter.setPen(combo->frame ? QPen(palette[Role::Edge], 1.0) : QPen(Qt::NoPen));
    painter.setBrush(palette[Role::Well]);
    painter.drawRect(inside(option.rect));
    painter.restore();
    const QRect arrow = proxy()->subControlRect(CC_ComboBox, combo, SC_ComboBoxArrow, widget);
    paintArrow(painter, arrow, Qt::DownArrow, palette[(option.state & State_Enabled) ? Role::Ink1 : Role::Ink3]);
}

void InkStyle::drawSpinBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    const auto* spin = qstyleoption_cast<const QStyleOptionSpinBox*>(&option);
    if (spin == nullptr)
        return;
    const Palette palette = Palette::of(option.palette);
    painter.save();
    painter.setPen(spin->frame ? QPen(palette[Role::Edge], 1.0) : QPen(Qt::NoPen));
    painter.setBrush(palette[Role::Well]);
    painter.drawRect(inside(option.rect));
    painter.restore();
    if (spin->buttonSymbols == QAbstractSpinBox::NoButtons)
        return;
    const auto arrow = [&](SubControl part, Qt::ArrowType direction, bool enabled) {
        paintArrow(painter, proxy()->subControlRect(CC_SpinBox, spin, part, widget), direction, palette[enabled ? Role::Ink1 : Role::Ink3]);
    };
    arrow(SC_SpinBoxUp, Qt::UpArrow, spin->stepEnabled & QAbstractSpinBox::StepUpEnabled);
    arrow(SC_SpinBoxDown, Qt::DownArrow, spin->stepEnabled & QAbstractSpinBox::StepDownEnabled);
}

void InkStyle::drawSlider(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    const auto* slider = qstyleoption_cast<const QStyleOptionSlider*>(&option);
    if (slider == nullptr)
        return;
    const Palette palette = Palette::of(option.palette);
    const QRectF groove = proxy()->subControlRect(CC_Slider, slider, SC_SliderGroove, widget);
    const QRectF handle = proxy()->subControlRect(CC_Slider, slider, SC_SliderHandle, widget);
    painter.save();
    painter.setPen(QPen(palette[Role::Edge], 2.0));
    if (slider->orientation == Qt::Horizontal)
        painter.drawLine(QPointF(groove.left(), handle.center().y()), QPointF(groove.right(), handle.center().y()));
    else
        painter.drawLine(QPointF(handle.center().x(), groove.top()), QPointF(handle.center().x(), groove.bottom()));
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette[(option.state & State_Enabled) ? Role::Ink1 : Role::Ink3]);
    const double radius = m_metrics.px(7);
    painter.drawEllipse(handle.center(), radius, radius);
    painter.restore();
}

void InkStyle::drawGroupBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    // A heading over its content; no box is drawn round it.
    const auto* box = qstyleoption_cast<const QStyleOptionGroupBox*>(&option);
    if (box == nullptr)
        return;
    const Palette palette = Palette::of(option.palette);
    painter.save();
    QFont heading = widget != nullptr ? widget->font() : painter.font();
    heading.setWeight(QFont::Bold);
    painter.setFont(heading);
    painter.setPen(palette[Role::Ink2]);
    painter.drawText(proxy()->subControlRect(CC_GroupBox, box, SC_GroupBoxLabel, widget), Qt::AlignLeft | Qt::AlignVCenter | Qt::TextShowMnemonic,
                     box->text);
    painter.restore();
}

void InkStyle::drawToolButton(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const
{
    const auto* button = qstyleoption_cast<const QStyleOptionToolButton*>(&option);
    if (button == nullptr)
        return;
    drawButtonPanel(option, painter, widget);
    QStyleOptionToolButton label = *button;
    label.rect = label.rect.adjusted(m_metrics.px(4), 0, -m_metrics.px(4), 0);
    drawControl(CE_ToolButtonLabel, &label, &painter, widget);
}

}  // namespace halfcell::app
