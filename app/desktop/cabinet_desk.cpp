#include "app/desktop/cabinet_desk.h"

#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QHBoxLayout>
#include <QListWidget>
#include <QStackedWidget>

namespace halfcell::app {

CabinetDesk::CabinetDesk(Shop& shop, Prompts& prompts, QWidget* parent) : QWidget(parent), m_shop(shop)
{
    setObjectName(QStringLiteral("cabinet"));
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);
    m_list = new QListWidget(this);
    m_list->setObjectName(QStringLiteral("cabinet.pages.list"));
    m_list->setAccessibleName(tr("Pages of the Cabinet"));
    m_list->setFixedWidth(metrics.leftColumn());
    m_list->setFrameShape(QFrame::NoFrame);
    setTextRole(m_list, TextRole::Body);
    m_list->addItem(tr("Import and export"));
    m_list->addItem(tr("Book health"));
    layout->addWidget(m_list);
    m_pages = new QStackedWidget(this);
    layout->addWidget(m_pages, 1);

    m_import = new ImportPage(
        shop, [&prompts](QWidget* w) { return prompts.openFiles(w, CabinetDesk::tr("Take tables in"), CabinetDesk::tr("Tables (*.csv)")); },
        [&prompts](QWidget* w) {
            const auto folder = prompts.openFolder(w, CabinetDesk::tr("Take a folder of tables in"));
            return folder ? std::vector<std::filesystem::path>{*folder} : std::vector<std::filesystem::path>{};
        },
        m_pages);
    m_health = new BookHealthPage(
        shop,
        [&prompts](QWidget* w) { return prompts.saveFile(w, CabinetDesk::tr("Back the book up to"), QStringLiteral("backup.halfcell")); },
        m_pages);
    m_pages->addWidget(m_import);
    m_pages->addWidget(m_health);
    connect(m_list, &QListWidget::currentRowChanged, this, [this](int row) {
        m_pages->setCurrentIndex(row);
        if (row == 1)
            m_health->refresh();
        Q_EMIT sentenceChanged();
    });
    m_list->setCurrentRow(0);
}

void CabinetDesk::showImport()
{
    m_list->setCurrentRow(0);
}

QList<QWidget*> CabinetDesk::regions() const
{
    return {m_list, m_pages->currentWidget()};
}

void CabinetDesk::shown()
{
    m_list->setFocus();
    m_health->refresh();
}

QString CabinetDesk::sentence() const
{
    return m_list->currentRow() == 0 ? tr("Tables come in with a preview of every refusal, and go out as they are stored.")
                                     : tr("The book is one file; its journal is chained, so that any change shows.");
}

}  // namespace halfcell::app
