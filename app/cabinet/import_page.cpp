#include "app/cabinet/import_page.h"

#include "app/cabinet/columns_editor.h"
#include "app/cabinet/export_part.h"
#include "app/cabinet/form_parts.h"
#include "app/cabinet/import_preview.h"
#include "app/cabinet/page_parts.h"
#include "app/cabinet/source_form.h"
#include "app/panels/plain_words.h"
#include "app/style/metrics.h"

#include <QApplication>
#include <QClipboard>
#include <QDragEnterEvent>
#include <QHBoxLayout>
#include <QLineEdit>
#include <QMimeData>
#include <QProgressBar>
#include <QShortcut>
#include <QSplitter>
#include <QTabBar>
#include <QTabWidget>
#include <QToolButton>
#include <QUrl>
#include <QVBoxLayout>

namespace halfcell::app {

namespace {

QPushButton* button(const QString& text, const QString& name, QWidget* parent)
{
    auto* made = new QPushButton(text, parent);
    made->setObjectName(name);
    return made;
}

std::vector<std::filesystem::path> localFiles(const QMimeData* data)
{
    std::vector<std::filesystem::path> files;
    for (const QUrl& url : data->urls())
        if (url.isLocalFile())
            files.emplace_back(url.toLocalFile().toStdString());
    return files;
}

}  // namespace

ImportPage::ImportPage(Shop& shop, AskPaths askFiles, AskPaths askFolder, QWidget* parent)
    : QWidget(parent), m_presenter(shop), m_askFiles(std::move(askFiles)), m_askFolder(std::move(askFolder)), m_shop(shop)
{
    build();
    connectAll();
    showLook();
    showState();
}

void ImportPage::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    m_tabs = new QTabWidget(this);
    m_tabs->setObjectName(QStringLiteral("cabinet.import.tabs"));
    m_tabs->tabBar()->setObjectName(QStringLiteral("cabinet.import.bar"));
    m_tabs->tabBar()->setAccessibleName(tr("Taking in and writing out"));
    m_tabs->tabBar()->setUsesScrollButtons(false);
    for (QToolButton* arrow : m_tabs->tabBar()->findChildren<QToolButton*>())
        arrow->setFocusPolicy(Qt::NoFocus);
    m_tabs->setAccessibleName(tr("Taking in and writing out"));
    m_tabs->addTab(buildTakeIn(), tr("Take &in"));
    m_export = new ExportPart(m_shop, m_tabs);
    m_tabs->addTab(m_export, tr("Write &out"));
    layout->addWidget(m_tabs);
    setAcceptDrops(true);
}

QWidget* ImportPage::buildSource(QWidget* parent)
{
    auto* bar = new QWidget(parent);
    auto* row = new QHBoxLayout(bar);
    row->setContentsMargins(0, 0, 0, 0);
    auto* label = new QLabel(tr("File or folde&r"), bar);
    m_path = new QLineEdit(bar);
    m_path->setObjectName(QStringLiteral("cabinet.import.path"));
    m_path->setAccessibleName(tr("File or folder to take in"));
    m_path->setPlaceholderText(tr("type a name, drop a file here, or paste rows copied in a spreadsheet"));
    label->setBuddy(m_path);
    m_files = button(tr("&Choose files…"), QStringLiteral("cabinet.import.files"), bar);
    m_folder = button(tr("Choose a &folder…"), QStringLiteral("cabinet.import.folder"), bar);
    m_paste = button(tr("&Paste rows"), QStringLiteral("cabinet.import.paste"), bar);
    row->addWidget(label);
    row->addWidget(m_path, 1);
    row->addWidget(m_files);
    row->addWidget(m_folder);
    row->addWidget(m_paste);
    return bar;
}

QWidget* ImportPage::buildMappingBar(QWidget* parent)
{
    const Metrics metrics = Metrics::of(this);
    auto* bar = new QWidget(parent);
    auto* row = new QHBoxLayout(bar);
    row->setContentsMargins(0, 0, 0, 0);
    auto* label = new QLabel(tr("&Mapping"), bar);
    m_saved = new QComboBox(bar);
    m_saved->setObjectName(QStringLiteral("cabinet.mapping.saved"));
    m_saved->setAccessibleName(tr("Mapping: how the file's columns become ours"));
    m_saved->view()->setObjectName(QStringLiteral("cabinet.mapping.saved.list"));
    m_saved->view()->setAccessibleName(tr("Mappings kept"));
    m_saved->setMinimumWidth(metrics.px(220));
    label->setBuddy(m_saved);
    auto* nameLabel = new QLabel(tr("keep &as"), bar);
    m_name = new QLineEdit(bar);
    m_name->setObjectName(QStringLiteral("cabinet.mapping.name"));
    m_name->setAccessibleName(tr("Name to keep the mapping by"));
    m_name->setMaximumWidth(metrics.px(280));
    nameLabel->setBuddy(m_name);
    m_save = button(tr("&Save mapping"), QStringLiteral("cabinet.mapping.save"), bar);
    row->addWidget(label);
    row->addWidget(m_saved);
    row->addSpacing(metrics.spacing());
    row->addWidget(nameLabel);
    row->addWidget(m_name, 1);
    row->addWidget(m_save);
    row->addStretch(1);
    return bar;
}

