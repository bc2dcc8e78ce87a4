#include "app/bench/standard_picker.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/number_entry.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "core/electrochemistry/reference_electrode.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPainter>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

StandardPicker::StandardPicker(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.standard.picker"));
    setSurface(this, Role::Well);
    const Metrics metrics = Metrics::of(this);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(2));
    column->setSpacing(metrics.grid(1));
    m_find = new QLineEdit(this);
    m_find->setObjectName(QStringLiteral("bench.standard.find"));
    m_find->setAccessibleName(tr("Standard, or a known pH"));
    m_find->setPlaceholderText(tr("standard, or a known pH"));
    m_find->installEventFilter(this);
    column->addWidget(m_find);
    auto* row = new QHBoxLayout;
    m_list = new QListWidget(this);
    m_list->setObjectName(QStringLiteral("bench.standard.list"));
    m_list->setAccessibleName(tr("Standards"));
    m_list->setFocusPolicy(Qt::NoFocus);
    m_list->setMaximumHeight(metrics.row() * 5);
    row->addWidget(m_list, 1);
    m_why = wrappedLine({}, TextRole::Hint, this, Role::Ink2);
    m_why->setObjectName(QStringLiteral("bench.standard.why"));
    m_why->setAlignment(Qt::AlignTop);
    row->addWidget(m_why, 1);
    column->addLayout(row);
    column->addWidget(formLabel(tr("Enter takes it for this dip · + adds it as a further dip · Delete takes this dip out · Esc closes"),
                                TextRole::Hint, Role::Ink3, this));
    connect(m_find, &QLineEdit::textEdited, this, &StandardPicker::fill);
    connect(m_list, &QListWidget::currentRowChanged, this, [this] { explain(); });
    connect(m_list, &QListWidget::itemClicked, this, [this] {
        m_presenter.setStandard(m_phase, m_dip, chosen());
        close();
    });
    hide();
}

void StandardPicker::openFor(Phase phase, std::size_t dip)
{
    m_phase = phase;
    m_dip = dip;
    m_find->clear();
    fill({});
    show();
    m_find->setFocus(Qt::OtherFocusReason);
}

void StandardPicker::fill(const QString& fragment)
{
    const SensorInHand& hand = m_presenter.model().hand();
    const bool ph = hand.kind() == SensorKind::Ph;
    m_list->clear();
    const auto add = [this](const QString& words, const std::string& key) {
        auto* item = new QListWidgetItem(words, m_list);
        item->setData(Qt::UserRole, QString::fromStdString(key));
    };
    // A number is a known pH, when it is not the name of a standard.
    const auto known = numberFrom(fragment, locale());
    for (const std::string& key : hand.standards->keys()) {
        const auto kind = hand.standards->kindOf(key);
        if (ph != (kind == StandardKind::PhBuffer))
            continue;
        const QString words = QString::fromStdString(hand.standards->words(key));
        const QString lot = QString::fromStdString(m_presenter.kit().lotOf(key));
        const QString line = lot.isEmpty() ? words : words + QStringLiteral("   ") + lot;
        if (fragment.isEmpty() || line.contains(fragment.trimmed(), Qt::CaseInsensitive) ||
            (known && words.contains(QString::fromStdString(*known))))
            add(line, key);
    }
    if (ph && known && !known->empty())
        add(tr("known pH %1, a solution of your own").arg(shownNumber(*known, locale())), "value:" + *known);
    // The standard of the dip is where the list begins.
    const auto& dips = m_presenter.model().draft().phase(m_phase).dips;
    const QString now = m_dip < dips.size() ? QString::fromStdString(dips[m_dip].standard) : QString();
    int row = 0;
    for (int i = 0; i < m_list->count(); ++i)
        if (fragment.isEmpty() && m_list->item(i)->data(Qt::UserRole).toString() == now)
            row = i;
    m_list->setCurrentRow(m_list->count() > 0 ? row : -1);
    explain();
}

std::string StandardPicker::chosen() const
{
    const auto* item = m_list->currentItem();
    return item ? item->data(Qt::UserRole).toString().toStdString() : std::string();
}

void StandardPicker::explain()
{
    const SensorInHand& hand = m_presenter.model().hand();
    const std::string standard = chosen();
    if (standard.empty()) {
        m_why->setText(tr("Nothing here is called that."));
        return;
    }
    const LivePhase& live = m_presenter.live().phase(m_phase);
    const auto temp = m_dip < live.dips.size() ? live.dips[m_dip].temp_c : std::nullopt;
    if (!temp) {
        m_why->setText(tr("What it should read is worked out when its temperature is known."));
        return;
    }
    const QString at = figureText(*temp, 1, Sign::WhenNegative);
    const std::string lot = m_presenter.kit().lotOf(standard);
    if (hand.kind() == SensorKind::Orp && hand.baseline == nullptr) {
        const auto expected = expectedPotential(*hand.standards, standard, lot, hand.fill(), Celsius(*temp));
        m_why->setText(expected ? tr("At %1 °C: %2 mV against hydrogen, less %3 mV of the reference (%4), is %5 mV.")
                                      .arg(at, figureText(expected->standard.value, 0, Sign::Always),
                                           figureText(expected->reference.e.value(), 0, Sign::WhenNegative),
                                           QString::fromStdString(hand.fill()), figureText(expected->e.value(), 0, Sign::Always))
                                : toScreen(QString::fromStdString(expected.error().detail)));
        return;
    }
    const auto ideal = hand.idealMv(standard, lot, *temp);
    if (!ideal) {
        m_why->setText(toScreen(QString::fromStdString(ideal.error().detail)));
        return;
    }
    const auto value = hand.standards->ph(standard, lot, Celsius(*temp));
    m_why->setText(value ? tr("At %1 °C: pH %2, an ideal sensor reads %3 mV.")
                               .arg(at, figureText(value->value, 2, Sign::WhenNegative), figureText(*ideal, 0, Sign::Always))
                         : tr("At %1 °C it should read %2 mV.").arg(at, figureText(*ideal, 0, Sign::Always)));
}

void StandardPicker::close()
{
    Q_EMIT closed();  // the focus goes back to the form before this is gone
    hide();
}

bool StandardPicker::eventFilter(QObject* watched, QEvent* event)
{
    if (watched != m_find || event->type() != QEvent::KeyPress)
        return QFrame::eventFilter(watched, event);
    const auto* key = static_cast<QKeyEvent*>(event);
    switch (key->key()) {
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (!chosen().empty())
            m_presenter.setStandard(m_phase, m_dip, chosen());
        close();
        return true;
    case Qt::Key_Plus:
        if (!chosen().empty())
            m_presenter.addDip(m_phase, chosen());
        close();
        return true;
    case Qt::Key_Delete:
        if (!m_find->text().isEmpty())
            return false;
        m_presenter.removeDip(m_phase, m_dip);
        close();
        return true;
    case Qt::Key_Escape: close(); return true;
    case Qt::Key_Up:
    case Qt::Key_Down:
        if (m_list->count() > 0)
            m_list->setCurrentRow(std::clamp(m_list->currentRow() + (key->key() == Qt::Key_Up ? -1 : 1), 0, m_list->count() - 1));
        return true;
    default: return false;
    }
}

void StandardPicker::paintEvent(QPaintEvent* event)
{
    QFrame::paintEvent(event);
    QPainter painter(this);
    painter.setPen(QPen(Palette::of(palette())[Role::Ink1], 1));
    painter.drawRect(rect().adjusted(0, 0, -1, -1));
}

}  // namespace halfcell::app::bench
