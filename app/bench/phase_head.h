#pragma once

#include "app/bench/live_readings.h"

#include <QWidget>

class QLabel;
class QHBoxLayout;

namespace halfcell::app::bench {

/// The head of a phase: its mark, its name, and the figures of its readings with their uncertainty. GUI thread only.
class PhaseHead : public QWidget {
    Q_OBJECT
public:
    /// `phase` absent: a head without a mark ("Did").
    PhaseHead(std::optional<core::Phase> phase, const QString& title, QWidget* parent = nullptr);

    void setTitle(const QString& title);
    /// Figures of a phase that has readings; empties the head otherwise.
    void showFigures(const LivePhase& live);
    /// A widget beside the title (the choice of "As left").
    void addBeside(QWidget* widget);
    /// The figures as text, for tests and readers.
    [[nodiscard]] QString figuresText() const;

protected:
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    [[nodiscard]] QSize sizeHint() const override;

private:
    void compose();

    QHBoxLayout* m_row = nullptr;
    QLabel* m_title = nullptr;
    QLabel* m_figures = nullptr;
    LivePhase m_live;
    bool m_any = false;
};

}  // namespace halfcell::app::bench
