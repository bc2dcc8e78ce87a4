#include "app/style/ink_style.h"

#include "app/style/type.h"

#include <QAbstractItemView>
#include <QHeaderView>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QStyleFactory>
#include <QStyleOption>
#include <QTableView>
#include <QVariant>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr char kPrimary[] = "halfcellPrimary";
constexpr char kFlat[] = "halfcellFlat";
constexpr char kSurface[] = "halfcellSurface";

QPalette::ColorRole surfaceRole(Role role)
{
    switch (role) {
    case Role::Sheet: return QPalette::AlternateBase;
    case Role::Well: return QPalette::Base;
    case Role::Raised: return QPalette::Light;
    default: return QPalette::Window;
    }
}

/// True for the first column as seen: that is where the ink bar of a selected row stands.
bool startsRow(const QStyleOptionViewItem& item, const QWidget* widget)
{
    if (item.viewItemPosition == QStyleOptionViewItem::Beginning || item.viewItemPosition == QStyleOptionViewItem::OnlyOne)
        return true;
    if (item.viewItemPosition != QStyleOptionViewItem::Invalid)
        return false;
    if (const auto* table = qobject_cast<const QTableView*>(widget); table != nullptr && item.index.isValid())
        return table->horizontalHeader()->visualIndex(item.index.column()) == 0;
    return true;
}

}  // namespace

InkStyle::InkStyle(Metrics metrics) : QProxyStyle(QStyleFactory::create(u"Fusion"_s)), m_metrics(metrics)
{
    setObjectName(u"halfcell"_s);
}

QPalette InkStyle::standardPalette() const
{
    return Palette::of(Scheme::Light).toQt();
}

void InkStyle::polish(QPalette& palette)
{
    // The theme has set every role; Fusion would put its own highlight back.
    Q_UNUSED(palette);
}

void InkStyle::polish(QWidget* widget)
{
    QProxyStyle::polish(widget);
    applyTextRole(widget, m_metrics.scale);
    // Hover is not told apart: what a press does is said by the word and the border.
    widget->setAttribute(Qt::WA_Hover, false);
    // Enter presses the button that has the focus, in windows as in dialogs.
    if (auto* button = qobject_cast<QPushButton*>(widget))
        button->setAutoDefault(true);
}

int InkStyle::pixelMetric(PixelMetric metric, const QStyleOption* option, const QWidget* widget) const
{
    switch (metric) {
    case PM_DefaultFrameWidth: return 1;
    case PM_FocusFrameHMargin:
        // Qt's item layout takes this, plus one, as the text margin of a cell: 8 px, as in header sections.
        if (qobject_cast<const QAbstractItemView*>(widget) != nullptr)
            return m_metrics.px(8) - 1;
        return m_metrics.focusGap() + m_metrics.focusWidth();
    case PM_FocusFrameVMargin: return m_metrics.focusGap() + m_metrics.focusWidth();
    case PM_ScrollBarExtent: return m_metrics.target();
    case PM_ScrollBarSliderMin: return m_metrics.px(24);
    case PM_IndicatorWidth:
    case PM_IndicatorHeight:
    case PM_ExclusiveIndicatorWidth:
    case PM_ExclusiveIndicatorHeight: return m_metrics.px(m_metrics.density == Density::Glove ? 24 : 16);
    case PM_CheckBoxLabelSpacing:
    case PM_RadioButtonLabelSpacing: return m_metrics.spacing();
    case PM_ButtonMargin: return m_metrics.px(24);
    case PM_ButtonShiftHorizontal:
    case PM_ButtonShiftVertical:
    case PM_MenuPanelWidth: return 0;
    case PM_LayoutHorizontalSpacing:
    case PM_LayoutVerticalSpacing: return m_metrics.spacing();
    case PM_LayoutLeftMargin:
    case PM_LayoutTopMargin:
    case PM_LayoutRightMargin:
    case PM_LayoutBottomMargin: return m_metrics.margin();
    case PM_SplitterWidth: return m_metrics.px(8);
    case PM_TreeViewIndentation: return m_metrics.px(14);
    case PM_TabBarTabShiftHorizontal:
    case PM_TabBarTabShiftVertical:
    case PM_TabBarTabOverlap:
    case PM_TabBarBaseOverlap: return 0;
    case PM_SmallIconSize: return m_metrics.mark();
    case PM_HeaderMargin: return m_metrics.px(8);
    case PM_HeaderDefaultSectionSizeVertical: return m_metrics.row();
    case PM_SliderThickness:
    case PM_SliderControlThickness: return m_metrics.target();
    case PM_SliderLength: return m_metrics.target();
    case PM_HeaderMarkSize: return m_metrics.px(8);
    case PM_TextCursorWidth: return std::max(2, m_metrics.px(1));
    default: return QProxyStyle::pixelMetric(metric, option, widget);
    }
}

