#include "app/cabinet/import_page.h"

#include "app/cabinet/page_parts.h"
#include "app/models/text_table_model.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QHBoxLayout>
#include <QLineEdit>
#include <QShortcut>
#include <QSplitter>
#include <QVBoxLayout>

namespace halfcell::app {

ImportPage::ImportPage(Shop& shop, AskPaths askFiles, AskPaths askFolder, QWidget* parent)
    : QWidget(parent), m_shop(shop), m_askFiles(std::move(askFiles)), m_askFolder(std::move(askFolder))
{
    build();
}

void ImportPage::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    layout->setSpacing(metrics.spacing());

    layout->addWidget(headingLabel(tr("Take tables in"), this));
    auto* row = new QHBoxLayout;
    auto* pathLabel = new QLabel(tr("&File or folder"), this);
    m_path = new QLineEdit(this);
    m_path->setObjectName(QStringLiteral("cabinet.import.path"));
    m_path->setAccessibleName(tr("File or folder to take in"));
    pathLabel->setBuddy(m_path);
    auto* files = new QPushButton(tr("&Choose files…"), this);
    files->setObjectName(QStringLiteral("cabinet.import.files"));
    auto* folder = new QPushButton(tr("Choose a f&older…"), this);
    folder->setObjectName(QStringLiteral("cabinet.import.folder"));
    row->addWidget(pathLabel);
    row->addWidget(m_path, 1);
    row->addWidget(files);
    row->addWidget(folder);
    layout->addLayout(row);

    m_sentence = sentenceLabel(tr("Tables named as the public ones: sites.csv, points.csv, models.csv, sensors.csv, readings.csv … "
                                  "You see what will be stored and what is refused before anything is written."),
                               this);
    m_sentence->setObjectName(QStringLiteral("cabinet.import.sentence"));
    layout->addWidget(m_sentence);

    m_previewModel = new TextTableModel({tr("State"), tr("Table"), tr("Key"), tr("As it will be stored")}, this);
    m_previewView = readOnlyTable(m_previewModel, QStringLiteral("cabinet.import.preview"), tr("Preview"), this);
    m_previewView->setColumnWidth(0, metrics.px(80));
    m_previewView->setColumnWidth(1, metrics.px(110));
    m_previewView->setColumnWidth(2, metrics.px(220));
    m_refusedModel = new TextTableModel({tr("File"), tr("Line"), tr("Field"), tr("Value"), tr("Why"), tr("Remedy")}, this);
    m_refusedView = readOnlyTable(m_refusedModel, QStringLiteral("cabinet.import.refused"), tr("Refused rows"), this);
    m_refusedView->setColumnWidth(0, metrics.px(130));
    m_refusedView->setColumnWidth(1, metrics.px(56));
    m_refusedView->setColumnWidth(2, metrics.px(100));
    m_refusedView->setColumnWidth(3, metrics.px(120));
    m_refusedView->setColumnWidth(4, metrics.px(320));
    auto* split = new QSplitter(Qt::Vertical, this);
    split->setChildrenCollapsible(false);
    split->addWidget(m_previewView);
    split->addWidget(m_refusedView);
    m_previewView->setMinimumHeight(metrics.px(72));
    m_refusedView->setMinimumHeight(metrics.px(72));
    layout->addWidget(split, 1);

    auto* act = new QHBoxLayout;
    m_take = new QPushButton(tr("&Take in  (Ctrl+Enter)"), this);
    m_take->setObjectName(QStringLiteral("cabinet.import.take"));
    m_take->setAccessibleName(tr("Take in what the preview shows"));
    m_take->setEnabled(false);
    act->addStretch(1);
    act->addWidget(m_take);
    layout->addLayout(act);

    layout->addWidget(headingLabel(tr("Write tables out"), this));
    auto* out = new QHBoxLayout;
    auto* outLabel = new QLabel(tr("Fol&der, or file.xlsx"), this);
    m_exportPath = new QLineEdit(this);
    m_exportPath->setObjectName(QStringLiteral("cabinet.export.path"));
    m_exportPath->setAccessibleName(tr("Folder or workbook to write"));
    outLabel->setBuddy(m_exportPath);
    auto* write = new QPushButton(tr("&Write out"), this);
    write->setObjectName(QStringLiteral("cabinet.export.write"));
    out->addWidget(outLabel);
    out->addWidget(m_exportPath, 1);
    out->addWidget(write);
    layout->addLayout(out);
    m_exportSentence = sentenceLabel(QString(), this);
    m_exportSentence->setObjectName(QStringLiteral("cabinet.export.sentence"));
    layout->addWidget(m_exportSentence);

