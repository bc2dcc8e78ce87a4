#include "app/bench/test_row.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/panels/plain_words.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr int kFieldWidth = 84, kUnitWidth = 32;

QString testTr(const char* words)
{
    return QCoreApplication::translate("TestPanel", words);
}

QString listHtml(const char* tag, const QStringList& items)
{
    QString html = QStringLiteral("<%1 style='margin:2px 0 4px 0'>").arg(QLatin1String(tag));
    for (const QString& item : items)
        html += QStringLiteral("<li>%1</li>").arg(item.toHtmlEscaped());
    return html + QStringLiteral("</%1>").arg(QLatin1String(tag));
}

QStringList shownWords(const std::vector<std::string>& words)
{
    QStringList list;
    for (const std::string& w : words)
        list << screenWords(w);
    return list;
}

}  // namespace

TestRow::TestRow(BenchPresenter& presenter, BenchTest test, bool asked, QWidget* parent)
    : QWidget(parent), m_presenter(presenter), m_test(std::move(test)), m_guide(new QLabel(this)), m_outcome(new NoteLine(this))
{
    setObjectName(QStringLiteral("bench.test.row.") + QString::fromStdString(m_test.guide.key));
    const Metrics metrics = Metrics::of(this);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(metrics.grid(1));
    auto* line = new QHBoxLayout;
    line->setSpacing(metrics.spacing());
    QLabel* words = formLabel(testTr(m_test.words), TextRole::Body, Role::Ink1, this, asked ? Weight::Heavy : Weight::Regular);
    line->addWidget(words);
    if (asked)
        line->addWidget(formLabel(tr("the readings ask for this one"), TextRole::Hint, Role::Ink2, this));
    line->addStretch(1);
    for (const TestColumn& c : m_test.columns)
        addField(line, c);
    if (m_test.columns.empty()) {
        // Its readings go where readings go; the line takes the focus only to show how it is done.
        QLabel* where = formLabel(tr("written as the dips of this form"), TextRole::Hint, Role::Ink3, this);
        where->setObjectName(QStringLiteral("bench.test.") + QString::fromStdString(m_test.guide.key));
        where->setAccessibleName(testTr(m_test.words));
        where->setFocusPolicy(Qt::StrongFocus);
        where->setMinimumHeight(metrics.row());
        line->addWidget(where);
        m_fields.push_back(where);
    }
    QLabel* minutes = formLabel(tr("%1 min").arg(std::lround(m_test.guide.minutes)), TextRole::Hint, Role::Ink3, this);
    minutes->setFixedWidth(metrics.px(52));
    minutes->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    line->addWidget(minutes);
    column->addLayout(line);
    m_outcome->setObjectName(objectName() + QStringLiteral(".outcome"));
    column->addWidget(m_outcome);
    m_guide->setObjectName(objectName() + QStringLiteral(".guide"));
    m_guide->setTextFormat(Qt::RichText);
    m_guide->setWordWrap(true);
    setTextRole(m_guide, TextRole::Hint);
    setInk(m_guide, Role::Ink1);
    m_guide->setContentsMargins(metrics.grid(3), 0, 0, metrics.grid(2));
    m_guide->hide();
    column->addWidget(m_guide);
    for (QWidget* field : m_fields)
        field->installEventFilter(this);
    refresh();
}

void TestRow::addField(QHBoxLayout* line, const TestColumn& c)
{
    const auto& cells = m_presenter.model().draft().tests;
    const auto known = cells.find(std::string(c.column));
    const std::string cell = known != cells.end() ? known->second : std::string();
    QWidget* field = c.answer == TestColumn::Answer::Number ? numberField(c, cell) : choiceField(c, cell);
    const QString words = c.words[0] ? testTr(c.words) : testTr(m_test.words);
    const QString unit = QString::fromUtf8(c.unit);
    field->setObjectName(QStringLiteral("bench.test.") + spelled(c.column));
    field->setAccessibleName(unit.isEmpty() ? words : words + QStringLiteral(", ") + unit);
    if (c.words[0])
        line->addWidget(formLabel(words, TextRole::Hint, Role::Ink2, this));
    line->addWidget(field);
    if (!unit.isEmpty()) {
        QLabel* label = formLabel(unit, TextRole::Hint, Role::Ink3, this);
        label->setFixedWidth(Metrics::of(this).px(kUnitWidth));
        line->addWidget(label);
    }
    m_fields.push_back(field);
}

