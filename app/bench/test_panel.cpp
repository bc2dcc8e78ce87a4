#include "app/bench/test_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/test_row.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "core/quantity/number.h"

#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

namespace {

using Answer = TestColumn::Answer;

/// A test as this screen writes it down; its guide, and with it its minutes, are the rule set's.
struct Written {
    std::string_view key;
    const char* words;
    std::vector<TestColumn> columns;
    bool forPhOnly = false;
};

const std::vector<Written>& writtenTests()
{
    static const std::vector<Written> tests{
        {"noise", QT_TRANSLATE_NOOP("TestPanel", "Noise of the reading"), {{"noise_mv", "", "mV"}}},
        {"thermometer", QT_TRANSLATE_NOOP("TestPanel", "Temperature shown less thermometer"), {{"thermometer_off_k", "", "K"}}},
        {"reread", QT_TRANSLATE_NOOP("TestPanel", "Efficiency gained three minutes later"), {{"reread_pct", "", "%"}}, true},
        {"short_open", QT_TRANSLATE_NOOP("TestPanel", "Input shorted, input open"), {{"short_open", "", "", Answer::Comparison}}},
        {"stir", QT_TRANSLATE_NOOP("TestPanel", "Stirred less still"), {{"stir_ph", "", "pH"}}, true},
        {"glass_resistance",
         QT_TRANSLATE_NOOP("TestPanel", "Glass resistance"),
         {{"glass_mohm", "", "MΩ"}, {"glass_temp_degc", QT_TRANSLATE_NOOP("TestPanel", "at"), "°C"}}},
        {"reference_resistance", QT_TRANSLATE_NOOP("TestPanel", "Reference resistance"), {{"reference_kohm", "", "kΩ"}}},
        {"second_bottle", QT_TRANSLATE_NOOP("TestPanel", "A second bottle"), {{"second_bottle", "", "", Answer::Comparison}}},
        {"earth_wire", QT_TRANSLATE_NOOP("TestPanel", "Earthed wire in the beaker"), {{"earth_wire", "", "", Answer::Comparison}}},
        {"hysteresis", QT_TRANSLATE_NOOP("TestPanel", "First standard once more less at first"), {{"hysteresis_mv", "", "mV"}}},
        {"dilution", QT_TRANSLATE_NOOP("TestPanel", "pH 6.86 diluted 1 + 9 reads"), {{"dilution_ph", "", "pH"}}, true},
        {"cable", QT_TRANSLATE_NOOP("TestPanel", "Another cable"), {{"cable", "", "", Answer::Comparison}}},
        {"hand_millivolt", QT_TRANSLATE_NOOP("TestPanel", "Millivolts by hand, no analyser"), {}, true},
    };
    return tests;
}

std::optional<double> numberIn(const std::map<std::string, std::string>& cells, std::string_view column)
{
    const auto cell = cells.find(std::string(column));
    if (cell == cells.end())
        return std::nullopt;
    const auto number = parseNumber(cell->second);
    return number ? std::optional(*number) : std::nullopt;
}

}  // namespace

std::vector<BenchTest> testsFor(const SensorInHand& hand)
{
    std::vector<BenchTest> tests;
    for (TestGuide& guide : testGuides(*hand.rules)) {
        const auto written = std::ranges::find(writtenTests(), guide.key, &Written::key);
        if (written == writtenTests().end() || (written->forPhOnly && hand.kind() != SensorKind::Ph) ||
            (hand.model() && !hand.rules->allowsTest(*hand.model(), guide.key)))
            continue;
        tests.push_back({written->words, written->columns, std::move(guide)});
    }
    std::ranges::stable_sort(tests, {}, [](const BenchTest& t) { return t.guide.minutes; });
    return tests;
}

bool isOnPanel(std::string_view key)
{
    return std::ranges::find(writtenTests(), key, &Written::key) != writtenTests().end();
}

bool isGlassTest(const BenchTest& test)
{
    return test.guide.key == "glass_resistance";
}

