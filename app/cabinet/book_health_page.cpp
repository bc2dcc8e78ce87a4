#include "app/cabinet/book_health_page.h"

#include "app/cabinet/chain_words.h"
#include "app/cabinet/page_parts.h"
#include "app/models/text_table_model.h"
#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QGridLayout>
#include <QHBoxLayout>
#include <QLineEdit>
#include <QLocale>
#include <QProgressBar>
#include <QScrollArea>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString sizeText(std::uintmax_t bytes)
{
    return QLocale().formattedDataSize(static_cast<qint64>(bytes), 1, QLocale::DataSizeSIFormat);
}

QString writtenText(const std::optional<core::Instant>& moment)
{
    return moment ? asKnownWords(*moment) : BookHealthPage::tr("never");
}

}  // namespace

BookHealthPage::BookHealthPage(Shop& shop, HealthAsks asks, QWidget* parent) : QWidget(parent), m_shop(shop), m_asks(std::move(asks))
{
    const Metrics metrics = Metrics::of(this);
    setObjectName(u"cabinet.health"_s);
    auto* outside = new QVBoxLayout(this);
    outside->setContentsMargins(0, 0, 0, 0);
    outside->setSpacing(0);
    auto* area = new QScrollArea(this);
    area->setObjectName(u"cabinet.health.area"_s);
    area->setFrameShape(QFrame::NoFrame);
    area->setWidgetResizable(true);
    area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    area->setFocusPolicy(Qt::NoFocus);
    auto* page = new QWidget(area);
    area->setWidget(page);
    outside->addWidget(area, 1);
    auto* layout = new QVBoxLayout(page);
    layout->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    layout->setSpacing(metrics.spacing());
    layout->addWidget(headingLabel(tr("Book health"), this));

    m_verifyButton = button(tr("&Verify now"), u"cabinet.health.verify"_s);
    m_backupButton = button(tr("&Back up now…"), u"cabinet.health.backup"_s);
    m_rotateButton = button(tr("Back up and &thin out…"), u"cabinet.health.rotate"_s);
    m_rotateButton->setToolTip(tr("A new backup in a folder that keeps days, weeks and months; older ones are removed"));
    m_restoreButton = button(tr("R&estore…"), u"cabinet.health.restore"_s);
    m_rebuildButton = button(tr("&Rebuild figures"), u"cabinet.health.rebuild"_s);
    m_compareButton = button(tr("&Compare…"), u"cabinet.health.compare"_s);
    m_mergeButton = button(tr("&Merge"), u"cabinet.health.merge"_s);
    m_mergeButton->setEnabled(false);

    auto* grid = new QGridLayout;
    grid->setHorizontalSpacing(metrics.margin());
    grid->setVerticalSpacing(metrics.spacing());
    grid->setColumnStretch(1, 1);
    m_file = addRow(grid, tr("File"), u"cabinet.health.file"_s, {});
    m_free = addRow(grid, tr("Disk"), u"cabinet.health.free"_s, {});
    m_content = addRow(grid, tr("Content"), u"cabinet.health.content"_s, {});
    m_chain = addRow(grid, tr("Chain"), u"cabinet.health.chain"_s, {m_verifyButton});
    m_backup = addRow(grid, tr("Backup"), u"cabinet.health.backup.state"_s, {m_backupButton, m_rotateButton});
    m_restored = addRow(grid, tr("Restore"), u"cabinet.health.restored"_s, {m_restoreButton});
    m_figures = addRow(grid, tr("Figures"), u"cabinet.health.figures"_s, {m_rebuildButton});
    m_merged = addRow(grid, tr("Merge"), u"cabinet.health.merged"_s, {m_compareButton, m_mergeButton});
    m_restored->setText(tr("A backup becomes a new book under a new name; nothing is written over."));
    m_figures->setText(tr("Stored figures can be worked out anew from the readings at any time."));
    m_merged->setText(tr("A book that was taken on a round comes back: compare first, nothing is written by that."));
    layout->addLayout(grid);
    buildClashes(layout);
    layout->addStretch(1);
    buildProgress(outside);

    connect(m_verifyButton, &QPushButton::clicked, this, &BookHealthPage::verify);
    connect(m_backupButton, &QPushButton::clicked, this, &BookHealthPage::backUp);
    connect(m_rotateButton, &QPushButton::clicked, this, &BookHealthPage::rotate);
    connect(m_restoreButton, &QPushButton::clicked, this, &BookHealthPage::restore);
    connect(m_rebuildButton, &QPushButton::clicked, this, &BookHealthPage::rebuild);
    connect(m_compareButton, &QPushButton::clicked, this, &BookHealthPage::compare);
    connect(m_mergeButton, &QPushButton::clicked, this, &BookHealthPage::mergeIn);
    connect(&m_shop, &Shop::chainChanged, this, &BookHealthPage::showChain);
    connect(&m_shop, &Shop::bookOpened, this, [this] {
        m_other.reset();
        m_mergeButton->setEnabled(false);
        showChain();
    });
    showChain();
}

