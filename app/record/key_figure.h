#pragma once

#include "app/record/record_page.h"

#include <QAbstractButton>

namespace halfcell::app {

/// One of the large figures at the head of the Record: label, value, ±, unit. A press, Enter or Ctrl+E opens its working;
/// Ctrl+C copies it. GUI thread only.
class KeyFigureButton : public QAbstractButton {
    Q_OBJECT
public:
    explicit KeyFigureButton(QWidget* parent = nullptr);

    void setKeyFigure(const KeyFigure& figure);
    [[nodiscard]] const KeyFigure& keyFigure() const { return m_figure; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    struct Words {
        QString value, rest;   ///< "97.2", "±1.5 %"; the reason stands in `rest`
    };
    [[nodiscard]] Words words() const;

    KeyFigure m_figure;
};

}  // namespace halfcell::app
