#pragma once

#include "app/review/review_presenter.h"

#include <QWidget>

namespace halfcell::app {

/// Cost by option as dot and whisker on one rule: dot the mean, whisker 90 %, the best one heavy. Reads as sentences.
class OptionRule : public QWidget {
    Q_OBJECT
public:
    explicit OptionRule(QWidget* parent = nullptr);
    void setLines(std::vector<OptionLine> lines);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::vector<OptionLine> m_lines;
};

}  // namespace halfcell::app
