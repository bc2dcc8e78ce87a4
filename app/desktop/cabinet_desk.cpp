#include "app/desktop/cabinet_desk.h"

#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QEvent>
#include <QFontMetrics>
#include <QHBoxLayout>
#include <QListWidget>
#include <QStackedWidget>

#include <algorithm>

namespace halfcell::app {

CabinetDesk::CabinetDesk(Shop& shop, Prompts& prompts, QWidget* parent) : QWidget(parent), m_shop(shop)
{
    setObjectName(QStringLiteral("cabinet"));
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);
    m_list = new QListWidget(this);
    m_list->setObjectName(QStringLiteral("cabinet.pages.list"));
    m_list->setAccessibleName(tr("Pages of the Cabinet"));
    m_list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_list->setFrameShape(QFrame::NoFrame);
    setTextRole(m_list, TextRole::Body);
    m_list->addItem(tr("Import and export"));
    m_list->addItem(tr("Audit"));
    m_list->addItem(tr("Book health"));
    m_list->addItem(tr("Lifetimes"));
    m_list->addItem(tr("What services bought"));
    m_list->addItem(tr("Past outlooks"));
    layout->addWidget(m_list);
    m_pages = new QStackedWidget(this);
    layout->addWidget(m_pages, 1);

    m_import = new ImportPage(
        shop,
        [&prompts](QWidget* w) {
            return prompts.openFiles(w, CabinetDesk::tr("Take tables in"),
                                     CabinetDesk::tr("Tables (*.csv *.tsv *.txt *.xlsx *.xlsm *.ods);;All files (*)"));
        },
        [&prompts](QWidget* w) {
            const auto folder = prompts.openFolder(w, CabinetDesk::tr("Take a folder of tables in"));
            return folder ? std::vector<std::filesystem::path>{*folder} : std::vector<std::filesystem::path>{};
        },
        m_pages);
    m_audit = new AuditPage(shop, m_pages);
    const auto openOne = [&prompts](const QString& title) {
        return [&prompts, title](QWidget* w) -> std::optional<std::filesystem::path> {
            const auto files = prompts.openFiles(w, title, CabinetDesk::tr("Books (*.halfcell)"));
            return files.empty() ? std::nullopt : std::optional(files.front());
        };
    };
    const auto saveAs = [&prompts](const QString& title, const QString& name) {
        return [&prompts, title, name](QWidget* w) { return prompts.saveFile(w, title, name); };
    };
    m_health = new BookHealthPage(
        shop,
        {.backupFile = saveAs(tr("Back the book up to"), QStringLiteral("backup.halfcell")),
         .backupFolder = [&prompts](QWidget* w) { return prompts.openFolder(w, CabinetDesk::tr("Folder of the backups")); },
         .backupToRestore = openOne(tr("Backup to restore")),
         .restoredBook = saveAs(tr("New name of the restored book"), QStringLiteral("restored.halfcell")),
         .otherBook = openOne(tr("Book to compare with"))},
        m_pages);
    m_pages->addWidget(m_import);
    m_pages->addWidget(m_audit);
    const AskFile askFile = [&prompts](QWidget* w, const QString& title, const QString& name) { return prompts.saveFile(w, title, name); };
    m_lifetimes = new LifetimesPage(shop, askFile, m_pages);
    m_effects = new EffectsPage(shop, askFile, m_pages);
    m_score = new ScorePage(shop, askFile, m_pages);
    m_pages->addWidget(m_health);
    for (EvidencePage* page : std::initializer_list<EvidencePage*>{m_lifetimes, m_effects, m_score}) {
        m_pages->addWidget(page);
        connect(page, &EvidencePage::sentenceChanged, this, &CabinetDesk::sentenceChanged);
        connect(page, &EvidencePage::announced, this, &CabinetDesk::announced);
        connect(page, &EvidencePage::workingReady, this, &CabinetDesk::workingReady);
        connect(page, &EvidencePage::recordAsked, this, [this](const QString& serial) { Q_EMIT recordAsked(serial, {}); });
    }
    connect(m_list, &QListWidget::currentRowChanged, this, &CabinetDesk::turnTo);
    connect(m_audit, &AuditPage::sentenceChanged, this, &CabinetDesk::sentenceChanged);
    connect(m_audit, &AuditPage::recordAsked, this, &CabinetDesk::recordAsked);
    connect(m_audit, &AuditPage::announced, this, &CabinetDesk::announced);
    connect(m_health, &BookHealthPage::announced, this, &CabinetDesk::announced);
    m_list->setCurrentRow(kImport);
}

/// The pages' names stand whole; where there is room the column is as wide as the other desks'.
void CabinetDesk::fitList()
{
    const Metrics metrics = Metrics::of(this);
    const QFontMetrics text(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
    int longest = 0;
    for (int row = 0; row < m_list->count(); ++row)
        longest = std::max(longest, text.horizontalAdvance(m_list->item(row)->text()));
    const int needed = longest + 2 * metrics.margin();
    const WidthClass size = metrics.widthClass(width());
    m_list->setFixedWidth(size == WidthClass::Wide || size == WidthClass::Normal ? std::max(needed, metrics.leftColumn()) : needed);
}

void CabinetDesk::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    fitList();
}

void CabinetDesk::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_list != nullptr)
        fitList();
}

void CabinetDesk::turnTo(int page)
{
    m_pages->setCurrentIndex(page);
    if (page == kHealth)
        m_health->refresh();
    if (EvidencePage* evidence = evidencePage())
        evidence->refresh();
    Q_EMIT sentenceChanged();
}

EvidencePage* CabinetDesk::evidencePage() const
{
    return qobject_cast<EvidencePage*>(m_pages->currentWidget());
}

void CabinetDesk::showImport()
{
    m_list->setCurrentRow(kImport);
}

void CabinetDesk::showAudit()
{
    m_list->setCurrentRow(kAudit);
}

void CabinetDesk::showHealth()
{
    m_list->setCurrentRow(kHealth);
}

QList<QWidget*> CabinetDesk::regions() const
{
    if (m_pages->currentWidget() == m_import)
        return QList<QWidget*>{m_list} + m_import->regions();
    return {m_list, m_pages->currentWidget()};
}

void CabinetDesk::shown()
{
    m_list->setFocus();
    if (m_list->currentRow() == kHealth)
        m_health->refresh();
    if (EvidencePage* evidence = evidencePage())
        evidence->refresh();
}

QString CabinetDesk::sentence() const
{
    if (const EvidencePage* evidence = evidencePage())
        return evidence->sentence();
    switch (m_list->currentRow()) {
    case kImport: return tr("Tables come in with a preview of every refusal, and go out as they are stored.");
    case kAudit: return m_audit->sentence();
    default: return tr("The book is one file; its journal is chained, so that any change shows.");
    }
}

}  // namespace halfcell::app
