#include "app/desktop/hold_box.h"

#include "app/style/figures.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QDateTime>
#include <QKeyEvent>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

namespace halfcell::app {

HoldBox::HoldBox(Shop& shop, const QString& point, QWidget* parent) : QDialog(parent), m_shop(shop), m_holds(shop.openHolds())
{
    setObjectName(QStringLiteral("hold"));
    setWindowTitle(tr("Loops in manual"));
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    auto* text =
        new QLabel(m_holds.empty() ? tr("No hold is recorded here. That does not mean that no loop is in manual.")
                                   : tr("The control room switches; this only writes it down. Sensor back in the pipe, wet, reading?"),
                   this);
    text->setWordWrap(true);
    setTextRole(text, TextRole::Body);
    layout->addWidget(text);
    m_list = new QListWidget(this);
    m_list->setObjectName(QStringLiteral("hold.list"));
    m_list->setAccessibleName(tr("Loops in manual, oldest first"));
    m_list->installEventFilter(this);
    const qint64 now = m_shop.now().utcSeconds;
    int chosen = 0;
    for (std::size_t i = 0; i < m_holds.size(); ++i) {
        const core::Hold& h = m_holds[i];
        const QString since = QDateTime::fromSecsSinceEpoch(h.from.utcSeconds).toString(QStringLiteral("ddd HH:mm"));
        m_list->addItem(tr("%1 since %2 (%3), %4")
                            .arg(QString::fromStdString(h.point), since, heldText((now - h.from.utcSeconds) / 60),
                                 QString::fromStdString(h.person.value_or(std::string()))));
        if (QString::fromStdString(h.point) == point)
            chosen = static_cast<int>(i);
    }
    m_list->setCurrentRow(chosen);
    m_list->setVisible(!m_holds.empty());
    layout->addWidget(m_list);
    if (!m_holds.empty()) {
        auto* autoAgain = new QPushButton(tr("Back in auto  (Space)"), this);
        autoAgain->setObjectName(QStringLiteral("hold.auto"));
        auto* kept = new QPushButton(tr("Not back: the control room keeps it in manual  (&H)"), this);
        kept->setObjectName(QStringLiteral("hold.handed"));
        autoAgain->setAutoDefault(false);
        kept->setAutoDefault(false);
        connect(autoAgain, &QPushButton::clicked, this, [this] { close(core::HoldClosed::Auto); });
        connect(kept, &QPushButton::clicked, this, [this] { close(core::HoldClosed::HandedToControlRoom); });
        layout->addWidget(autoAgain);
        layout->addWidget(kept);
    }
    resize(metrics.px(520), sizeHint().height());
    m_list->setFocus();
}

void HoldBox::close(core::HoldClosed how)
{
    const int row = m_list->currentRow();
    if (row < 0 || row >= static_cast<int>(m_holds.size()))
        return;
    m_shop.closeHold(m_holds[static_cast<std::size_t>(row)], m_shop.now(), how, &m_shop, [shop = &m_shop](core::Result<bool> done) {
        if (!done)
            Q_EMIT shop->failed(done.error());
    });
    accept();
}

bool HoldBox::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == m_list && event->type() == QEvent::KeyPress) {
        const auto* key = static_cast<QKeyEvent*>(event);
        if (key->key() == Qt::Key_Space || key->key() == Qt::Key_H) {
            keyPressEvent(static_cast<QKeyEvent*>(event));
            return true;
        }
    }
    return QDialog::eventFilter(watched, event);
}

void HoldBox::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Space)
        close(core::HoldClosed::Auto);
    else if (event->key() == Qt::Key_H)
        close(core::HoldClosed::HandedToControlRoom);
    else
        QDialog::keyPressEvent(event);
}

}  // namespace halfcell::app
