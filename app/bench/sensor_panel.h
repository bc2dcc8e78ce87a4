#pragma once

#include <QWidget>

class QLabel;
class QPushButton;
class QVBoxLayout;

namespace halfcell::app::bench {

class BenchPresenter;
class KitPanel;

/// "This sensor": design and what it can't have done, how it was last left, the spare that fits, bottles, meter and
/// thermometer of the round. GUI thread only.
class SensorPanel : public QWidget {
    Q_OBJECT
public:
    explicit SensorPanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();
    /// Ctrl+B: the bottles and instruments of the round, in place.
    void openKit();

Q_SIGNALS:
    void kitClosed();

private:
    void build();

    BenchPresenter& m_presenter;
    QVBoxLayout* m_column;
    QLabel* m_last = nullptr;
    QLabel* m_spare = nullptr;
    QLabel* m_lots = nullptr;
    QPushButton* m_change = nullptr;
    KitPanel* m_kit = nullptr;
};

}  // namespace halfcell::app::bench