int InkStyle::styleHint(StyleHint hint, const QStyleOption* option, const QWidget* widget, QStyleHintReturn* returnData) const
{
    switch (hint) {
    case SH_Widget_Animation_Duration:
    case SH_EtchDisabledText:
    case SH_DitherDisabledText:
    case SH_ItemView_ActivateItemOnSingleClick:
    case SH_ComboBox_Popup: return 0;
    case SH_UnderlineShortcut:
    case SH_ItemView_ShowDecorationSelected:
    case SH_ScrollBar_LeftClickAbsolutePosition: return 1;
    case SH_Table_GridLineColor:
        return option != nullptr ? static_cast<int>(Palette::of(option->palette)[Role::Rule].rgb())
                                 : QProxyStyle::styleHint(hint, option, widget, returnData);
    default: return QProxyStyle::styleHint(hint, option, widget, returnData);
    }
}

QSize InkStyle::sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size, const QWidget* widget) const
{
    const int target = m_metrics.target();
    const auto atLeast = [&](QSize given, int width, int height) {
        return QSize(std::max(given.width(), width), std::max(given.height(), height));
    };
    switch (type) {
    case CT_PushButton: {
        if (widget != nullptr && widget->property(kFlat).isValid())
            return atLeast(QSize(size.width() + m_metrics.px(4), size.height()), target, target);
        return atLeast(QSize(size.width() + m_metrics.px(24), size.height()), m_metrics.button(), m_metrics.button());
    }
    case CT_ToolButton: return atLeast(size, target, target);
    case CT_LineEdit:
    case CT_SpinBox: return atLeast(size, target, m_metrics.field());
    case CT_ComboBox: return atLeast(QSize(size.width() + m_metrics.px(40), size.height()), target, m_metrics.field());
    case CT_CheckBox:
    case CT_RadioButton: return atLeast(QProxyStyle::sizeFromContents(type, option, size, widget), target, target);
    case CT_ItemViewItem: return atLeast(QProxyStyle::sizeFromContents(type, option, size, widget), 0, m_metrics.row());
    case CT_HeaderSection: {
        QSize section = QProxyStyle::sizeFromContents(type, option, size, widget);
        return atLeast(section, 0, m_metrics.row());
    }
    case CT_TabBarTab: return atLeast(size, target, std::max(m_metrics.px(36), target));
    case CT_MenuItem: {
        QSize item = QProxyStyle::sizeFromContents(type, option, size, widget);
        const auto* menu = qstyleoption_cast<const QStyleOptionMenuItem*>(option);
        return menu != nullptr && menu->menuItemType == QStyleOptionMenuItem::Separator ? item : atLeast(item, 0, m_metrics.row());
    }
    default: return QProxyStyle::sizeFromContents(type, option, size, widget);
    }
}