QWidget* ImportPage::buildTakeIn()
{
    const Metrics metrics = Metrics::of(this);
    auto* page = new QWidget(m_tabs);
    auto* layout = new QVBoxLayout(page);
    layout->setContentsMargins(0, metrics.spacing(), 0, 0);
    layout->setSpacing(metrics.spacing());
    m_sourceBar = buildSource(page);
    layout->addWidget(m_sourceBar);
    m_sentence =
        sentenceLabel(tr("You see what will be stored, and what is refused and why, before anything is written. Any table will do: "
                         "CSV, TSV or XLSX, with a line of names."),
                      page);
    m_sentence->setObjectName(QStringLiteral("cabinet.import.sentence"));
    layout->addWidget(m_sentence);
    m_mappingBar = buildMappingBar(page);
    layout->addWidget(m_mappingBar);
    m_source = new SourceForm(page);
    layout->addWidget(m_source);
    auto* split = new QSplitter(Qt::Horizontal, page);
    split->setChildrenCollapsible(false);
    m_columns = new ColumnsEditor(split);
    m_preview = new ImportPreviewView(split);
    split->addWidget(m_columns);
    split->addWidget(m_preview);
    split->setStretchFactor(0, 2);
    split->setStretchFactor(1, 3);
    split->setSizes({metrics.px(410), metrics.px(600)});
    layout->addWidget(split, 1);

    auto* act = new QHBoxLayout;
    m_progress = new QProgressBar(page);
    m_progress->setObjectName(QStringLiteral("cabinet.import.progress"));
    m_progress->setAccessibleName(tr("Progress"));
    m_progress->setRange(0, 1000);
    m_progress->setTextVisible(false);
    m_progress->setMaximumWidth(metrics.px(260));
    m_progress->setMaximumHeight(metrics.px(12));
    m_stop = button(tr("S&top"), QStringLiteral("cabinet.import.stop"), page);
    m_take = button(tr("Ta&ke in  (Ctrl+Enter)"), QStringLiteral("cabinet.import.take"), page);
    m_take->setAccessibleName(tr("Take in what the preview shows"));
    m_take->setDefault(true);
    act->addWidget(m_progress, 1);
    act->addStretch(1);
    act->addWidget(m_stop);
    act->addWidget(m_take);
    layout->addLayout(act);
    return page;
}

void ImportPage::connectAll()
{
    connect(m_files, &QPushButton::clicked, this, [this] { choose(m_askFiles); });
    connect(m_folder, &QPushButton::clicked, this, [this] { choose(m_askFolder); });
    connect(m_paste, &QPushButton::clicked, this, &ImportPage::paste);
    connect(m_path, &QLineEdit::returnPressed, this, [this] {
        if (const QString name = m_path->text().trimmed(); !name.isEmpty())
            preview({std::filesystem::path(name.toStdString())});
    });
    connect(m_take, &QPushButton::clicked, &m_presenter, &ImportPresenter::take);
    const auto key = [this](const QKeySequence& keys, auto act) {
        auto* shortcut = new QShortcut(keys, this);
        shortcut->setContext(Qt::WidgetWithChildrenShortcut);
        connect(shortcut, &QShortcut::activated, this, act);
    };
    key(QKeySequence(Qt::CTRL | Qt::Key_Return), [this] { m_presenter.take(); });
    key(QKeySequence(Qt::CTRL | Qt::Key_Enter), [this] { m_presenter.take(); });
    key(QKeySequence::Paste, [this] { paste(); });
    connect(m_stop, &QPushButton::clicked, this, [this] {
        if (m_presenter.busy())
            m_presenter.stop();
        else
            m_presenter.count();
    });
    connect(m_saved, &QComboBox::activated, this, [this](int index) {
        const QString file = m_saved->itemData(index).toString();
        if (file.isEmpty())
            m_presenter.guessAgain();
        else
            m_presenter.load(std::filesystem::path(file.toStdString()));
    });
    const auto save = [this] { m_presenter.save(m_name->text()); };
    connect(m_save, &QPushButton::clicked, this, save);
    connect(m_name, &QLineEdit::returnPressed, this, save);
    connect(m_source, &SourceForm::edited, &m_presenter, &ImportPresenter::edit);
    connect(m_columns, &ColumnsEditor::edited, &m_presenter, &ImportPresenter::edit);
    connect(m_columns, &ColumnsEditor::notUnderstood, this, &ImportPage::say);
    connect(&m_presenter, &ImportPresenter::said, this, &ImportPage::say);
    connect(&m_presenter, &ImportPresenter::lookChanged, this, &ImportPage::showLook);
    connect(&m_presenter, &ImportPresenter::mappingChanged, this, &ImportPage::showMapping);
    connect(&m_presenter, &ImportPresenter::countChanged, this, &ImportPage::showCount);
    connect(&m_presenter, &ImportPresenter::stateChanged, this, &ImportPage::showState);
    connect(&m_presenter, &ImportPresenter::savedChanged, this, &ImportPage::showSaved);
    connect(&m_presenter, &ImportPresenter::progressed, this,
            [this](double fraction) { m_progress->setValue(static_cast<int>(fraction * 1000.0)); });
    connect(&m_presenter, &ImportPresenter::taken, this, [this](const std::shared_ptr<const ImportTaken>& taken) {
        m_preview->showRefused(std::shared_ptr<const db::ImportReport>(taken, &taken->report));
    });
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
    if (paths.empty())
        return;
    m_tabs->setCurrentIndex(0);
    m_path->setText(plain(paths.front().string()));
    m_presenter.readSaved();
    m_presenter.open(paths);
}

