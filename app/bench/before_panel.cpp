#include "app/bench/before_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QFrame>
#include <QLabel>
#include <QPainter>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

namespace {

QString fromText(const Text& words)
{
    return words ? QString::fromStdString(*words) : QString();
}

/// The first two sentences and the question: what has to be known before a hand moves. The whole text is in the tool tip.
QString shortOf(const Caution& caution)
{
    QString words = toScreen(QString::fromStdString(caution.text));
    const auto site = words.indexOf(QLatin1String("Site procedure"));
    if (site > 0)
        words.truncate(site);
    const auto first = words.indexOf(QLatin1String(". "));
    const auto second = first < 0 ? -1 : words.indexOf(QLatin1String(". "), first + 2);
    if (second > 0)
        words.truncate(second + 1);
    return words.trimmed();
}

/// A framed notice.
class NoticeBox : public QFrame {
public:
    using QFrame::QFrame;

protected:
    void paintEvent(QPaintEvent*) override
    {
        QPainter painter(this);
        const Palette colors = Palette::of(palette());
        painter.fillRect(rect(), colors[Role::Raised]);
        painter.setPen(colors[Role::Edge]);
        painter.drawRect(rect().adjusted(0, 0, -1, -1));
        painter.fillRect(QRect(0, 0, Metrics::of(this).selectionBar(), height()), colors[Role::Ink1]);
    }
};

}  // namespace

BeforePanel::BeforePanel(BenchPresenter& presenter, QWidget* parent) : QWidget(parent), m_column(new QVBoxLayout(this))
{
    setObjectName(QStringLiteral("bench.before.panel"));
    setAccessibleName(tr("Before you touch it"));
    const Metrics metrics = Metrics::of(this);
    m_column->setContentsMargins(metrics.grid(3), metrics.grid(3), metrics.grid(3), metrics.grid(2));
    m_column->setSpacing(metrics.grid(1));
    m_column->addWidget(partHead(tr("Before you touch it"), this));
    build(presenter);
}

void BeforePanel::build(BenchPresenter& presenter)
{
    const SensorInHand& hand = presenter.model().hand();
    const Point* point = hand.point;
    if (!point) {
        m_column->addWidget(wrappedLine(tr("Not in a loop: on the shelf or the bench."), this));
        m_oneLine = tr("not in a loop");
        return;
    }
    const QString tag = QString::fromStdString(point->tag);
    const QString kind = point->loop_class ? spelled(wordsOf(*point->loop_class)) : tr("class not recorded");
    QStringList summary{kind};
    auto* loop = wrappedLine(kind + QStringLiteral(", ") + tag, this);
    setTextRole(loop, TextRole::Body, Weight::Heavy);
    m_column->addWidget(loop);
    if (const QString phone = fromText(point->phone); !phone.isEmpty()) {
        m_column->addWidget(wrappedLine(tr("Control room %1").arg(phone), this));
        summary << phone;
    }
    if (const QString where = fromText(point->location); !where.isEmpty())
        m_column->addWidget(wrappedLine(where, this));
    if (const QString permit = fromText(point->permit_area); !permit.isEmpty())
        m_column->addWidget(wrappedLine(tr("Permit: %1").arg(permit), this));

    QStringList pipe;
    if (point->ph_low && point->ph_high)
        pipe
            << tr("pH %1 to %2").arg(figureText(*point->ph_low, 1, Sign::WhenNegative), figureText(*point->ph_high, 1, Sign::WhenNegative));
    if (point->temp_degc)
        pipe << tr("%1 °C").arg(figureText(*point->temp_degc, 0, Sign::WhenNegative));
    for (const std::string& hazard : point->hazards)
        pipe << QString::fromStdString(hazard);
    if (!pipe.isEmpty()) {
        m_column->addWidget(wrappedLine(tr("In the pipe: %1").arg(pipe.join(QStringLiteral(", "))), this));
        summary << QString::fromStdString(point->hazards.empty() ? std::string() : point->hazards.front());
    }
    summary.removeAll(QString());

    const RuleSet& rules = *hand.rules;
    int interlocks = 0;
    for (const Caution& c : rules.cautionsForWithdrawal(point)) {
        interlocks += c.question.empty() ? 0 : 1;
        addBox(QString::fromStdString(c.title), shortOf(c), c.level == "danger");
    }
    // What waits further down the form: acid on a sensor that comes out of this pipe.
    for (const Caution& c : rules.cautionsFor(ActionKey::CleanAcid, {}, point, {}))
        if (c.level == "danger" && !c.question.empty()) {
            ++interlocks;
            addBox(QString::fromStdString(c.title), shortOf(c), true);
        }
    m_column->addWidget(wrappedLine(tr("Site procedure, permit and safety data sheet come first."), this, Role::Ink2));
    if (interlocks > 0)
        summary << (interlocks == 1 ? tr("1 interlock") : tr("%1 interlocks").arg(interlocks));
    m_oneLine = summary.join(QStringLiteral(" · "));
}

void BeforePanel::addBox(const QString& title, const QString& words, bool danger)
{
    const Metrics metrics = Metrics::of(this);
    auto* box = new NoticeBox(this);
    auto* column = new QVBoxLayout(box);
    column->setContentsMargins(metrics.grid(3), metrics.grid(1), metrics.grid(2), metrics.grid(2));
    column->setSpacing(metrics.px(2));
    auto* head = wrappedLine(title, TextRole::Body, box, Role::Ink1, Weight::Heavy);
    column->addWidget(head);
    auto* body = wrappedLine(words, TextRole::Hint, box, danger ? Role::Ink1 : Role::Ink2);
    column->addWidget(body);
    box->setAccessibleName(title + QStringLiteral(". ") + words);
    m_column->addWidget(box);
}

}  // namespace halfcell::app::bench
