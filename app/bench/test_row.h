#pragma once

#include "app/bench/test_panel.h"

#include <QWidget>

class QHBoxLayout;
class QLabel;

namespace halfcell::app::bench {

class NoteLine;

/// One test in the panel: its line with the fields, what its result means, and its guide while it has the focus.
class TestRow : public QWidget {
    Q_OBJECT
public:
    /// `asked`: the readings ask for this test.
    TestRow(BenchPresenter& presenter, BenchTest test, bool asked, QWidget* parent);

    [[nodiscard]] const std::vector<QWidget*>& fields() const { return m_fields; }
    [[nodiscard]] const BenchTest& test() const { return m_test; }
    void showGuide(bool open);
    /// What stands in its fields now, in words: which way it came out.
    void refresh();

Q_SIGNALS:
    void entered(TestRow* row);
    void changed(TestRow* row);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    [[nodiscard]] QWidget* numberField(const TestColumn& column, const std::string& cell);
    [[nodiscard]] QWidget* choiceField(const TestColumn& column, const std::string& cell);
    void addField(QHBoxLayout* line, const TestColumn& column);
    /// Why a glass resistance says nothing by itself yet.
    [[nodiscard]] QString glassWords() const;
    [[nodiscard]] QString guideHtml() const;

    BenchPresenter& m_presenter;
    BenchTest m_test;
    std::vector<QWidget*> m_fields;
    QLabel* m_guide;
    NoteLine* m_outcome;
};

}  // namespace halfcell::app::bench
