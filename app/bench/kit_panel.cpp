#include "app/bench/kit_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QFormLayout>
#include <QKeyEvent>
#include <QLabel>

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {

using namespace core;

KitPanel::KitPanel(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter), m_form(new QFormLayout(this))
{
    setObjectName(QStringLiteral("bench.kit.panel"));
    m_form->setContentsMargins(0, 0, 0, 0);
    m_form->setRowWrapPolicy(QFormLayout::WrapAllRows);
    m_form->setVerticalSpacing(Metrics::of(this).grid(1));
    hide();
}

QComboBox* KitPanel::addChoice(const QString& label, const QString& name)
{
    auto* box = new QComboBox(this);
    box->setObjectName(QStringLiteral("bench.kit.") + name);
    box->setAccessibleName(label);
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->setMinimumContentsLength(12);
    auto* words = formLabel(label, TextRole::Hint, Role::Ink2, this);
    words->setBuddy(box);
    m_form->addRow(words, box);
    return box;
}

void KitPanel::open()
{
    while (m_form->rowCount() > 0)
        m_form->removeRow(0);
    m_lots.clear();
    const SensorInHand& hand = m_presenter.model().hand();
    const Records& reference = *m_presenter.shop().reference();
    const Instant now = m_presenter.now();
    std::vector<std::string> standards;
    for (const PhaseForm* form : {&m_presenter.model().draft().found, &m_presenter.model().draft().clean, &m_presenter.model().draft().left})
        for (const Dip& dip : form->dips)
            if (std::find(standards.begin(), standards.end(), dip.standard) == standards.end() && !dip.standard.starts_with("value:"))
                standards.push_back(dip.standard);
    for (const std::string& standard : standards) {
        auto* box = addChoice(QString::fromStdString(hand.standards->words(standard)), QString::fromStdString(standard));
        box->addItem(tr("no lot chosen"), QString());
        const std::string chosen = m_presenter.kit().lotOf(standard);
        for (const Lot* lot : bottlesOf(reference, standard, now)) {
            const double open = lot->opened ? daysBetween(*lot->opened, now) : 0.0;
            QString words = QString::fromStdString(lot->lot) +
                            (lot->opened ? tr(", open %1 d").arg(figureText(std::floor(open), 0, Sign::WhenNegative)) : tr(", not opened"));
            if (lot->opened && open > hand.rules->openLifeDays(standard))
                words += tr(", past its life");
            box->addItem(words, QString::fromStdString(lot->lot));
        }
        box->setCurrentIndex(std::max(0, box->findData(QString::fromStdString(chosen))));
        m_lots.emplace_back(standard, box);
    }
    const auto instruments = [&](EquipmentKind kind, const QString& label, const QString& name, const std::string& chosen) {
        auto* box = addChoice(label, name);
        box->addItem(tr("not chosen"), QString());
        for (const Equipment& e : reference.equipment)
            if (e.kind == kind)
                box->addItem(QString::fromStdString(e.equipment) + (e.due && *e.due < now ? tr(", check overdue") : QString()), QString::fromStdString(e.equipment));
        box->setCurrentIndex(std::max(0, box->findData(QString::fromStdString(chosen))));
        return box;
    };
    m_meter = instruments(EquipmentKind::Meter, tr("Meter"), QStringLiteral("meter"), m_presenter.kit().meter);
    m_thermometer = instruments(EquipmentKind::Thermometer, tr("Thermometer"), QStringLiteral("thermometer"), m_presenter.kit().thermometer);
    m_form->addRow(formLabel(tr("Enter takes them · Esc leaves them"), TextRole::Hint, Role::Ink3, this));
    show();
    (m_lots.empty() ? m_meter : m_lots.front().second)->setFocus(Qt::OtherFocusReason);
}

void KitPanel::take()
{
    RoundKit kit = m_presenter.kit();
    for (const auto& [standard, box] : m_lots) {
        const std::string lot = box->currentData().toString().toStdString();
        if (lot.empty())
            kit.lots.erase(standard);
        else
            kit.lots[standard] = lot;
    }
    kit.meter = m_meter->currentData().toString().toStdString();
    kit.thermometer = m_thermometer->currentData().toString().toStdString();
    m_presenter.setKit(kit);
    Q_EMIT closed();
    hide();
}

void KitPanel::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        take();
        return;
    }
    if (event->key() == Qt::Key_Escape) {
        Q_EMIT closed();
        hide();
        return;
    }
    QFrame::keyPressEvent(event);
}

}  // namespace halfcell::app::bench