QPushButton* BookHealthPage::button(const QString& text, const QString& name)
{
    auto* made = new QPushButton(text, this);
    made->setObjectName(name);
    return made;
}

QLabel* BookHealthPage::addRow(QGridLayout* grid, const QString& label, const QString& name, const std::vector<QPushButton*>& buttons)
{
    const int row = grid->rowCount();
    auto* head = new QLabel(label, this);
    setTextRole(head, TextRole::Body, Weight::Heavy);
    grid->addWidget(head, row, 0, Qt::AlignTop);
    QLabel* value = sentenceLabel(QString(), this);
    value->setObjectName(name);
    value->setAccessibleName(label);
    grid->addWidget(value, row, 1, Qt::AlignTop);
    auto* side = new QHBoxLayout;
    for (QPushButton* one : buttons)
        side->addWidget(one);
    grid->addLayout(side, row, 2, Qt::AlignTop | Qt::AlignRight);
    return value;
}

void BookHealthPage::buildClashes(QVBoxLayout* layout)
{
    const Metrics metrics = Metrics::of(this);
    m_clashPart = new QWidget(this);
    auto* part = new QVBoxLayout(m_clashPart);
    part->setContentsMargins(0, metrics.spacing(), 0, 0);
    part->setSpacing(metrics.spacing());
    part->addWidget(headingLabel(tr("Clashes"), this));
    m_clashSentence = sentenceLabel({}, this);
    m_clashSentence->setObjectName(u"cabinet.health.clashes"_s);
    part->addWidget(m_clashSentence);
    m_clashModel = new TextTableModel({tr("Clash"), tr("About"), tr("Counts now"), tr("Recorded"), tr("By"), tr("The row says")}, this);
    m_clashView = new PageTable(m_clashModel, u"cabinet.health.clashes.table"_s, tr("Rows that can't both be right"), this);
    m_clashView->fitColumns();
    m_clashView->setMinimumHeight(metrics.px(140));
    part->addWidget(m_clashView);
    auto* row = new QHBoxLayout;
    auto* words = new QLabel(tr("Wh&y this one"), this);
    m_why = new QLineEdit(this);
    m_why->setObjectName(u"cabinet.health.why"_s);
    m_why->setAccessibleName(tr("Why the chosen row is right"));
    m_why->setPlaceholderText(tr("paper sheet, the person asked, the place looked at"));
    words->setBuddy(m_why);
    m_keep = button(tr("&Keep the chosen row"), u"cabinet.health.keep"_s);
    row->addWidget(words);
    row->addWidget(m_why, 1);
    row->addWidget(m_keep);
    part->addLayout(row);
    m_clashPart->hide();
    layout->addWidget(m_clashPart);
    connect(m_keep, &QPushButton::clicked, this, &BookHealthPage::settleChosen);
    connect(m_why, &QLineEdit::returnPressed, this, &BookHealthPage::settleChosen);
}

