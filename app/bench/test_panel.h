#pragma once

#include "core/fleet/keys.h"

#include <QFrame>

#include <string>
#include <string_view>
#include <vector>

class QGridLayout;

namespace halfcell::app::bench {

class BenchPresenter;
struct SensorInHand;

/// One test beside the dips: what it is called, how long it takes, what is written down.
struct BenchTest {
    enum class Answer { Number, Comparison };
    std::string_view column;      ///< of checks.csv
    const char* words;            ///< untranslated
    const char* unit;
    int minutes = 0;
    Answer answer = Answer::Number;
};
/// The tests that this sensor can have, cheapest first. Minutes are hands-on, common practice.
[[nodiscard]] std::vector<BenchTest> testsFor(const SensorInHand& hand);

/// F3: the tests this design allows, with their minutes and a field each. Enter goes on to the next, Esc closes; what is
/// typed counts at once. GUI thread only.
class TestPanel : public QFrame {
    Q_OBJECT
public:
    explicit TestPanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    void open();

Q_SIGNALS:
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    BenchPresenter& m_presenter;
    QGridLayout* m_grid;
    std::vector<QWidget*> m_fields;
};

}  // namespace halfcell::app::bench
