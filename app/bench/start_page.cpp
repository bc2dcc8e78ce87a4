#include "app/bench/start_page.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPainter>
#include <QPushButton>
#include <QStyledItemDelegate>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app::bench {

namespace {

enum JobRole { kTag = Qt::UserRole, kSerial, kWhat, kWhy, kMinutes, kPeople, kLine };

/// One line of the sheet: number, tag, serial, place; then what and why; minutes at the right.
class JobDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;

    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const override
    {
        return {0, std::max(Metrics::of(option.widget).px(48), Metrics::of(option.widget).row())};
    }

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override
    {
        paintItemGround(*painter, option, index);
        const Metrics metrics = Metrics::of(option.widget);
        const Palette colors = Palette::of(option.palette);
        const QRect box = option.rect.adjusted(metrics.grid(3), metrics.grid(1), -metrics.grid(3), -metrics.grid(1));
        const QFont body = fontOf(TextRole::Body, Weight::Regular, metrics.scale);
        const QFont heavy = fontOf(TextRole::Body, Weight::Heavy, metrics.scale);
        const QFont mono = fontOf(TextRole::InlineSerial, Weight::Regular, metrics.scale);
        const QFont hint = fontOf(TextRole::Hint, Weight::Regular, metrics.scale);
        const QRect top(box.x(), box.y(), box.width(), box.height() / 2);
        const QRect bottom(box.x(), top.bottom() + 1, box.width(), box.height() / 2);
        int x = top.x();
        const auto put = [&](const QString& words, const QFont& face, Role ink, int width) {
            painter->setFont(face);
            painter->setPen(colors[ink]);
            painter->drawText(QRect(x, top.y(), width, top.height()), Qt::AlignLeft | Qt::AlignVCenter,
                              QFontMetrics(face).elidedText(words, Qt::ElideMiddle, width));
            x += width + metrics.grid(2);
        };
        put(index.data(kLine).toString(), body, Role::Ink3, metrics.px(24));
        put(index.data(kTag).toString(), heavy, Role::Ink1, metrics.px(92));
        put(index.data(kSerial).toString(), mono, Role::Ink1, metrics.px(88));
        put(index.data(kWhat).toString(), body, Role::Ink1, std::max(metrics.px(40), top.right() - x - metrics.px(150)));
        painter->setPen(colors[Role::Ink2]);
        painter->setFont(body);
        painter->drawText(top, Qt::AlignRight | Qt::AlignVCenter, index.data(kMinutes).toString());
        painter->setFont(hint);
        painter->setPen(colors[Role::Ink3]);
        const QRect why = bottom.adjusted(metrics.px(24) + metrics.grid(2), 0, 0, 0);
        painter->drawText(why, Qt::AlignLeft | Qt::AlignVCenter,
                          QFontMetrics(hint).elidedText(index.data(kWhy).toString(), Qt::ElideMiddle, why.width()));
        painter->setPen(colors[Role::Rule]);
        painter->drawLine(option.rect.bottomLeft(), option.rect.bottomRight());
    }
};

QLabel* head(const QString& words, QWidget* parent)
{
    return formLabel(words, TextRole::Finding, Role::Ink1, parent, Weight::Heavy);
}

}  // namespace

StartPage::StartPage(BenchPresenter& presenter, QWidget* parent) : QWidget(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.start.page"));
    const Metrics metrics = Metrics::of(this);
    auto* across = new QHBoxLayout(this);
    across->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    across->setSpacing(metrics.grid(6));
    auto* left = new QVBoxLayout;
    left->setSpacing(metrics.spacing());
    across->addLayout(left, 3);

    auto* scanHead = head(tr("Scan a sensor"), this);
    left->addWidget(scanHead);
    m_scan = new QLineEdit(this);
    m_scan->setObjectName(QStringLiteral("bench.start.scan"));
    m_scan->setAccessibleName(tr("Scan a sensor, or type its serial or tag"));
    m_scan->setPlaceholderText(tr("serial or tag; scan here"));
    m_scan->setFixedWidth(metrics.px(420));
    setTextRole(m_scan, TextRole::Field);
    scanHead->setBuddy(m_scan);
    left->addWidget(m_scan, 0, Qt::AlignLeft);
    m_note = new NoteLine(this);
    m_note->setObjectName(QStringLiteral("bench.start.note"));
    left->addWidget(m_note);
    connect(m_scan, &QLineEdit::returnPressed, this, [this] {
        const QString code = m_scan->text().trimmed();
        m_scan->clear();
        if (code.isEmpty())
            openChosen();
        else
            m_presenter.scan(code);
    });

    m_jobsHead = head(tr("Today's lines"), this);
    left->addWidget(m_jobsHead);
    m_jobsWords = wrappedLine({}, TextRole::Body, this, Role::Ink2);
    left->addWidget(m_jobsWords);
    m_jobs = new QListWidget(this);
    m_jobs->setObjectName(QStringLiteral("bench.start.jobs"));
    m_jobs->setAccessibleName(tr("Today's lines of the round sheet"));
    m_jobs->setItemDelegate(new JobDelegate(m_jobs));
    m_jobs->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    connect(m_jobs, &QListWidget::itemActivated, this, [this] { openChosen(); });
    left->addWidget(m_jobs, 1);
    left->addStretch(0);

    auto* right = new QVBoxLayout;
    right->setSpacing(metrics.spacing());
    across->addLayout(right, 2);
    m_drafts = new QWidget(this);
    m_draftRows = new QVBoxLayout(m_drafts);
    m_draftRows->setContentsMargins(0, 0, 0, 0);
    m_draftRows->setSpacing(metrics.spacing());
    right->addWidget(m_drafts);
    right->addWidget(head(tr("In soak"), this));
    m_soak = wrappedLine({}, TextRole::Body, this, Role::Ink1);
    m_soak->setObjectName(QStringLiteral("bench.start.soak"));
    right->addWidget(m_soak);
    right->addStretch(1);
    connect(&presenter, &BenchPresenter::startChanged, this, &StartPage::refresh);
    refresh();
}