void BookHealthPage::buildProgress(QVBoxLayout* layout)
{
    const Metrics metrics = Metrics::of(this);
    m_work = new QWidget(this);
    auto* row = new QHBoxLayout(m_work);
    row->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    m_workSentence = new QLabel(this);
    m_workSentence->setObjectName(u"cabinet.health.work"_s);
    m_progress = new QProgressBar(this);
    m_progress->setObjectName(u"cabinet.health.progress"_s);
    m_progress->setAccessibleName(tr("Share done"));
    m_progress->setMaximumWidth(metrics.px(260));
    QPushButton* stop = button(tr("&Stop"), u"cabinet.health.stop"_s);
    stop->setAccessibleName(tr("Stop what runs in the background"));
    row->addWidget(m_workSentence);
    row->addWidget(m_progress, 1);
    row->addWidget(stop);
    row->addStretch(1);
    m_work->hide();
    layout->addWidget(m_work);
    connect(stop, &QPushButton::clicked, &m_shop, &Shop::stopBackground);
    connect(&m_shop, &Shop::background, this, [this](const QString& sentence, double fraction) {
        m_work->setVisible(!sentence.isEmpty());
        m_workSentence->setText(sentence);
        m_progress->setValue(static_cast<int>(fraction * 100.0));
    });
}

void BookHealthPage::say(QLabel* where, const QString& sentence)
{
    where->setText(sentence);
    speak(where);
    Q_EMIT announced(sentence);
}

// --- what it shows ---------------------------------------------------------------------------------------------------

void BookHealthPage::refresh()
{
    if (!m_shop.isOpen())
        return;
    m_shop.info(this, [this](const core::Result<db::BookInfo>& info) { showInfo(info); });
    m_shop.clashes(this, [this](const core::Result<std::vector<db::Clash>>& clashes) { showClashes(clashes); });
    m_jobs.read(
        this,
        [folder = m_shop.file().parent_path()] {
            std::error_code ec;
            const auto space = std::filesystem::space(folder.empty() ? std::filesystem::path(".") : folder, ec);
            return ec ? std::optional<std::uintmax_t>() : std::optional(space.available);
        },
        [this](const std::optional<std::uintmax_t>& bytes) {
            m_free->setText(bytes ? tr("%1 free where the book lies.").arg(sizeText(*bytes)) : tr("How much is free can't be read."));
        });
}

void BookHealthPage::showInfo(const core::Result<db::BookInfo>& info)
{
    if (!info) {
        say(m_file, userText(info.error()));
        return;
    }
    const QString mode = info->wal ? tr("write-ahead log")
                                   : tr("this place can't keep a write-ahead log (%1); a rollback journal is used, a little slower")
                                         .arg(QString::fromStdString(info->journalMode));
    m_file->setText(tr("%1, %2, %3, schema %4, last write %5")
                        .arg(QString::fromStdString(m_shop.file().string()), sizeText(info->bytes), mode, QString::number(info->schema),
                             writtenText(info->lastWrite)));
    m_content->setText(tr("%1 sensors, %2 visits, %3 readings, %4 journal entries")
                           .arg(countText(static_cast<qint64>(info->sensors)), countText(static_cast<qint64>(info->visits)),
                                countText(static_cast<qint64>(info->readings)), countText(info->entries)));
    if (!info->lastBackup)
        m_backup->setText(tr("Never backed up. One file on another disk is enough to begin with."));
    else if (info->lastBackupFile.empty())
        m_backup->setText(tr("Last backup %1.").arg(writtenText(info->lastBackup)));
    else
        m_backup->setText(tr("Last backup %1, %2.").arg(writtenText(info->lastBackup), QString::fromStdString(info->lastBackupFile)));
}

void BookHealthPage::showChain()
{
    const ChainState& chain = m_shop.chain();
    m_verifyButton->setEnabled(!chain.running);
    QString words = chainWords(chain);
    if (chain.last && *chain.last && (*chain.last)->ok && !chain.running)
        words += u' ' + tr("Head %1").arg(QString::fromStdString((*chain.last)->head));
    if (words == m_chain->text())
        return;
    m_chain->setText(words);
    if (isVisible() && !chain.running)
        say(m_chain, words);
}

