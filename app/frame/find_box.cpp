#include "app/frame/find_box.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QKeyEvent>
#include <QListWidget>
#include <QPainter>
#include <QStyledItemDelegate>

#include <algorithm>

namespace halfcell::app {

namespace {

constexpr int kGroupRole = Qt::UserRole;

/// A hit at the left, its group at the right where the group begins.
class HitDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override
    {
        paintItemGround(*painter, option, index);
        const Palette inks = Palette::of(option.palette);
        const QRect inner = option.rect.adjusted(8, 0, -8, 0);
        const QString group = index.data(kGroupRole).toString();
        painter->save();
        painter->setFont(option.font);
        painter->setPen(inks[Role::Ink3]);
        painter->drawText(inner, Qt::AlignRight | Qt::AlignVCenter, group);
        const int room = inner.width() - (group.isEmpty() ? 0 : option.fontMetrics.horizontalAdvance(group) + 8);
        painter->setPen(inks[Role::Ink1]);
        painter->drawText(inner, Qt::AlignLeft | Qt::AlignVCenter,
                          option.fontMetrics.elidedText(index.data(Qt::DisplayRole).toString(), Qt::ElideMiddle, room));
        painter->restore();
    }
};

}  // namespace

FindBox::FindBox(QWidget* parent) : QLineEdit(parent)
{
    setObjectName(QStringLiteral("frame.top.box"));
    setAccessibleName(tr("Find: tag, serial or place"));
    setPlaceholderText(tr("Tag, serial or place; scan here    Ctrl+F"));
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
        m_list->setObjectName(QStringLiteral("frame.top.hits"));
        m_list->setAccessibleName(tr("Hits"));
        m_list->setFocusPolicy(Qt::NoFocus);
        m_list->setItemDelegate(new HitDelegate(m_list));
        m_list->setTextElideMode(Qt::ElideMiddle);
        m_list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
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
        auto* item = new QListWidgetItem(hit.text, m_list);
        item->setToolTip(hit.text);
        item->setData(Qt::AccessibleTextRole, hit.group + QStringLiteral(", ") + hit.text);
        if (hit.group != group)
            item->setData(kGroupRole, hit.group);
        group = hit.group;
    }
    if (m_hits.empty() || !hasFocus()) {
        m_list->hide();
    } else {
        m_list->setCurrentRow(0);
        placeList();
        m_list->show();
        m_list->raise();
    }
    sayChosen();
    if (m_openWhenFound || m_visitWhenFound)
        finish();
}

void FindBox::finish()
{
    const bool visit = m_visitWhenFound;
    m_openWhenFound = m_visitWhenFound = false;
    const FindHit* hit = chosen();
    if (hit == nullptr) {
        Q_EMIT nothingFound(text().trimmed());
        return;
    }
    const FindHit copy = *hit;
    giveBack();
    if (visit)
        Q_EMIT visitAsked(copy);
    else
        Q_EMIT openAsked(copy);
}

void FindBox::placeList()
{
    const Metrics metrics = Metrics::of(this);
    const int rows = std::min<int>(10, static_cast<int>(m_hits.size()));
    const QPoint below = mapTo(window(), QPoint(0, height() + 2));
    m_list->setGeometry(below.x(), below.y(), std::max(width(), metrics.px(420)),
                        rows * std::max(m_list->sizeHintForRow(0), metrics.px(24)) + metrics.px(6));
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
    sayChosen();
    if (m_giver && m_giver->isVisible())
        m_giver->setFocus(Qt::OtherFocusReason);
    m_giver.clear();
}

void FindBox::sayChosen()
{
    // The list takes no focus, so the box says for it what Enter would open.
    const FindHit* hit = chosen();
    setAccessibleDescription(
        hit != nullptr ? tr("%1 of %2: %3, %4").arg(m_list->currentRow() + 1).arg(hitCount()).arg(hit->group, hit->text) : QString());
}

bool FindBox::event(QEvent* event)
{
    // In the box, Ctrl+Enter and Esc are its own, whatever the window does with them.
    if (event->type() == QEvent::ShortcutOverride) {
        const auto& key = static_cast<const QKeyEvent&>(*event);
        const bool enter = key.key() == Qt::Key_Return || key.key() == Qt::Key_Enter;
        if (key.key() == Qt::Key_Escape || (enter && key.modifiers().testFlag(Qt::ControlModifier))) {
            event->accept();
            return true;
        }
    }
    return QLineEdit::event(event);
}

void FindBox::keyPressEvent(QKeyEvent* event)
{
    switch (event->key()) {
    case Qt::Key_Down:
    case Qt::Key_Up:
        if (m_list != nullptr && !m_hits.empty()) {
            const int step = event->key() == Qt::Key_Down ? 1 : -1;
            m_list->setCurrentRow(std::clamp(m_list->currentRow() + step, 0, hitCount() - 1));
            sayChosen();
        }
        return;
    case Qt::Key_Escape: giveBack(); return;
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
            finish();  // the row that Down has walked to
        return;
    }
    default: QLineEdit::keyPressEvent(event);
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
