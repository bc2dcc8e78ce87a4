#pragma once

#include <QFont>
#include <QLabel>

#include <array>

namespace halfcell::app {

/// A label that wraps and works out its height once a width: a column of them is laid out in a fraction of the time, because Qt asks
/// for the same heights several times over and lays the text out anew each time. GUI thread only.
class WrappedLabel : public QLabel {
    Q_OBJECT
public:
    explicit WrappedLabel(const QString& text = {}, QWidget* parent = nullptr);

    [[nodiscard]] QSize sizeHint() const override;
    /// One line high and as narrow as may be: the words wrap.
    [[nodiscard]] QSize minimumSizeHint() const override;
    [[nodiscard]] int heightForWidth(int width) const override;

private:
    struct Known {
        int width = -1, height = 0;
        QString text;
        QFont font;
    };
    mutable std::array<Known, 2> m_known;  ///< with a scroll bar beside it and without
    mutable std::size_t m_oldest = 0;
};

}  // namespace halfcell::app
