#include "app/bench/removal_box.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/say.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPainter>
#include <QVBoxLayout>

namespace halfcell::app::bench {

using namespace core;

RemovalBox::RemovalBox(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.removal.box"));
    setSurface(this, Role::Well);
    const Metrics metrics = Metrics::of(this);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(2));
    m_title = formLabel({}, TextRole::Body, Role::Ink1, this, Weight::Heavy);
    column->addWidget(m_title);
    auto* row = new QHBoxLayout;
    row->setSpacing(metrics.spacing());
    row->addWidget(formLabel(tr("Why it comes out"), TextRole::Body, Role::Ink2, this));
    m_reason = new QComboBox(this);
    m_reason->setObjectName(QStringLiteral("bench.removal.reason"));
    m_reason->setAccessibleName(tr("Reason removed"));
    m_reason->addItem(tr("choose"), QVariant());
    for (const auto& entry : keyEntries<RemovalReason>())
        m_reason->addItem(spelled(entry.words), static_cast<int>(entry.value));
    row->addWidget(m_reason);
    m_serialLabel = formLabel(tr("Goes in"), TextRole::Body, Role::Ink2, this);
    row->addWidget(m_serialLabel);
    m_serial = new QLineEdit(this);
    m_serial->setObjectName(QStringLiteral("bench.removal.serial"));
    m_serial->setAccessibleName(tr("Serial of the sensor that goes in"));
    m_serial->setPlaceholderText(tr("scan the new one"));
    setTextRole(m_serial, TextRole::InlineSerial);
    row->addWidget(m_serial, 1);
    column->addLayout(row);
    column->addWidget(formLabel(tr("Enter goes on · Esc takes the step out"), TextRole::Hint, Role::Ink3, this));
    hide();
}

void RemovalBox::refresh()
{
    const auto& removal = m_presenter.hasVisit() ? m_presenter.model().removal() : std::nullopt;
    if (!removal) {
        if (isVisibleTo(parentWidget()))
            hide();
        return;
    }
    const bool replace = removal->action == ActionKey::Replace;
    m_title->setText(replace ? tr("Replace this sensor") : tr("Scrap this sensor"));
    m_serialLabel->setVisible(replace);
    m_serial->setVisible(replace);
    if (isVisibleTo(parentWidget()))
        return;
    m_reason->setCurrentIndex(0);
    m_serial->clear();
    show();
    m_reason->setFocus(Qt::OtherFocusReason);
}

void RemovalBox::finish()
{
    if (!m_reason->currentData().isValid()) {
        m_reason->setFocus(Qt::OtherFocusReason);
        return;
    }
    if (m_serial->isVisibleTo(this) && m_serial->text().trimmed().isEmpty()) {
        m_serial->setFocus(Qt::OtherFocusReason);
        return;
    }
    m_presenter.finishRemoval(static_cast<RemovalReason>(m_reason->currentData().toInt()), m_serial->isVisibleTo(this) ? m_serial->text() : QString());
}

void RemovalBox::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        finish();
        return;
    }
    if (event->key() == Qt::Key_Escape) {
        m_presenter.cancelRemoval();
        return;
    }
    QFrame::keyPressEvent(event);
}

void RemovalBox::paintEvent(QPaintEvent* event)
{
    QFrame::paintEvent(event);
    QPainter painter(this);
    painter.setPen(QPen(Palette::of(palette())[Role::Ink1], Metrics::of(this).px(2)));
    painter.drawRect(rect().adjusted(1, 1, -1, -1));
}

}  // namespace halfcell::app::bench