QRect InkStyle::subElementRect(SubElement element, const QStyleOption* option, const QWidget* widget) const
{
    if (element == SE_LineEditContents) {
        const QRect contents = QProxyStyle::subElementRect(element, option, widget);
        return contents.adjusted(m_metrics.px(4), 0, -m_metrics.px(4), 0);
    }
    return QProxyStyle::subElementRect(element, option, widget);
}

QRect InkStyle::subControlRect(ComplexControl control, const QStyleOptionComplex* option, SubControl part, const QWidget* widget) const
{
    const QRect given = QProxyStyle::subControlRect(control, option, part, widget);
    if (control == CC_GroupBox && part == SC_GroupBoxLabel)
        return QRect(option->rect.left(), option->rect.top(), option->rect.width(), given.height());
    if (control == CC_ComboBox && part == SC_ComboBoxEditField)
        return given.adjusted(m_metrics.px(4), 0, 0, 0);
    return given;
}

void InkStyle::drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter, const QWidget* widget) const
{
    const Palette palette = Palette::of(option->palette);
    const QRectF border = QRectF(option->rect).adjusted(0.5, 0.5, -0.5, -0.5);
    switch (element) {
    case PE_FrameFocusRect:
        // Item views, tabs and links in a sentence; everything else has the ring outside.
        if (qobject_cast<const QAbstractItemView*>(widget) != nullptr || qobject_cast<const QLabel*>(widget) != nullptr
            || (widget != nullptr && widget->inherits("QTabBar"))) {
            painter->save();
            painter->setPen(QPen(palette[Role::Ink1], m_metrics.focusWidth()));
            painter->setBrush(Qt::NoBrush);
            painter->drawRect(QRectF(option->rect).adjusted(1, 1, -1, -1));
            painter->restore();
        }
        return;
    case PE_PanelButtonCommand:
    case PE_PanelButtonBevel:
    case PE_PanelButtonTool: drawButtonPanel(*option, *painter, widget); return;
    case PE_FrameTabWidget:
        painter->fillRect(QRect(option->rect.left(), option->rect.top(), option->rect.width(), 1), palette[Role::Rule]);
        return;
    case PE_FrameGroupBox:
    case PE_FrameDefaultButton:
    case PE_FrameButtonBevel:
    case PE_FrameButtonTool:
    case PE_IndicatorTabTear:
    case PE_FrameTabBarBase:
    case PE_FrameStatusBarItem: return;
    case PE_PanelLineEdit:
        painter->fillRect(option->rect, option->palette.brush(QPalette::Base));
        if (const auto* frame = qstyleoption_cast<const QStyleOptionFrame*>(option); frame != nullptr && frame->lineWidth > 0)
            drawPrimitive(PE_FrameLineEdit, option, painter, widget);
        return;
    case PE_FrameLineEdit:
    case PE_Frame:
    case PE_FrameMenu:
    case PE_FrameWindow:
    case PE_FrameDockWidget:
        painter->save();
        painter->setPen(QPen(palette[Role::Edge], 1.0));
        painter->setBrush(Qt::NoBrush);
        painter->drawRect(border);
        painter->restore();
        return;
    case PE_PanelMenu:
    case PE_PanelTipLabel:
        painter->save();
        painter->setPen(QPen(palette[Role::Edge], 1.0));
        painter->setBrush(palette[Role::Sheet]);
        painter->drawRect(border);
        painter->restore();
        return;
    case PE_PanelItemViewRow: return;
    case PE_PanelItemViewItem: {
        const auto* item = qstyleoption_cast<const QStyleOptionViewItem*>(option);
        if (item == nullptr)
            return;
        if (item->state & State_Selected) {
            painter->fillRect(item->rect, palette[Role::Raised]);
            if (startsRow(*item, widget))
                painter->fillRect(QRect(item->rect.left(), item->rect.top(), m_metrics.selectionBar(), item->rect.height()),
                                  palette[Role::Ink1]);
        } else if (item->backgroundBrush.style() != Qt::NoBrush) {
            painter->fillRect(item->rect, item->backgroundBrush);
        }
        return;
    }
    case PE_IndicatorCheckBox:
    case PE_IndicatorItemViewItemCheck:
    case PE_IndicatorRadioButton: drawIndicator(element, *option, *painter); return;
    case PE_IndicatorBranch: drawBranch(*option, *painter); return;
    case PE_IndicatorArrowDown: paintArrow(*painter, option->rect, Qt::DownArrow, palette[Role::Ink1]); return;
    case PE_IndicatorArrowUp: paintArrow(*painter, option->rect, Qt::UpArrow, palette[Role::Ink1]); return;
    case PE_IndicatorArrowLeft: paintArrow(*painter, option->rect, Qt::LeftArrow, palette[Role::Ink1]); return;
    case PE_IndicatorArrowRight: paintArrow(*painter, option->rect, Qt::RightArrow, palette[Role::Ink1]); return;
    case PE_IndicatorHeaderArrow:
        if (const auto* header = qstyleoption_cast<const QStyleOptionHeader*>(option)) {
            if (header->sortIndicator == QStyleOptionHeader::SortDown)
                paintArrow(*painter, header->rect, Qt::DownArrow, palette[Role::Ink2]);
            else if (header->sortIndicator == QStyleOptionHeader::SortUp)
                paintArrow(*painter, header->rect, Qt::UpArrow, palette[Role::Ink2]);
        }
        return;
    default: QProxyStyle::drawPrimitive(element, option, painter, widget);
    }
}

