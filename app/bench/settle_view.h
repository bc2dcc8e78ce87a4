#pragma once

#include <QTimer>
#include <QWidget>

class QLabel;

namespace halfcell::app::bench {

class BenchPresenter;

/// The settle clock: seconds in this standard "of" the least wait, and whether the reading has settled. Speaks once, when
/// the least wait is over. GUI thread only.
class SettleView : public QWidget {
    Q_OBJECT
public:
    explicit SettleView(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();
    [[nodiscard]] QString clockText() const;

private:
    [[nodiscard]] QString sheetWords() const;

    BenchPresenter& m_presenter;
    QLabel* m_clock;
    QLabel* m_words;
    QTimer m_tick;
    bool m_over = false;
};

}  // namespace halfcell::app::bench