QWidget* TestRow::numberField(const TestColumn& c, const std::string& cell)
{
    auto* field = new QLineEdit(shownNumber(cell, locale()), this);
    field->setAlignment(Qt::AlignRight);
    field->setFixedWidth(Metrics::of(this).px(kFieldWidth));
    connect(field, &QLineEdit::textEdited, this, [this, name = std::string(c.column)](const QString& typed) {
        const auto number = numberFrom(typed, locale());
        m_presenter.setTest(name, number ? *number : std::string());
        refresh();
    });
    return field;
}

QWidget* TestRow::choiceField(const TestColumn& c, const std::string& cell)
{
    const Metrics metrics = Metrics::of(this);
    auto* choice = new QComboBox(this);
    choice->setFixedWidth(metrics.px(kFieldWidth + kUnitWidth) + metrics.spacing());
    choice->addItem(tr("not done"), QString());
    for (const auto& entry : keyEntries<Comparison>())
        choice->addItem(spelled(entry.words), spelled(entry.key));
    choice->setCurrentIndex(std::max(0, choice->findData(QString::fromStdString(cell))));
    connect(choice, &QComboBox::currentIndexChanged, this, [this, choice, name = std::string(c.column)] {
        m_presenter.setTest(name, choice->currentData().toString().toStdString());
        refresh();
    });
    return choice;
}

void TestRow::refresh()
{
    const auto* outcome = outcomeOf(m_test, m_presenter.model().draft().tests, m_presenter.model().hand());
    QString words;
    if (outcome)
        words = tr("%1: %2.").arg(screenWords(outcome->reads), screenWords(outcome->means));
    else if (isGlassTest(m_test))
        words = glassWords();
    m_outcome->show(words, false);
    Q_EMIT changed(this);
}

QString TestRow::glassWords() const
{
    const auto& cells = m_presenter.model().draft().tests;
    if (!cells.contains("glass_mohm"))
        return {};
    return cells.contains("glass_temp_degc") ? tr("No first value of this sensor to compare with: this becomes its first.")
                                             : tr("Without the temperature the figure says nothing: glass halves about every 8 K.");
}

QString TestRow::guideHtml() const
{
    const TestGuide& g = m_test.guide;
    QString html;
    for (const std::string& caution : g.cautions)
        html += QStringLiteral("<p style='margin:0 0 2px 0'><b>%1</b> %2</p>").arg(tr("Caution."), screenWords(caution).toHtmlEscaped());
    if (!g.needs.empty())
        html += QStringLiteral("<p style='margin:2px 0 0 0'>%1</p>")
                    .arg(tr("Lay ready: %1.").arg(shownWords(g.needs).join(QStringLiteral("; "))).toHtmlEscaped());
    html += listHtml("ol", shownWords(g.steps));
    QStringList outcomes;
    for (const auto& o : g.outcomes)
        outcomes << tr("%1: %2").arg(screenWords(o.reads), screenWords(o.means));
    html += listHtml("ul", outcomes);
    return html + QStringLiteral("<p style='margin:0'>%1</p>").arg(tr("Source: %1.").arg(screenWords(g.source)).toHtmlEscaped());
}

void TestRow::showGuide(bool open)
{
    if (open && m_guide->text().isEmpty()) {
        m_guide->setText(guideHtml());
        for (QWidget* field : m_fields)
            field->setAccessibleDescription(m_test.guide.steps.empty() ? QString() : shownWords(m_test.guide.steps).join(u' '));
    }
    m_guide->setVisible(open);
}

bool TestRow::eventFilter(QObject* watched, QEvent* event)
{
    if (event->type() == QEvent::FocusIn)
        Q_EMIT entered(this);
    return QWidget::eventFilter(watched, event);
}

}  // namespace halfcell::app::bench