void StartPage::takeFocus()
{
    m_scan->setFocus(Qt::OtherFocusReason);
}

void StartPage::refresh()
{
    if (m_presenter.hasVisit())
        return;  // out of sight; renewed when it comes up
    m_note->show(m_presenter.said(), false);
    refreshDrafts();

    const QString kept = m_jobs->currentItem() ? m_jobs->currentItem()->data(kSerial).toString() : QString();
    m_jobs->clear();
    for (const JobLine& job : m_presenter.jobs()) {
        auto* item = new QListWidgetItem(m_jobs);
        const QString tag = QString::fromStdString(job.tag);
        const QString serial = QString::fromStdString(job.serial);
        item->setData(kTag, tag);
        item->setData(kSerial, serial);
        item->setData(kWhat, job.where.isEmpty() ? job.what : job.what + QStringLiteral("   ") + job.where);
        item->setData(kWhy, job.why);
        item->setData(kMinutes, tr("%1  %2 min").arg(job.people, figureText(job.minutes, 0, Sign::WhenNegative)));
        item->setData(kLine, QString::number(job.line));
        item->setData(Qt::AccessibleTextRole,
                      QStringList{tr("line %1").arg(job.line), tag, serial, job.what, job.why}.join(QStringLiteral(", ")));
        item->setToolTip(job.where.isEmpty() ? job.why : job.where + QStringLiteral(": ") + job.why);
        if (serial == kept)
            m_jobs->setCurrentItem(item);
    }
    if (!m_jobs->currentItem() && m_jobs->count() > 0) {
        // The first line of whoever is here, else the first of all.
        int first = 0;
        const QString me = m_presenter.shop().person();
        for (int i = m_jobs->count() - 1; i >= 0 && !me.isEmpty(); --i)
            if (m_presenter.jobs()[static_cast<std::size_t>(i)].people.contains(me))
                first = i;
        m_jobs->setCurrentRow(first);
    }
    m_jobs->setVisible(m_jobs->count() > 0);
    m_jobsWords->setText(m_jobs->count() > 0        ? tr("Enter in the empty field opens the chosen line; Down and Up choose.")
                         : !m_presenter.jobsKnown() ? tr("Working out what is due.")
                                                    : tr("Nothing is planned for today. Rounds (Ctrl+3) shows the week."));

    QStringList soaking;
    for (const SoakLine& line : m_presenter.soaking())
        soaking << line.text;
    m_soak->setText(soaking.isEmpty() ? tr("No sensor is in soak.") : soaking.join(u'\n'));
}

void StartPage::refreshDrafts()
{
    while (QLayoutItem* item = m_draftRows->takeAt(0)) {
        if (item->widget())
            item->widget()->deleteLater();
        delete item;
    }
    const auto drafts = m_presenter.drafts();
    m_drafts->setVisible(!drafts.empty());
    if (drafts.empty())
        return;
    const Metrics metrics = Metrics::of(this);
    m_draftRows->addWidget(head(tr("Not logged yet"), m_drafts));
    int number = 0;
    for (const DraftLine& draft : drafts) {
        auto* row = new QWidget(m_drafts);
        auto* column = new QVBoxLayout(row);
        column->setContentsMargins(0, 0, 0, 0);
        column->setSpacing(metrics.grid(1));
        auto* words = wrappedLine(draft.text, TextRole::Body, row, draft.setAside ? Role::Ink2 : Role::Ink1);
        column->addWidget(words);
        auto* buttons = new QHBoxLayout;
        buttons->setSpacing(metrics.spacing());
        auto* goOn = new QPushButton(++number == 1 ? tr("&Go on") : tr("Go on"), row);
        goOn->setObjectName(QStringLiteral("bench.draft.%1.go").arg(number));
        goOn->setAccessibleName(tr("Go on: %1").arg(draft.text));
        connect(goOn, &QPushButton::clicked, this, [this, id = draft.id] { m_presenter.resume(id); });
        buttons->addWidget(goOn);
        if (!draft.setAside) {
            auto* aside = new QPushButton(number == 1 ? tr("Set &aside") : tr("Set aside"), row);
            aside->setObjectName(QStringLiteral("bench.draft.%1.aside").arg(number));
            aside->setAccessibleName(tr("Set aside: %1").arg(draft.text));
            connect(aside, &QPushButton::clicked, this, [this, id = draft.id] { m_presenter.setAside(id); });
            buttons->addWidget(aside);
        }
        buttons->addStretch(1);
        column->addLayout(buttons);
        m_draftRows->addWidget(row);
    }
}

void StartPage::openChosen()
{
    const auto* item = m_jobs->currentItem();
    if (item)
        m_presenter.openVisit(item->data(kSerial).toString().toStdString(), SerialSeen::No);
}

void StartPage::keyPressEvent(QKeyEvent* event)
{
    // The scan field keeps the focus while the line is chosen.
    if ((event->key() == Qt::Key_Down || event->key() == Qt::Key_Up) && m_jobs->count() > 0) {
        m_jobs->setCurrentRow(std::clamp(m_jobs->currentRow() + (event->key() == Qt::Key_Up ? -1 : 1), 0, m_jobs->count() - 1));
        return;
    }
    QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app::bench
