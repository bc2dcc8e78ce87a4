#include "app/bench/test_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QGridLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPainter>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

namespace {

// Order and minutes: cheapest first, hands-on minutes of a competent person (common practice).
constexpr BenchTest kTests[] = {
    {"noise_mv", QT_TRANSLATE_NOOP("TestPanel", "Noise of the reading"), "mV", 1, BenchTest::Answer::Number},
    {"thermometer_off_k", QT_TRANSLATE_NOOP("TestPanel", "Temperature shown less thermometer"), "K", 2, BenchTest::Answer::Number},
    {"reread_pct", QT_TRANSLATE_NOOP("TestPanel", "Efficiency when read 3 minutes later"), "%", 3, BenchTest::Answer::Number},
    {"short_open", QT_TRANSLATE_NOOP("TestPanel", "Input shorted, input open"), "", 3, BenchTest::Answer::Comparison},
    {"stir_ph", QT_TRANSLATE_NOOP("TestPanel", "Stirred less still"), "pH", 3, BenchTest::Answer::Number},
    {"glass_mohm", QT_TRANSLATE_NOOP("TestPanel", "Glass resistance"), "MΩ", 4, BenchTest::Answer::Number},
    {"glass_temp_degc", QT_TRANSLATE_NOOP("TestPanel", "at a temperature of"), "°C", 0, BenchTest::Answer::Number},
    {"reference_kohm", QT_TRANSLATE_NOOP("TestPanel", "Reference resistance"), "kΩ", 4, BenchTest::Answer::Number},
    {"second_bottle", QT_TRANSLATE_NOOP("TestPanel", "A second bottle"), "", 5, BenchTest::Answer::Comparison},
    {"earth_wire", QT_TRANSLATE_NOOP("TestPanel", "Earthed wire in the beaker"), "", 5, BenchTest::Answer::Comparison},
    {"hysteresis_mv", QT_TRANSLATE_NOOP("TestPanel", "pH 7, the other, pH 7 again: difference"), "mV", 6, BenchTest::Answer::Number},
    {"dilution_ph", QT_TRANSLATE_NOOP("TestPanel", "pH 6.86 diluted 1 + 9 reads"), "pH", 8, BenchTest::Answer::Number},
    {"cable", QT_TRANSLATE_NOOP("TestPanel", "Another cable"), "", 10, BenchTest::Answer::Comparison},
};

bool isGlassTest(std::string_view column)
{
    return column == "glass_mohm" || column == "glass_temp_degc";
}

bool isPhTest(std::string_view column)
{
    return column == "stir_ph" || column == "dilution_ph" || column == "hysteresis_mv" || column == "reread_pct";
}

}  // namespace

std::vector<BenchTest> testsFor(const SensorInHand& hand)
{
    std::vector<BenchTest> tests;
    for (const BenchTest& test : kTests) {
        if (isPhTest(test.column) && hand.kind() != SensorKind::Ph)
            continue;
        if (hand.model() && isGlassTest(test.column) && !hand.rules->allowsTest(*hand.model(), "glass_resistance"))
            continue;
        if (hand.model() && test.column == "reference_kohm" && !hand.rules->allowsTest(*hand.model(), "reference_resistance"))
            continue;
        tests.push_back(test);
    }
    return tests;
}

TestPanel::TestPanel(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter), m_grid(new QGridLayout(this))
{
    setObjectName(QStringLiteral("bench.test.panel"));
    setSurface(this, Role::Well);
    const Metrics metrics = Metrics::of(this);
    m_grid->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(2));
    m_grid->setHorizontalSpacing(metrics.spacing());
    m_grid->setVerticalSpacing(metrics.grid(1));
    m_grid->setColumnStretch(0, 1);
    hide();
}

void TestPanel::open()
{
    while (QLayoutItem* item = m_grid->takeAt(0)) {
        delete item->widget();
        delete item;
    }
    m_fields.clear();
    const auto& tests = m_presenter.model().draft().tests;
    int row = 0;
    m_grid->addWidget(formLabel(tr("Tests this design allows, cheapest first"), TextRole::Body, Role::Ink1, this, Weight::Heavy), row++, 0, 1, 4);
    for (const BenchTest& test : testsFor(m_presenter.model().hand())) {
        const std::string column(test.column);
        const QString words = tr(test.words);
        const auto known = tests.find(column);
        const std::string cell = known != tests.end() ? known->second : std::string();
        m_grid->addWidget(formLabel(words, TextRole::Body, Role::Ink1, this), row, 0);
        QWidget* field = nullptr;
        if (test.answer == BenchTest::Answer::Number) {
            auto* line = new QLineEdit(shownNumber(cell, locale()), this);
            line->setAlignment(Qt::AlignRight);
            line->setFixedWidth(Metrics::of(this).px(84));
            connect(line, &QLineEdit::textEdited, this, [this, column](const QString& typed) {
                const auto number = numberFrom(typed, locale());
                m_presenter.setTest(column, number ? *number : std::string());
            });
            field = line;
        } else {
            auto* choice = new QComboBox(this);
            choice->addItem(tr("not done"), QString());
            for (const auto& entry : keyEntries<Comparison>())
                choice->addItem(spelled(entry.words), spelled(entry.key));
            choice->setCurrentIndex(std::max(0, choice->findData(QString::fromStdString(cell))));
            connect(choice, &QComboBox::currentIndexChanged, this,
                    [this, column, choice] { m_presenter.setTest(column, choice->currentData().toString().toStdString()); });
            field = choice;
        }
        field->setObjectName(QStringLiteral("bench.test.") + QString::fromStdString(column));
        field->setAccessibleName(test.unit[0] == 0 ? words : words + QStringLiteral(", ") + QString::fromUtf8(test.unit));
        m_grid->addWidget(field, row, 1);
        m_grid->addWidget(formLabel(QString::fromUtf8(test.unit), TextRole::Hint, Role::Ink3, this), row, 2);
        m_grid->addWidget(formLabel(test.minutes > 0 ? tr("%1 min").arg(test.minutes) : QString(), TextRole::Hint, Role::Ink3, this), row, 3);
        m_fields.push_back(field);
        ++row;
    }
    m_grid->addWidget(formLabel(tr("Enter goes on · Esc closes; an empty field is a test not done"), TextRole::Hint, Role::Ink3, this), row, 0, 1, 4);
    show();
    m_fields.front()->setFocus(Qt::OtherFocusReason);
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
        Q_EMIT closed();
        hide();
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