    connect(files, &QPushButton::clicked, this, [this] { choose(m_askFiles); });
    connect(folder, &QPushButton::clicked, this, [this] { choose(m_askFolder); });
    connect(m_path, &QLineEdit::returnPressed, this, [this] {
        if (!m_path->text().trimmed().isEmpty())
            preview({std::filesystem::path(m_path->text().trimmed().toStdString())});
    });
    connect(m_take, &QPushButton::clicked, this, [this] { takeIn(); });
    auto* shortcut = new QShortcut(QKeySequence(Qt::CTRL | Qt::Key_Return), this);
    shortcut->setContext(Qt::WidgetWithChildrenShortcut);
    connect(shortcut, &QShortcut::activated, this, [this] { takeIn(); });
    connect(write, &QPushButton::clicked, this, [this] { writeOut(); });
    connect(m_exportPath, &QLineEdit::returnPressed, this, [this] { writeOut(); });
}

void ImportPage::say(const QString& sentence)
{
    m_sentence->setText(sentence);
    Q_EMIT announced(sentence);
}

void ImportPage::choose(const AskPaths& ask)
{
    const auto paths = ask(this);
    if (!paths.empty())
        preview(paths);
}

void ImportPage::preview(const std::vector<std::filesystem::path>& paths)
{
    m_paths = paths;
    m_take->setEnabled(false);
    m_path->setText(QString::fromStdString(paths.front().string()));
    say(tr("Reading %1.").arg(m_path->text()));
    m_shop.previewImport(paths, this, [this](core::Result<ImportPreview> answer) { showPreview(answer); });
}

void ImportPage::showPreview(const core::Result<ImportPreview>& preview)
{
    if (!preview) {
        m_previewModel->setRows({});
        m_refusedModel->setRows({});
        say(userText(preview.error()));
        return;
    }
    std::vector<QStringList> rows;
    for (const db::PreviewRow& r : preview->rows)
        rows.push_back({QString::fromStdString(r.state), QString::fromStdString(r.table), QString::fromStdString(r.key),
                        QString::fromStdString(r.text)});
    m_previewModel->setRows(std::move(rows));
    showRefusals(preview->report);
    const db::ImportReport& report = preview->report;
    QString sentence = tr("%1 rows would be taken, %2 refused, %3 known already.")
                           .arg(countText(static_cast<qint64>(report.taken)), countText(static_cast<qint64>(report.refused.size())),
                                countText(static_cast<qint64>(report.unchanged)));
    sentence += report.taken > 0 ? tr(" Nothing is written yet: Ctrl+Enter takes them in.") : tr(" There is nothing to take in.");
    m_take->setEnabled(report.taken > 0);
    say(sentence);
}

void ImportPage::showRefusals(const db::ImportReport& report)
{
    std::vector<QStringList> rows;
    for (const db::Refusal& r : report.refused)
        rows.push_back({QString::fromStdString(r.file), r.line > 0 ? QString::number(r.line) : QString(), QString::fromStdString(r.field),
                        QString::fromStdString(r.value), QString::fromStdString(r.reason), QString::fromStdString(r.remedy)});
    m_refusedModel->setRows(std::move(rows));
}

void ImportPage::takeIn()
{
    if (!m_take->isEnabled())
        return;
    m_take->setEnabled(false);
    say(tr("Taking the rows in."));
    m_shop.importTables(m_paths, this, [this](core::Result<db::ImportReport> answer) { showTaken(answer); });
}

void ImportPage::showTaken(const core::Result<db::ImportReport>& report)
{
    if (!report) {
        say(userText(report.error()));
        return;
    }
    showRefusals(*report);
    QString sentence = tr("%1 rows taken, %2 refused, %3 known already.")
                           .arg(countText(static_cast<qint64>(report->taken)), countText(static_cast<qint64>(report->refused.size())),
                                countText(static_cast<qint64>(report->unchanged)));
    if (!report->refused.empty())
        sentence += tr(" The refused rows are in a file beside what was imported.");
    say(sentence);
}

void ImportPage::writeOut()
{
    const QString path = m_exportPath->text().trimmed();
    if (path.isEmpty()) {
        m_exportSentence->setText(tr("Name a folder, or a file ending in .xlsx."));
        return;
    }
    m_exportSentence->setText(tr("Writing."));
    m_shop.exportTables(
        std::filesystem::path(path.toStdString()), this,
        [this, path](core::Result<std::vector<std::pair<std::string, std::size_t>>> answer) {
            if (!answer) {
                m_exportSentence->setText(userText(answer.error()));
                return;
            }
            std::size_t rows = 0;
            for (const auto& table : *answer)
                rows += table.second;
            m_exportSentence->setText(
                tr("%1 rows in %2 tables written to %3.").arg(countText(static_cast<qint64>(rows)), QString::number(answer->size()), path));
        });
}

}  // namespace halfcell::app
