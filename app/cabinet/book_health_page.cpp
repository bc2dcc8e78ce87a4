#include "app/cabinet/book_health_page.h"

#include "app/cabinet/page_parts.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QGridLayout>
#include <QLocale>
#include <QVBoxLayout>

namespace halfcell::app {

namespace {

QString sizeText(std::uintmax_t bytes)
{
    return QLocale().formattedDataSize(static_cast<qint64>(bytes), 1, QLocale::DataSizeSIFormat);
}

QString momentText(const std::optional<core::Instant>& moment)
{
    if (!moment)
        return BookHealthPage::tr("never");
    return QString::fromStdString(core::formatInstant(*moment)).replace(QLatin1Char('T'), QLatin1Char(' '));
}

}  // namespace

BookHealthPage::BookHealthPage(Shop& shop, AskTarget askBackup, QWidget* parent)
    : QWidget(parent), m_shop(shop), m_askBackup(std::move(askBackup))
{
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    layout->setSpacing(metrics.spacing());
    layout->addWidget(headingLabel(tr("Book health"), this));
    auto* grid = new QGridLayout;
    grid->setHorizontalSpacing(metrics.margin());
    grid->setVerticalSpacing(metrics.spacing());
    grid->setColumnStretch(1, 1);
    const auto addRow = [&](int row, const QString& label, const QString& name, QPushButton* button) {
        auto* head = new QLabel(label, this);
        setTextRole(head, TextRole::Body, Weight::Heavy);
        grid->addWidget(head, row, 0, Qt::AlignTop);
        QLabel* value = line(label, name);
        grid->addWidget(value, row, 1);
        if (button != nullptr)
            grid->addWidget(button, row, 2, Qt::AlignTop);
        return value;
    };
    m_verifyButton = new QPushButton(tr("&Verify now"), this);
    m_verifyButton->setObjectName(QStringLiteral("cabinet.health.verify"));
    auto* backup = new QPushButton(tr("&Back up…"), this);
    backup->setObjectName(QStringLiteral("cabinet.health.backup"));
    auto* rebuild = new QPushButton(tr("&Rebuild figures"), this);
    rebuild->setObjectName(QStringLiteral("cabinet.health.rebuild"));
    m_file = addRow(0, tr("File"), QStringLiteral("cabinet.health.file"), nullptr);
    m_content = addRow(1, tr("Content"), QStringLiteral("cabinet.health.content"), nullptr);
    m_chain = addRow(2, tr("Chain"), QStringLiteral("cabinet.health.chain"), m_verifyButton);
    m_backup = addRow(3, tr("Backup"), QStringLiteral("cabinet.health.backup.state"), backup);
    m_figures = addRow(4, tr("Figures"), QStringLiteral("cabinet.health.figures"), rebuild);
    m_figures->setText(tr("Stored figures can be worked out anew from the readings at any time."));
    m_chain->setText(tr("Not checked yet in this session."));
    layout->addLayout(grid);
    layout->addStretch(1);

    connect(m_verifyButton, &QPushButton::clicked, this, [this] { verify(); });
    connect(backup, &QPushButton::clicked, this, [this] {
        const auto target = m_askBackup(this);
        if (!target)
            return;
        m_backup->setText(tr("Copying."));
        m_shop.backup(*target, this, [this, target](core::Result<bool> done) {
            m_backup->setText(done ? tr("%1, opened again and checked.").arg(QString::fromStdString(target->string())) : userText(done.error()));
            Q_EMIT announced(m_backup->text());
        });
    });
    connect(rebuild, &QPushButton::clicked, this, [this] {
        m_figures->setText(tr("Working every figure out anew."));
        m_shop.rebuild(this, [this](core::Result<db::RebuildReport> report) {
            if (!report)
                m_figures->setText(userText(report.error()));
            else if (report->different.empty())
                m_figures->setText(tr("%1 sensors worked out anew: identical.").arg(report->rebuilt));
            else
                m_figures->setText(tr("%1 sensors worked out anew; %2 differed and are mended: %3")
                                       .arg(QString::number(report->rebuilt), QString::number(report->different.size()),
                                            QString::fromStdString(report->different.front())));
            Q_EMIT announced(m_figures->text());
        });
    });
}

QLabel* BookHealthPage::line(const QString& label, const QString& name)
{
    QLabel* value = sentenceLabel(QString(), this);
    value->setObjectName(name);
    value->setAccessibleName(label);
    return value;
}

void BookHealthPage::refresh()
{
    if (!m_shop.isOpen())
        return;
    m_shop.info(this, [this](core::Result<db::BookInfo> info) { showInfo(info); });
}

void BookHealthPage::showInfo(const core::Result<db::BookInfo>& info)
{
    if (!info) {
        m_file->setText(userText(info.error()));
        return;
    }
    const QString mode = info->wal ? tr("write-ahead log") : tr("this place can't keep a write-ahead log (%1); a rollback journal is used, a little slower")
                                                                 .arg(QString::fromStdString(info->journalMode));
    m_file->setText(tr("%1, %2, %3, schema %4, last write %5")
                        .arg(QString::fromStdString(m_shop.file().string()), sizeText(info->bytes), mode, QString::number(info->schema),
                             momentText(info->lastWrite)));
    m_content->setText(tr("%1 sensors, %2 visits, %3 readings, %4 journal entries")
                           .arg(countText(static_cast<qint64>(info->sensors)), countText(static_cast<qint64>(info->visits)),
                                countText(static_cast<qint64>(info->readings)), countText(info->entries)));
    m_backup->setText(tr("Last backup: %1").arg(momentText(info->lastBackup)));
}

void BookHealthPage::verify()
{
    if (!m_shop.isOpen())
        return;
    m_verifyButton->setEnabled(false);
    m_chain->setText(tr("Checking every record and the journal's chain."));
    m_shop.verify(this, [this](core::Result<db::VerifyReport> report) {
        m_verifyButton->setEnabled(true);
        if (!report)
            m_chain->setText(userText(report.error()));
        else if (report->ok)
            m_chain->setText(tr("%1 entries, whole. Head %2").arg(countText(report->entries), QString::fromStdString(report->head)));
        else
            m_chain->setText(tr("%1 The book is still readable; don't log in it; restore the last backup beside it and compare.")
                                 .arg(QString::fromStdString(report->firstBad)));
        Q_EMIT announced(m_chain->text());
    });
}

}  // namespace halfcell::app
