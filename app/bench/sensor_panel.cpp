#include "app/bench/sensor_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/kit_panel.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include <cmath>
#include <set>

namespace halfcell::app::bench {

using namespace core;

namespace {

/// "refill, bridge: not this design": of the renewals and cures somebody may reach for by habit.
QString cannotHave(const SensorInHand& hand)
{
    QStringList not_;
    for (const ActionKey action :
         {ActionKey::RefillReference, ActionKey::ReplaceBridge, ActionKey::RegenerateGlass, ActionKey::PolishMetal,
          ActionKey::ScrapeJunction, ActionKey::ClearJunction, ActionKey::CleanThiourea, ActionKey::CleanHypochlorite})
        if (hand.allows(action).offer == DesignAllows::Offer::No)
            not_ << QString::fromStdString(hand.rules->action(action).name);
    return not_.isEmpty() ? QString() : Say::tr("Not this design: %1").arg(not_.join(QStringLiteral(", ")));
}

}  // namespace

SensorPanel::SensorPanel(BenchPresenter& presenter, QWidget* parent)
    : QWidget(parent), m_presenter(presenter), m_column(new QVBoxLayout(this))
{
    setObjectName(QStringLiteral("bench.sensor.panel"));
    setAccessibleName(tr("This sensor"));
    const Metrics metrics = Metrics::of(this);
    m_column->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(3));
    m_column->setSpacing(metrics.grid(1));
    build();
    refresh();
}

void SensorPanel::build()
{
    const SensorInHand& hand = m_presenter.model().hand();
    m_column->addWidget(partHead(tr("This sensor"), this));
    auto* serial = formLabel(QString::fromStdString(hand.sensor().serial), TextRole::InlineSerial, Role::Ink1, this, Weight::Heavy);
    m_column->addWidget(serial);
    m_column->addWidget(wrappedLine(toScreen(QString::fromStdString(hand.designWords())), this));
    if (const QString cannot = cannotHave(hand); !cannot.isEmpty()) {
        auto* label = wrappedLine(cannot, TextRole::Hint, this, Role::Ink3);
        m_column->addWidget(label);
    }
    m_column->addWidget(partHead(tr("Last as left"), this));
    m_last = wrappedLine({}, this);
    m_last->setObjectName(QStringLiteral("bench.sensor.last"));
    m_column->addWidget(m_last);
    m_column->addWidget(partHead(tr("Spare that fits"), this));
    m_spare = wrappedLine({}, this);
    m_column->addWidget(m_spare);
    m_column->addWidget(partHead(tr("Bottles and instruments"), this));
    m_lots = wrappedLine({}, this);
    m_lots->setObjectName(QStringLiteral("bench.sensor.lots"));
    m_column->addWidget(m_lots);
    m_change = new QPushButton(tr("Change  Ctrl+B"), this);
    m_change->setObjectName(QStringLiteral("bench.sensor.change"));
    m_change->setAccessibleName(tr("Change bottles and instruments"));
    m_change->setFocusPolicy(Qt::TabFocus);
    setFlatLook(m_change, true);
    connect(m_change, &QPushButton::clicked, this, &SensorPanel::openKit);
    m_column->addWidget(m_change, 0, Qt::AlignLeft);
    m_kit = new KitPanel(m_presenter, this);
    m_column->addWidget(m_kit);
    connect(m_kit, &KitPanel::closed, this, [this] {
        m_lots->show();
        m_change->show();
        Q_EMIT kitClosed();
    });
    m_column->addStretch(1);
    auto* park = new QPushButton(tr("Park this visit"), this);
    park->setObjectName(QStringLiteral("bench.sensor.park"));
    park->setAccessibleName(tr("Park this visit: it stays as a draft"));
    park->setToolTip(tr("Leaves the form; everything typed stays as a draft."));
    park->setFocusPolicy(Qt::TabFocus);
    setFlatLook(park, true);
    connect(park, &QPushButton::clicked, this, [this] { m_presenter.park(); });
    m_column->addWidget(park, 0, Qt::AlignLeft);
}

void SensorPanel::refresh()
{
    if (!m_presenter.hasVisit())
        return;
    const SensorInHand& hand = m_presenter.model().hand();
    if (const PhaseFigures* last = hand.lastState()) {
        QStringList parts;
        if (last->efficiency_pct)
            parts << figureText(*last->efficiency_pct, 1, Sign::WhenNegative) + QStringLiteral(" %");
        if (last->offset_mv)
            parts << figureText(*last->offset_mv, hand.kind() == SensorKind::Ph ? 1 : 0, Sign::Always) + QStringLiteral(" mV");
        if (last->span_pct)
            parts << tr("span %1 %").arg(figureText(*last->span_pct, 0, Sign::WhenNegative));
        if (last->t90_s)
            parts << figureText(*last->t90_s, 0, Sign::WhenNegative) + QStringLiteral(" s");
        const VisitFigures* visit = hand.lastVisit();
        const QString day = QString::fromStdString(formatDate(visit->when));
        m_last->setText(day + QStringLiteral("\n") + (parts.isEmpty() ? tr("no figures") : parts.join(QStringLiteral("   "))));
    } else {
        m_last->setText(tr("Never measured: these readings make its baseline."));
    }
    m_spare->setText(m_presenter.spareThatFits());

    // The bottles of the standards on the form, then meter and thermometer.
    std::set<std::string> seen;
    QStringList lines;
    const VisitDraft& draft = m_presenter.model().draft();
    for (const Dip& dip : draft.found.dips) {
        if (!seen.insert(dip.standard).second || dip.standard.starts_with("value:"))
            continue;
        const QString words = QString::fromStdString(hand.standards->words(dip.standard));
        const Lot* lot = dip.lot.empty() ? nullptr : hand.plant->lot(dip.lot);
        QString state = dip.lot.empty() ? tr("no lot chosen") : QString::fromStdString(dip.lot);
        if (lot && lot->opened)
            state += tr(", open %1 d").arg(figureText(std::floor(daysBetween(*lot->opened, draft.begun)), 0, Sign::WhenNegative));
        lines << words + QStringLiteral("   ") + state;
    }
    lines << tr("Meter %1").arg(draft.meter.empty() ? tr("not chosen") : QString::fromStdString(draft.meter));
    lines << tr("Thermometer %1").arg(draft.thermometer.empty() ? tr("not chosen") : QString::fromStdString(draft.thermometer));
    m_lots->setText(lines.join(u'\n'));
}

void SensorPanel::openKit()
{
    m_lots->hide();
    m_change->hide();
    m_kit->open();
}

}  // namespace halfcell::app::bench
