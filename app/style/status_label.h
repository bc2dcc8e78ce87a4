#pragma once

#include "app/style/marks.h"

#include <QWidget>

namespace halfcell::app {

/// A signal's mark beside its word. Reads as its word; takes no focus. GUI thread only.
class StatusLabel : public QWidget {
    Q_OBJECT
public:
    /// `size` of the mark in px at scale 1 (14, 16, 24 or 48).
    explicit StatusLabel(int size = 16, QWidget* parent = nullptr);

    void setCondition(Condition condition);
    [[nodiscard]] Condition condition() const { return m_condition; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    int m_size;
    Condition m_condition;
};

/// A reading's mark (as found, after cleaning, as left) for the head of a group of fields. Reads as its word.
class PhaseLabel : public QWidget {
    Q_OBJECT
public:
    explicit PhaseLabel(core::Phase phase, QWidget* parent = nullptr);

    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    core::Phase m_phase;
};

}  // namespace halfcell::app
