#include "app/bench/dip_row.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/entry_field.h"
#include "app/bench/form_parts.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/marks.h"
#include "app/style/metrics.h"

#include <QGridLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

namespace halfcell::app::bench {

using namespace core;

namespace {

QString phaseKey(Phase phase)
{
    return phase == Phase::AsFound      ? QStringLiteral("found")
           : phase == Phase::AfterClean ? QStringLiteral("clean")
                                        : QStringLiteral("left");
}

QString upperFirst(const QString& text)
{
    return text.left(1).toUpper() + text.mid(1);
}

}  // namespace

DipRow::DipRow(BenchPresenter& presenter, Phase phase, std::size_t dip, bool wide, QWidget* parent)
    : QWidget(parent), m_presenter(presenter), m_phase(phase), m_dip(dip)
{
    const Metrics metrics = Metrics::of(this);
    const QString prefix = QStringLiteral("bench.%1.%2.").arg(phaseKey(phase)).arg(dip + 1);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    auto* row = new QHBoxLayout;
    row->setSpacing(metrics.grid(1));
    column->addLayout(row);

    m_standard = new QPushButton(this);
    m_standard->setObjectName(prefix + QStringLiteral("standard"));
    m_standard->setFocusPolicy(Qt::NoFocus);
    setFlatLook(m_standard, false);
    setTextRole(m_standard, TextRole::Body);
    connect(m_standard, &QPushButton::clicked, this, &DipRow::standardAsked);
    row->addWidget(m_standard);

    m_last = formLabel({}, TextRole::Hint, Role::Ink3, this);
    m_ideal = formLabel({}, TextRole::Hint, Role::Ink3, this);
    row->addWidget(m_last);
    row->addWidget(m_ideal);

    const bool ph = presenter.model().draft().kind == SensorKind::Ph;
    const auto add = [&](StopKind kind, const NumberShape& shape, int digits, const QString& unit) {
        auto* field = new EntryField(m_presenter, {kind, phase, dip}, EntryField::Mode::Number, shape, this);
        field->setDigits(digits);
        row->addWidget(field);
        row->addWidget(formLabel(unit, TextRole::Hint, Role::Ink3, this));
        return field;
    };
    m_mv = add(StopKind::Mv, {.sign = true, .low = -2000, .high = 2000, .decimals = 2}, 6, tr("mV"));
    m_temp = add(StopKind::Temp, {.sign = true, .low = -5, .high = 105, .decimals = 1}, 4, tr("°C"));
    m_wait = add(StopKind::Wait, {.sign = false, .low = 0, .high = 86400, .decimals = 0}, 4, tr("s"));
    if (wide && ph) {
        row->addWidget(formLabel(tr("shows pH"), TextRole::Hint, Role::Ink3, this));
        m_shown = new EntryField(m_presenter, {StopKind::Shown, phase, dip}, EntryField::Mode::Number,
                                 {.sign = false, .low = -2, .high = 16, .decimals = 2}, this);
        m_shown->setDigits(4);
        row->addWidget(m_shown);
    }
    m_change = wrappedLine({}, TextRole::Hint, this, Role::Ink1);
    m_change->setMinimumWidth(metrics.px(60));
    row->addWidget(m_change, 1);

    m_note = new NoteLine(this);
    m_note->setObjectName(prefix + QStringLiteral("note"));
    column->addWidget(m_note);

    m_mv->setObjectName(prefix + QStringLiteral("mv"));
    m_temp->setObjectName(prefix + QStringLiteral("temp"));
    m_wait->setObjectName(prefix + QStringLiteral("wait"));
    if (m_shown)
        m_shown->setObjectName(prefix + QStringLiteral("shown"));
}

EntryField* DipRow::field(StopKind kind) const
{
    switch (kind) {
    case StopKind::Mv: return m_mv;
    case StopKind::Temp: return m_temp;
    case StopKind::Wait: return m_wait;
    case StopKind::Shown: return m_shown;
    default: return nullptr;
    }
}

void DipRow::refresh(const Dip& dip, const LiveDip& live, const QString& change, const QString& said, bool asks)
{
    const Metrics metrics = Metrics::of(this);
    const SensorInHand& hand = m_presenter.model().hand();
    const bool ph = hand.kind() == SensorKind::Ph;
    const QString words = QString::fromStdString(hand.standards->words(dip.standard));
    m_standard->setText(words);
    m_standard->setFixedWidth(metrics.px(ph ? 80 : 156));
    m_standard->setToolTip(dip.lot.empty()
                               ? tr("%1, no lot chosen. F2 changes the standard, Ctrl+B the bottle.").arg(words)
                               : tr("%1, lot %2. F2 changes the standard, Ctrl+B the bottle.").arg(words, QString::fromStdString(dip.lot)));
    m_standard->setAccessibleName(tr("%1, standard").arg(upperFirst(phaseWord(m_phase))));
    const auto mv = [](double v) { return figureText(v, 0, Sign::Always); };
    m_last->setText(live.last_mv && ph ? tr("last %1").arg(mv(*live.last_mv)) : QString());
    m_last->setFixedWidth(metrics.px(ph ? 62 : 0));
    m_ideal->setText(!live.ideal_mv ? QString() : ph ? tr("ideal %1").arg(mv(*live.ideal_mv)) : tr("expected %1").arg(mv(*live.ideal_mv)));
    m_ideal->setFixedWidth(metrics.px(ph ? 68 : 92));

    m_mv->showText(dip.mv.text);
    m_temp->showText(dip.temp.text);
    m_wait->showText(dip.wait.text);
    if (m_shown)
        m_shown->showText(dip.shown.text);
    // A carried temperature stands in the empty field, faint: it is not what was typed there.
    m_temp->setPlaceholderText(live.carried && live.temp_c ? figureText(*live.temp_c, 1, Sign::WhenNegative)
                               : dip.temp.notDone          ? tr("none")
                                                           : QString());
    m_wait->setPlaceholderText(dip.wait.notDone ? tr("none") : QString());

    const QString of = upperFirst(phaseWord(m_phase)) + QStringLiteral(", ") + words + QStringLiteral(", ");
    m_mv->setAccessibleName(of + tr("millivolts"));
    m_temp->setAccessibleName(of + tr("degrees Celsius"));
    m_wait->setAccessibleName(of + tr("seconds waited"));
    if (m_shown)
        m_shown->setAccessibleName(of + tr("pH that the analyser shows"));
    QString description;
    if (const auto value = dip.mv.value())
        description = spokenText(
            {.value = *value, .decimals = 0, .sign = Sign::Always, .expanded = {}, .unit = QStringLiteral("mV"), .reason = {}, .lead = {}});
    if (!change.isEmpty())
        description += (description.isEmpty() ? QString() : QStringLiteral("; ")) + change;
    m_mv->setAccessibleDescription(description);
    m_temp->setAccessibleDescription(live.carried ? tr("carried from the first dip") : QString());
    m_wait->setAccessibleDescription(dip.clocked ? tr("from the settle clock") : QString());
    m_wait->setToolTip(dip.clocked ? tr("from the settle clock") : QString());

    m_change->setText(change);
    QStringList notes;
    if (!said.isEmpty())
        notes << said;
    notes << live.notes;
    m_note->show(notes.join(u'\n'), asks);
}

}  // namespace halfcell::app::bench
