#pragma once

#include <QWidget>

class QLabel;
class QVBoxLayout;

namespace halfcell::app::bench {

class BenchPresenter;

/// "Before you touch it": what the loop does, whom to tell, what is in the pipe, the interlocks as boxes. Never hidden
/// without a line that says so. GUI thread only.
class BeforePanel : public QWidget {
    Q_OBJECT
public:
    explicit BeforePanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    /// One line of it, for where the panel is folded: "control loop · ext. 117 · 2 interlocks".
    [[nodiscard]] QString oneLine() const { return m_oneLine; }


private:
    void build(BenchPresenter& presenter);
    void addBox(const QString& title, const QString& text, bool danger);

    QVBoxLayout* m_column;
    QString m_oneLine;
};

}  // namespace halfcell::app::bench