void ImportPage::paste()
{
    if (const QMimeData* brought = QApplication::clipboard()->mimeData())
        takeData(brought);
}

void ImportPage::takeData(const QMimeData* brought)
{
    if (auto files = localFiles(brought); !files.empty()) {
        preview(files);
        return;
    }
    m_path->clear();
    m_presenter.readSaved();
    m_presenter.paste(brought->text());
}

void ImportPage::dragEnterEvent(QDragEnterEvent* event)
{
    if (event->mimeData()->hasUrls() || event->mimeData()->hasText())
        event->acceptProposedAction();
}

void ImportPage::dropEvent(QDropEvent* event)
{
    event->acceptProposedAction();
    m_tabs->setCurrentIndex(0);
    takeData(event->mimeData());
}

void ImportPage::showLook()
{
    const ImportLook* look = m_presenter.look();
    const bool mapped = look != nullptr && look->source.mapping.has_value();
    m_mappingBar->setVisible(mapped);
    m_source->setVisible(mapped);
    m_columns->setVisible(mapped);
    m_preview->setVisible(look != nullptr);
    m_preview->clear();
    if (!mapped)
        return;
    m_name->setText(plain(look->source.mapping->name));
    m_preview->showBefore(look->table);
    showMapping();
    showSaved();
}

void ImportPage::showMapping()
{
    const ImportLook* look = m_presenter.look();
    m_source->show(*look->source.mapping, look->table);
    m_columns->show(*look->source.mapping, look->table);
}

void ImportPage::showCount()
{
    const auto count = m_presenter.counted();
    // What was counted before stays in sight, while it is counted anew.
    if (!count)
        return;
    m_preview->showAfter(*count);
    m_preview->showRefused(std::shared_ptr<const db::ImportReport>(count, &count->report));
}

void ImportPage::showState()
{
    const bool busy = m_presenter.busy();
    m_progress->setVisible(busy);
    if (busy)
        m_progress->setValue(0);
    m_take->setEnabled(m_presenter.canTake());
    m_stop->setText(busy ? tr("S&top") : tr("Coun&t again"));
    m_stop->setEnabled(busy || m_presenter.look() != nullptr);
    const bool still = m_presenter.state() != ImportPresenter::State::Taking;
    if (!still)
        m_focusBefore = QApplication::focusWidget();
    for (QWidget* w : {static_cast<QWidget*>(m_sourceBar), static_cast<QWidget*>(m_mappingBar), static_cast<QWidget*>(m_source),
                       static_cast<QWidget*>(m_columns)})
        w->setEnabled(still);
    if (still && m_focusBefore) {
        QWidget* back = m_focusBefore->isEnabled() ? m_focusBefore.data() : m_path;
        if (isAncestorOf(back))
            back->setFocus();
        m_focusBefore.clear();
    }
}

void ImportPage::showSaved()
{
    const ImportLook* look = m_presenter.look();
    std::vector<std::pair<QString, QString>> choices{{tr("as guessed from the file"), QString()}};
    QString chosen;
    for (const auto& [name, file] : m_presenter.saved()) {
        choices.emplace_back(plain(name), plain(file.string()));
        if (look != nullptr && look->source.mapping && look->source.mapping->name == name)
            chosen = plain(file.string());
    }
    setChoices(m_saved, choices, chosen);
}

QList<QWidget*> ImportPage::regions() const
{
    if (m_tabs->currentIndex() == 1)
        return {m_export};
    QList<QWidget*> regions{m_sourceBar};
    for (QWidget* w : {m_mappingBar, static_cast<QWidget*>(m_source), static_cast<QWidget*>(m_columns->view()),
                       static_cast<QWidget*>(m_preview->beforeView()), static_cast<QWidget*>(m_preview->afterView()),
                       static_cast<QWidget*>(m_preview->refusedView()), static_cast<QWidget*>(m_take)})
        if (w->isVisible())
            regions.append(w);
    return regions;
}

void ImportPage::takeFocus()
{
    m_tabs->setCurrentIndex(0);
    m_files->setFocus();
}

}  // namespace halfcell::app
