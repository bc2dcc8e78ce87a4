#pragma once

#include "core/fleet/keys.h"
#include "core/rules/test_guides.h"

#include <QFrame>

#include <map>
#include <string>
#include <string_view>
#include <vector>

class QVBoxLayout;

namespace halfcell::app::bench {

class BenchPresenter;
class TestRow;
struct SensorInHand;

/// What is written down of a test: a column of checks.csv.
struct TestColumn {
    enum class Answer { Number, Comparison };
    std::string_view column;
    const char* words;  ///< untranslated; empty for the first column of a test, which has the test's own words
    const char* unit;
    Answer answer = Answer::Number;
};
/// One test beside the dips: what it is called, what is written down, and how it goes.
struct BenchTest {
    const char* words = "";           ///< untranslated
    std::vector<TestColumn> columns;  ///< none: its readings are dips like any other
    core::TestGuide guide;
};
/// The tests that this sensor can have with its rule set's guides, cheapest first by their minutes.
[[nodiscard]] std::vector<BenchTest> testsFor(const SensorInHand& hand);

/// Whether F3 has a test of this key.
[[nodiscard]] bool isOnPanel(std::string_view key);
/// The test whose result is compared with the sensor's own first.
[[nodiscard]] bool isGlassTest(const BenchTest& test);
/// Which way a test came out by what is written down so far; null while nothing is, or where it can't be told (a glass without a
/// first value). `cells` by column, as in a draft.
[[nodiscard]] const core::TestGuide::Outcome* outcomeOf(const BenchTest& test, const std::map<std::string, std::string>& cells,
                                                        const SensorInHand& hand);

/// F3: the tests this design allows, with their minutes and fields. The one that has the focus opens its guide: cautions, what is
/// needed, the steps, what a result means. Enter goes on to the next field, Esc closes; what is typed counts at once, and says which
/// way the test came out. Opens at the test that the readings ask for. GUI thread only.
class TestPanel : public QFrame {
    Q_OBJECT
public:
    explicit TestPanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    void open();

Q_SIGNALS:
    void closed();
    /// The row that has the focus grew or moved.
    void grew(QWidget* row);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void guide(TestRow* row);

    BenchPresenter& m_presenter;
    QVBoxLayout* m_column;
    std::vector<TestRow*> m_rows;
    std::vector<QWidget*> m_fields;
};

}  // namespace halfcell::app::bench