const TestGuide::Outcome* outcomeOf(const BenchTest& test, const std::map<std::string, std::string>& cells, const SensorInHand& hand)
{
    if (test.columns.empty())
        return nullptr;
    const TestColumn& first = test.columns.front();
    if (first.answer == Answer::Comparison) {
        const auto cell = cells.find(std::string(first.column));
        const auto answer = cell != cells.end() ? parseKey<Comparison>(cell->second) : std::unexpected(Error{});
        return answer ? core::outcomeOf(test.guide, *answer) : nullptr;
    }
    auto value = numberIn(cells, first.column);
    if (value && isGlassTest(test)) {
        Check now;
        now.glass_mohm = *value;
        if (const auto temp = numberIn(cells, "glass_temp_degc"))
            now.glass_temp_degc = *temp;
        value = glassRatioOf(now, hand.history->visits);
    }
    return value ? core::outcomeOf(test.guide, *value) : nullptr;
}

TestPanel::TestPanel(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter), m_column(new QVBoxLayout(this))
{
    setObjectName(QStringLiteral("bench.test.panel"));
    setSurface(this, Role::Well);
    const Metrics metrics = Metrics::of(this);
    m_column->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(2));
    m_column->setSpacing(metrics.grid(1));
    hide();
}

void TestPanel::open()
{
    while (QLayoutItem* item = m_column->takeAt(0)) {
        delete item->widget();
        delete item;
    }
    m_fields.clear();
    m_rows.clear();
    m_column->addWidget(formLabel(tr("Tests this design allows, cheapest first"), TextRole::Body, Role::Ink1, this, Weight::Heavy));
    const auto& findings = m_presenter.live().findings;
    const auto asking = std::ranges::find_if(findings, [](const Finding& f) { return f.next_test.has_value(); });
    const std::string asked = asking != findings.end() ? asking->next_test->test : std::string();
    QWidget* first = nullptr;
    for (BenchTest& test : testsFor(m_presenter.model().hand())) {
        const bool isAsked = test.guide.key == asked;
        auto* row = new TestRow(m_presenter, std::move(test), isAsked, this);
        connect(row, &TestRow::entered, this, &TestPanel::guide);
        connect(row, &TestRow::changed, this, [this](TestRow* of) { Q_EMIT grew(of); });
        m_column->addWidget(row);
        m_rows.push_back(row);
        m_fields.insert(m_fields.end(), row->fields().begin(), row->fields().end());
        if (isAsked)
            first = row->fields().front();
    }
    m_column->addWidget(formLabel(tr("Enter goes on · Esc closes; an empty field is a test not done"), TextRole::Hint, Role::Ink3, this));
    show();
    (first ? first : m_fields.front())->setFocus(Qt::OtherFocusReason);
}

void TestPanel::guide(TestRow* row)
{
    for (TestRow* each : m_rows)
        each->showGuide(each == row);
    Q_EMIT grew(row);
}

void TestPanel::keyPressEvent(QKeyEvent* event)
{
    const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    if (enter && event->modifiers() == Qt::NoModifier) {
        const auto here = std::find_if(m_fields.begin(), m_fields.end(), [](const QWidget* w) { return w->hasFocus(); });
        if (here != m_fields.end() && here + 1 != m_fields.end()) {
            (*(here + 1))->setFocus(Qt::OtherFocusReason);
            return;
        }
    }
    if (event->key() == Qt::Key_Escape || (enter && event->modifiers() == Qt::NoModifier)) {
        hide();
        Q_EMIT closed();
        return;
    }
    QFrame::keyPressEvent(event);
}

void TestPanel::paintEvent(QPaintEvent* event)
{
    QFrame::paintEvent(event);
    QPainter painter(this);
    painter.setPen(QPen(Palette::of(palette())[Role::Ink1], 1));
    painter.drawRect(rect().adjusted(0, 0, -1, -1));
}

}  // namespace halfcell::app::bench
