#include "app/frame/find_box.h"

#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QApplication>
#include <QKeyEvent>
#include <QListWidget>
#include <QPointer>

#include <algorithm>

namespace halfcell::app {

FindBox::FindBox(QWidget* parent) : QLineEdit(parent)
{
    setObjectName(QStringLiteral("frame.box"));
    setAccessibleName(tr("Find: tag, serial or place"));
    setPlaceholderText(tr("Tag, serial or place; scan here          Ctrl+F"));
    setTextRole(this, TextRole::Body);
    connect(this, &QLineEdit::textEdited, this, [this] { ask(); });
}

FindBox::~FindBox()
{
    delete m_list;
}

void FindBox::take()
{
    if (QWidget* had = QApplication::focusWidget(); had != this)
        m_giver = had;
    setFocus(Qt::ShortcutFocusReason);
    selectAll();
}

void FindBox::typeFrom(QWidget* giver, const QString& text)
{
    m_giver = giver;
    setFocus(Qt::OtherFocusReason);
    setText(text);
    ask();
}

int FindBox::hitCount() const
{
    return static_cast<int>(m_hits.size());
}

void FindBox::ask()
{
    const QString fragment = text().trimmed();
    const quint64 generation = ++m_generation;
    if (fragment.isEmpty() || !m_source) {
        show({});
        return;
    }
    m_source(fragment, [guard = QPointer<FindBox>(this), generation](std::vector<FindHit> hits) {
        if (guard && guard->m_generation == generation)
            guard->show(std::move(hits));
    });
}

void FindBox::show(std::vector<FindHit> hits)
{
    m_hits = std::move(hits);
    if (m_list == nullptr) {
        m_list = new QListWidget(window());
        m_list->setObjectName(QStringLiteral("frame.box.hits"));
        m_list->setAccessibleName(tr("Hits"));
        m_list->setFocusPolicy(Qt::NoFocus);
        connect(m_list, &QListWidget::itemClicked, this, [this] {
            if (const FindHit* hit = chosen()) {
                const FindHit copy = *hit;
                giveBack();
                Q_EMIT openAsked(copy);
            }
        });
    }
    m_list->clear();
    QString group;
    for (const FindHit& hit : m_hits) {
        QString label = hit.text;
        if (hit.group != group) {
            group = hit.group;
            label = hit.group + QStringLiteral(":  ") + hit.text;
        }
        m_list->addItem(label);
    }
    if (m_hits.empty() || !hasFocus()) {
        m_list->hide();
    } else {
        m_list->setCurrentRow(0);
        placeList();
        m_list->show();
        m_list->raise();
    }
    if (m_openWhenFound || m_visitWhenFound) {
        const bool visit = m_visitWhenFound;
        m_openWhenFound = m_visitWhenFound = false;
        if (const FindHit* hit = chosen()) {
            const FindHit copy = *hit;
            giveBack();
            if (visit)
                Q_EMIT visitAsked(copy);
            else
                Q_EMIT openAsked(copy);
        } else {
            Q_EMIT nothingFound(text().trimmed());
        }
    }
}

void FindBox::placeList()
{
    const Metrics metrics = Metrics::of(this);
    const int rows = std::min<int>(10, static_cast<int>(m_hits.size()));
    const QPoint below = mapTo(window(), QPoint(0, height() + 2));
    m_list->setGeometry(below.x(), below.y(), std::max(width(), metrics.px(420)), rows * std::max(m_list->sizeHintForRow(0), metrics.px(24)) + metrics.px(6));
}

const FindHit* FindBox::chosen() const
{
    if (m_hits.empty() || m_list == nullptr)
        return nullptr;
    const int row = std::clamp(m_list->currentRow(), 0, hitCount() - 1);
    return &m_hits[static_cast<std::size_t>(row)];
}

void FindBox::giveBack()
{
    ++m_generation;
    clear();
    m_hits.clear();
    if (m_list != nullptr)
        m_list->hide();
    if (m_giver != nullptr && m_giver->isVisible())
        m_giver->setFocus(Qt::OtherFocusReason);
    m_giver = nullptr;
}

void FindBox::keyPressEvent(QKeyEvent* event)
{
    switch (event->key()) {
    case Qt::Key_Down:
    case Qt::Key_Up:
        if (m_list != nullptr && !m_hits.empty()) {
            const int step = event->key() == Qt::Key_Down ? 1 : -1;
            m_list->setCurrentRow(std::clamp(m_list->currentRow() + step, 0, hitCount() - 1));
        }
        return;
    case Qt::Key_Escape:
        giveBack();
        return;
    case Qt::Key_Return:
    case Qt::Key_Enter: {
        if (text().trimmed().isEmpty())
            return;
        const bool visit = event->modifiers().testFlag(Qt::ControlModifier);
        // The answer may still be on its way; what was asked for happens when it is here.
        m_openWhenFound = !visit;
        m_visitWhenFound = visit;
        if (m_hits.empty())
            ask();
        else
            show(std::move(m_hits));
        return;
    }
    default:
        QLineEdit::keyPressEvent(event);
    }
}

void FindBox::focusOutEvent(QFocusEvent* event)
{
    QLineEdit::focusOutEvent(event);
    if (m_list != nullptr)
        m_list->hide();
}

void FindBox::resizeEvent(QResizeEvent* event)
{
    QLineEdit::resizeEvent(event);
    if (m_list != nullptr && m_list->isVisible())
        placeList();
}

}  // namespace halfcell::app
