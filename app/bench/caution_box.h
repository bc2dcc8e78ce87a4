#pragma once

#include "app/bench/bench_model.h"

#include <QElapsedTimer>
#include <QFrame>

class QLabel;
class QPushButton;

namespace halfcell::app::bench {

class BenchPresenter;

/// An interlock: opens in the form where the step was chosen and takes the focus. Y or N only (U where the sheet does not
/// say); no key counts in its first 0.4 s, so that nothing typed ahead, and no scan, answers it. GUI thread only.
class CautionBox : public QFrame {
    Q_OBJECT
public:
    static constexpr int kGuardMs = 400;

    explicit CautionBox(BenchPresenter& presenter, QWidget* parent = nullptr);

    /// Shows the box of the model, or hides.
    void refresh();
    [[nodiscard]] bool guarded() const;

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool event(QEvent* event) override;
    bool focusNextPrevChild(bool next) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void answer(QChar key);

    BenchPresenter& m_presenter;
    QLabel* m_text;
    QPushButton* m_yes;
    QPushButton* m_no;
    QPushButton* m_unwritten;
    QElapsedTimer m_since;
    QString m_shown;
};

}  // namespace halfcell::app::bench
