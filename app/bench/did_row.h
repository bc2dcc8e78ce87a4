#pragma once

#include "app/bench/visit_draft.h"
#include "core/rules/rule_set.h"

#include <QAbstractButton>

namespace halfcell::app::bench {

class BenchPresenter;

/// What was done, one letter a step, in order. One focus; every key goes to the presenter. GUI thread only.
class DidRow : public QAbstractButton {
    Q_OBJECT
public:
    explicit DidRow(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();
    /// "1 detergent, 6 min   2 acid 5 %, 4 min".
    [[nodiscard]] QString stepsText() const { return m_steps; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;

private:
    [[nodiscard]] QRect textBox(int width) const;

    BenchPresenter& m_presenter;
    QString m_steps;
    QString m_hint;
};

}  // namespace halfcell::app::bench