void BookHealthPage::verify()
{
    if (m_shop.isOpen())
        m_shop.checkChain();
}

// --- copies and figures ----------------------------------------------------------------------------------------------

void BookHealthPage::backUp()
{
    const auto target = m_asks.backupFile(this);
    if (!target)
        return;
    m_backupButton->setEnabled(false);
    m_backup->setText(tr("Copying."));
    m_shop.backup(*target, this, [this, target](const core::Result<bool>& done) {
        m_backupButton->setEnabled(true);
        say(m_backup, done ? tr("%1, opened again and checked.").arg(QString::fromStdString(target->string())) : userText(done.error()));
    });
}

void BookHealthPage::rotate()
{
    const auto folder = m_asks.backupFolder(this);
    if (!folder)
        return;
    m_rotateButton->setEnabled(false);
    m_backup->setText(tr("Copying."));
    m_shop.rotateBackup(*folder, this, [this](const core::Result<db::Rotation>& done) {
        m_rotateButton->setEnabled(true);
        say(m_backup, done ? tr("%1, opened again and checked; %2 backups are kept there, %3 older removed.")
                                 .arg(QString::fromStdString(done->made.string()), countText(static_cast<qint64>(done->kept)),
                                      countText(static_cast<qint64>(done->removed.size())))
                           : userText(done.error()));
    });
}

void BookHealthPage::restore()
{
    const auto from = m_asks.backupToRestore(this);
    if (!from)
        return;
    const auto to = m_asks.restoredBook(this);
    if (!to)
        return;
    m_restoreButton->setEnabled(false);
    m_restored->setText(tr("Copying and checking."));
    m_shop.restore(*from, *to, this, [this, to](const core::Result<db::VerifyReport>& done) {
        m_restoreButton->setEnabled(true);
        say(m_restored, done ? tr("%1: %2 entries, whole. This book stays open; open the restored one beside it to compare.")
                                   .arg(QString::fromStdString(to->string()), countText(static_cast<qint64>(done->entries)))
                             : userText(done.error()));
    });
}

void BookHealthPage::rebuild()
{
    m_rebuildButton->setEnabled(false);
    m_figures->setText(tr("Working every figure out anew."));
    m_shop.rebuild(this, [this](const core::Result<db::RebuildReport>& report) {
        m_rebuildButton->setEnabled(true);
        if (!report)
            say(m_figures, userText(report.error()));
        else if (report->different.empty())
            say(m_figures, tr("%1 sensors worked out anew: identical.").arg(report->rebuilt));
        else
            say(m_figures, tr("%1 sensors worked out anew; %2 differed and are mended: %3")
                               .arg(QString::number(report->rebuilt), QString::number(report->different.size()),
                                    QString::fromStdString(report->different.front())));
    });
}

// --- other books -----------------------------------------------------------------------------------------------------

void BookHealthPage::compare()
{
    const auto other = m_asks.otherBook(this);
    if (!other)
        return;
    m_other.reset();
    m_mergeButton->setEnabled(false);
    m_compareButton->setEnabled(false);
    m_merged->setText(tr("Comparing the books. Nothing is written."));
    m_shop.merge(*other, true, this, [this, other](const core::Result<db::MergeReport>& report) {
        m_compareButton->setEnabled(true);
        if (!report) {
            say(m_merged, userText(report.error()));
            return;
        }
        const bool news = report->taken + report->newClashes > 0;
        QStringList kinds;
        for (const auto& [kind, count] : report->takenByKind)
            kinds << tr("%1 × %2").arg(countText(static_cast<qint64>(count)), QString::fromStdString(kind).replace(u'_', u' '));
        QString text = tr("%1: %2 new rows, %3 known already, %4 clashes. Nothing was written.")
                           .arg(QString::fromStdString(other->filename().string()), countText(static_cast<qint64>(report->taken)),
                                countText(static_cast<qint64>(report->unchanged)), countText(static_cast<qint64>(report->clashes.size())));
        if (!kinds.isEmpty())
            text += u' ' + tr("New: %1.").arg(kinds.join(u", "_s));
        text += u' ' + (news ? tr("Merge takes them in.") : tr("There is nothing to take in."));
        if (news) {
            m_other = other;
            m_mergeButton->setEnabled(true);
        }
        say(m_merged, text);
    });
}

