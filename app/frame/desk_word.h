#pragma once

#include <QPushButton>

namespace halfcell::app {

/// A desk word of the bar: plain text, the chosen one heavy over a 4 px ink bar. GUI thread only.
class DeskWord : public QPushButton {
    Q_OBJECT
public:
    explicit DeskWord(const QString& text, QWidget* parent = nullptr);

    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent* event) override;
};

}  // namespace halfcell::app
