#pragma once

#include "app/style/metrics.h"
#include "app/style/palette.h"

#include <QProxyStyle>

class QModelIndex;
class QPushButton;
class QStyleOptionViewItem;

/// The look of every control: ink on paper. Built on Fusion for layout and behaviour; everything Fusion would shade,
/// tint or round is drawn here from the palette's roles. No gradients, shadows or animations.
namespace halfcell::app {

/// Drawn with flat surfaces, 1 px borders and a reversed primary button. Focus of fields and buttons is drawn by
/// FocusRing outside the control; item views and tabs draw theirs inside. GUI thread only.
class InkStyle : public QProxyStyle {
    Q_OBJECT
public:
    explicit InkStyle(Metrics metrics = {});

    [[nodiscard]] const Metrics& metrics() const { return m_metrics; }

    void polish(QWidget* widget) override;
    void polish(QPalette& palette) override;
    void polish(QApplication* application) override { QProxyStyle::polish(application); }
    [[nodiscard]] QPalette standardPalette() const override;

    [[nodiscard]] int pixelMetric(PixelMetric metric, const QStyleOption* option = nullptr,
                                  const QWidget* widget = nullptr) const override;
    [[nodiscard]] int styleHint(StyleHint hint, const QStyleOption* option = nullptr, const QWidget* widget = nullptr,
                                QStyleHintReturn* returnData = nullptr) const override;
    [[nodiscard]] QSize sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                                         const QWidget* widget = nullptr) const override;
    [[nodiscard]] QRect subElementRect(SubElement element, const QStyleOption* option, const QWidget* widget = nullptr) const override;
    [[nodiscard]] QRect subControlRect(ComplexControl control, const QStyleOptionComplex* option, SubControl part,
                                       const QWidget* widget = nullptr) const override;
    void drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                       const QWidget* widget = nullptr) const override;
    void drawControl(ControlElement element, const QStyleOption* option, QPainter* painter,
                     const QWidget* widget = nullptr) const override;
    void drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter,
                            const QWidget* widget = nullptr) const override;

private:
    void drawButtonPanel(const QStyleOption& option, QPainter& painter, const QWidget* widget) const;
    void drawIndicator(PrimitiveElement element, const QStyleOption& option, QPainter& painter) const;
    void drawBranch(const QStyleOption& option, QPainter& painter) const;
    void drawHeaderSection(const QStyleOption& option, QPainter& painter) const;
    void drawTabShape(const QStyleOption& option, QPainter& painter) const;
    void drawScrollBar(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;
    void drawComboBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;
    void drawSpinBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;
    void drawSlider(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;
    void drawGroupBox(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;
    void drawToolButton(const QStyleOptionComplex& option, QPainter& painter, const QWidget* widget) const;

    Metrics m_metrics;
};

/// Marks the one primary button of a form: drawn reversed.
void setPrimary(QPushButton* button, bool primary = true);
[[nodiscard]] bool isPrimary(const QWidget* widget);

/// A flat button: no border, its text underlined like a link when `link`; for counts in sentences and "Correct...".
void setFlatLook(QWidget* button, bool link);

/// Gives a widget a surface role as its background (Ground, Sheet, Well or Raised), following every palette change.
void setSurface(QWidget* widget, Role role);

/// Ground of an item in a view: raised with a 4 px ink bar at the row's start when selected, and the focus ring inside
/// the cell when it is current and the view has the focus. For delegates that draw the rest themselves.
void paintItemGround(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index);

/// A triangle pointing in a direction, filled with ink.
void paintArrow(QPainter& painter, const QRectF& box, Qt::ArrowType direction, const QColor& ink);

}  // namespace halfcell::app