void BookHealthPage::mergeIn()
{
    if (!m_other)
        return;
    m_mergeButton->setEnabled(false);
    m_merged->setText(tr("Merging the books."));
    m_shop.merge(*m_other, false, this, [this, other = *m_other](const core::Result<db::MergeReport>& report) {
        if (!report) {
            m_mergeButton->setEnabled(true);
            say(m_merged, userText(report.error()));
            return;
        }
        m_other.reset();
        say(m_merged, tr("%1 merged: %2 rows taken in, %3 known already, %4 clashes to settle.")
                          .arg(QString::fromStdString(other.filename().string()), countText(static_cast<qint64>(report->taken)),
                               countText(static_cast<qint64>(report->unchanged)), countText(static_cast<qint64>(report->clashes.size()))));
        refresh();
    });
}

void BookHealthPage::showClashes(const core::Result<std::vector<db::Clash>>& clashes)
{
    if (!clashes) {
        m_clashPart->show();
        m_clashSentence->setText(userText(clashes.error()));
        return;
    }
    m_open.clear();
    m_clashRows.clear();
    std::size_t settled = 0;
    std::vector<QStringList> rows;
    for (const db::Clash& clash : *clashes) {
        if (!clash.open) {
            ++settled;
            continue;
        }
        const QString kind = clash.kind == "placement"    ? tr("two places")
                             : clash.kind == "correction" ? tr("two corrections")
                                                          : tr("two contents");
        for (std::size_t i = 0; i < clash.rows.size(); ++i) {
            const db::ClashRow& row = clash.rows[i];
            rows.push_back({kind, screenWords(clash.subject), row.counts ? tr("yes") : tr("no"), asKnownWords(row.recorded),
                            row.person.empty() ? tr("nobody") : QString::fromStdString(row.person), screenWords(row.text)});
            m_clashRows.emplace_back(m_open.size(), i);
        }
        m_open.push_back(clash);
    }
    m_clashModel->setRows(std::move(rows));
    const bool any = !m_open.empty();
    m_clashPart->setVisible(any || settled > 0);
    for (QWidget* part : {static_cast<QWidget*>(m_clashView), static_cast<QWidget*>(m_why), static_cast<QWidget*>(m_keep)})
        part->setEnabled(any);
    m_clashSentence->setText(any ? tr("%1 clashes: rows that can't both be right. None is lost; choose the row that is right and say why. "
                                      "A new row says so from then on.")
                                       .arg(countText(static_cast<qint64>(m_open.size())))
                                 : tr("No open clash; %1 settled.").arg(countText(static_cast<qint64>(settled))));
}

void BookHealthPage::settleChosen()
{
    const int row = m_clashView->currentIndex().row();
    if (row < 0 || row >= static_cast<int>(m_clashRows.size())) {
        say(m_clashSentence, tr("Choose the row that is right first."));
        return;
    }
    if (m_shop.person().isEmpty()) {
        say(m_clashSentence, tr("A clash is settled by a person: say who works first (Ctrl+I)."));
        return;
    }
    const QString why = m_why->text().trimmed();
    if (why.isEmpty()) {
        say(m_clashSentence, tr("Say why this row is right; it stands beside the decision from then on."));
        m_why->setFocus();
        return;
    }
    const auto [clash, keep] = m_clashRows[static_cast<std::size_t>(row)];
    m_keep->setEnabled(false);
    m_shop.settleClash(m_open[clash].id, keep + 1, why.toStdString(), this, [this](const core::Result<bool>& done) {
        m_keep->setEnabled(true);
        if (!done) {
            say(m_clashSentence, userText(done.error()));
            return;
        }
        m_why->clear();
        Q_EMIT announced(tr("Settled."));
        refresh();
    });
}

}  // namespace halfcell::app
