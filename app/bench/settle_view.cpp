#include "app/bench/settle_view.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/style/metrics.h"

#include <QAccessible>
#include <QHBoxLayout>
#include <QLabel>

#include <cmath>

namespace halfcell::app::bench {

namespace {

constexpr int kTickMs = 250;

QString minutes(double seconds)
{
    const int whole = static_cast<int>(std::floor(seconds));
    return QStringLiteral("%1:%2").arg(whole / 60).arg(whole % 60, 2, 10, QLatin1Char('0'));
}

}  // namespace

SettleView::SettleView(BenchPresenter& presenter, QWidget* parent) : QWidget(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.settle.clock"));
    const Metrics metrics = Metrics::of(this);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(metrics.spacing());
    row->addWidget(partHead(tr("Settling"), this), 0, Qt::AlignVCenter);
    m_clock = formLabel({}, TextRole::KeyFigure, Role::Ink1, this, Weight::Heavy);
    row->addWidget(m_clock, 0, Qt::AlignVCenter);
    m_words = wrappedLine({}, TextRole::Hint, this, Role::Ink2);
    row->addWidget(m_words, 1, Qt::AlignVCenter);
    m_tick.setInterval(kTickMs);
    connect(&m_tick, &QTimer::timeout, this, &SettleView::refresh);
    refresh();
}

QString SettleView::clockText() const
{
    return m_clock->text();
}

/// A form filled in from paper has no clock; values noted on the way there are typed with their seconds.
QString SettleView::sheetWords() const
{
    const std::size_t noted = m_presenter.model().notedInDip();
    if (noted == 0)
        return tr("typed from a sheet: seconds are asked; Space notes a value on the way");
    return noted == 1 ? tr("typed from a sheet · 1 value noted on the way")
                      : tr("typed from a sheet · %1 values noted on the way").arg(noted);
}

void SettleView::refresh()
{
    if (!m_presenter.hasVisit()) {
        m_tick.stop();
        return;
    }
    const SettleClock& clock = m_presenter.model().clock();
    const double now = m_presenter.seconds();
    const double least = m_presenter.model().hand().leastWaitSeconds();
    const QString of = tr("of %1").arg(minutes(least));
    if (const auto elapsed = clock.elapsed(now)) {
        m_clock->setText(minutes(*elapsed) + u' ' + of);
        QString words = m_presenter.settleWords();
        const std::size_t noted = clock.notes().size();
        if (noted > 0)
            words += (words.isEmpty() ? QString() : QStringLiteral(" · ")) +
                     (noted == 1 ? tr("1 value noted") : tr("%1 values noted").arg(noted));
        m_words->setText(words);
        const bool over = *elapsed >= least;
        if (over && !m_over)
            Q_EMIT m_presenter.announced(tr("the least wait is over"));
        m_over = over;
    } else if (const auto in = clock.startsIn(now)) {
        m_clock->setText(QStringLiteral("0:00 ") + of);
        m_words->setText(tr("starts in %1 s; Space when it is in the beaker").arg(static_cast<int>(std::ceil(*in))));
        m_over = false;
    } else {
        m_clock->setText(QStringLiteral("–:–– ") + of);
        m_words->setText(m_presenter.model().draft().fromSheet() ? sheetWords() : tr("Space in an empty mV field starts it"));
        m_over = false;
    }
    setAccessibleName(tr("Settle clock"));
    setAccessibleDescription(m_clock->text() + QStringLiteral(", ") + m_words->text());
    if (clock.set() && !m_tick.isActive())
        m_tick.start();
    else if (!clock.set())
        m_tick.stop();
}

}  // namespace halfcell::app::bench