void setPrimary(QPushButton* button, bool primary)
{
    button->setProperty(kPrimary, primary);
    button->update();
}

bool isPrimary(const QWidget* widget)
{
    return widget != nullptr && widget->property(kPrimary).toBool();
}

void setFlatLook(QWidget* button, bool link)
{
    button->setProperty(kFlat, link);
    if (link) {
        QFont font = button->font();
        font.setUnderline(true);
        button->setFont(font);
    }
}

void setSurface(QWidget* widget, Role role)
{
    widget->setProperty(kSurface, static_cast<int>(role));
    widget->setBackgroundRole(surfaceRole(role));
    widget->setAutoFillBackground(true);
}

void paintItemGround(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index)
{
    QStyleOptionViewItem item = option;
    item.index = index;
    const QWidget* widget = option.widget;
    if (widget == nullptr)
        return;
    widget->style()->drawPrimitive(QStyle::PE_PanelItemViewItem, &item, &painter, widget);
    if (option.state & QStyle::State_HasFocus) {
        QStyleOptionFocusRect focus;
        focus.QStyleOption::operator=(item);
        widget->style()->drawPrimitive(QStyle::PE_FrameFocusRect, &focus, &painter, widget);
    }
}

void paintArrow(QPainter& painter, const QRectF& box, Qt::ArrowType direction, const QColor& ink)
{
    const double side = std::min({box.width(), box.height(), 8.0});
    const double half = side / 2.0;
    const QPointF c = box.center();
    QPolygonF shape;
    switch (direction) {
    case Qt::UpArrow: shape << c + QPointF(-half, half / 2) << c + QPointF(half, half / 2) << c + QPointF(0, -half / 2); break;
    case Qt::LeftArrow: shape << c + QPointF(half / 2, -half) << c + QPointF(half / 2, half) << c + QPointF(-half / 2, 0); break;
    case Qt::RightArrow: shape << c + QPointF(-half / 2, -half) << c + QPointF(-half / 2, half) << c + QPointF(half / 2, 0); break;
    default: shape << c + QPointF(-half, -half / 2) << c + QPointF(half, -half / 2) << c + QPointF(0, half / 2); break;
    }
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(Qt::NoPen);
    painter.setBrush(ink);
    painter.drawPolygon(shape);
    painter.restore();
}

}  // namespace halfcell::app
