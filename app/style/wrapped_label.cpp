#include "app/style/wrapped_label.h"

#include <QFontMetrics>

namespace halfcell::app {

WrappedLabel::WrappedLabel(const QString& text, QWidget* parent) : QLabel(text, parent)
{
    setWordWrap(true);
}

int WrappedLabel::heightForWidth(int width) const
{
    for (const Known& k : m_known)
        if (k.width == width && k.text == text() && k.font == font())
            return k.height;
    m_known[m_oldest] = {.width = width, .height = QLabel::heightForWidth(width), .text = text(), .font = font()};
    const int height = m_known[m_oldest].height;
    m_oldest = 1 - m_oldest;
    return height;
}

QSize WrappedLabel::sizeHint() const
{
    constexpr int kCharacters = 36;  // of a column beside something else
    const int width = fontMetrics().averageCharWidth() * kCharacters;
    return {width, minimumSizeHint().height()};  // the height follows from the width it gets
}

QSize WrappedLabel::minimumSizeHint() const
{
    const QMargins around = contentsMargins();
    return {around.left() + around.right() + 2 * fontMetrics().averageCharWidth(), around.top() + around.bottom() + fontMetrics().height()};
}

}  // namespace halfcell::app
