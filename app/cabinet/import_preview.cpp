#include "app/cabinet/import_preview.h"

#include "app/cabinet/import_words.h"
#include "app/cabinet/page_parts.h"
#include "app/cabinet/refused_model.h"
#include "app/models/text_table_model.h"
#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QHeaderView>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

namespace {

/// A cell with line ends or of great length, on one line.
QString oneLine(const std::string& text)
{
    constexpr std::size_t kLongest = 400;
    QString line = text.size() > kLongest ? plain(text.substr(0, kLongest)) + QChar(0x2026) : plain(text);
    for (QChar& c : line)
        if (c < QLatin1Char(' '))
            c = QLatin1Char(' ');
    return line;
}

QWidget* part(QLabel* head, QTableView* view)
{
    auto* widget = new QWidget;
    auto* layout = new QVBoxLayout(widget);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(Metrics::of(view).grid(1) / 2);
    layout->addWidget(head);
    layout->addWidget(view, 1);
    return widget;
}

QLabel* partHead(const QString& text)
{
    auto* label = new QLabel(text);
    setTextRole(label, TextRole::Hint, Weight::Heavy);
    return label;
}

}  // namespace

ImportPreviewView::ImportPreviewView(QWidget* parent) : QWidget(parent)
{
    build();
}

void ImportPreviewView::build()
{
    const Metrics metrics = Metrics::of(this);
    m_beforeModel = new TextTableModel({}, this);
    m_before = new PageTable(m_beforeModel, QStringLiteral("cabinet.import.before"), tr("The file as it is"), this);
    m_afterModel = new TextTableModel({}, this);
    m_after = new PageTable(m_afterModel, QStringLiteral("cabinet.import.preview"), tr("As it will be stored"), this);
    m_refusedModel = new RefusedModel(this);
    m_refused = new PageTable(m_refusedModel, QStringLiteral("cabinet.import.refused"), tr("Refused rows"), this);
    m_refused->fitColumns();
    for (QTableView* view : {m_before, m_after, static_cast<QTableView*>(m_refused)})
        view->setMinimumHeight(metrics.row() * 2);
    for (QTableView* view : {m_before, m_after})
        view->horizontalHeader()->setResizeContentsPrecision(0);

    auto* both = new QSplitter(Qt::Horizontal, this);
    both->setChildrenCollapsible(false);
    m_beforePart = part(partHead(tr("The file as it is")), m_before);
    both->addWidget(m_beforePart);
    both->addWidget(part(partHead(tr("As it will be stored")), m_after));
    m_refusedHead = partHead(tr("Refused"));
    m_refusedHead->setObjectName(QStringLiteral("cabinet.import.refused.head"));
    auto* split = new QSplitter(Qt::Vertical, this);
    split->setChildrenCollapsible(false);
    split->addWidget(both);
    split->addWidget(part(m_refusedHead, m_refused));
    split->setStretchFactor(0, 3);
    split->setStretchFactor(1, 2);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(split);

    connect(m_before->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this](const QModelIndex& now) {
        if (now.isValid() && static_cast<std::size_t>(now.row()) < m_beforeLines.size())
            choose(m_before, m_beforeLines[static_cast<std::size_t>(now.row())]);
    });
    connect(m_after->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this](const QModelIndex& now) {
        if (now.isValid() && static_cast<std::size_t>(now.row()) < m_afterLines.size())
            choose(m_after, m_afterLines[static_cast<std::size_t>(now.row())]);
    });
    connect(m_refused->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this](const QModelIndex& now) {
        if (const db::Refusal* refusal = m_refusedModel->refusalAt(now.row()))
            choose(m_refused, refusal->line);
    });
    clear();
}

/// As wide as what is in sight needs, within reason.
void ImportPreviewView::fit(QTableView* view) const
{
    const Metrics metrics = Metrics::of(this);
    view->resizeColumnsToContents();
    for (int column = 0; column < view->model()->columnCount(); ++column)
        view->setColumnWidth(column, std::clamp(view->columnWidth(column), metrics.px(40), metrics.px(190)));
}

void ImportPreviewView::choose(QTableView* from, std::size_t line)
{
    if (m_choosing)
        return;
    m_choosing = true;
    const auto pick = [&](QTableView* view, const std::vector<std::size_t>& lines) {
        const auto at = std::ranges::find(lines, line);
        if (view == from)
            return;
        if (at == lines.end())
            view->clearSelection();
        else
            view->selectRow(static_cast<int>(at - lines.begin()));
    };
    pick(m_before, m_beforeLines);
    pick(m_after, m_afterLines);
    m_choosing = false;
}

void ImportPreviewView::showBefore(const db::TableLook& look)
{
    m_beforePart->show();
    QStringList heads{tr("Line")};
    for (const std::string& column : look.columns)
        heads.append(oneLine(column));
    std::size_t most = look.columns.size();
    std::vector<QStringList> rows;
    m_beforeLines.clear();
    for (const auto& [line, cells] : look.rows) {
        QStringList row{QString::number(line)};
        for (const std::string& cell : cells)
            row.append(oneLine(cell));
        most = std::max(most, cells.size());
        m_beforeLines.push_back(line);
        rows.push_back(std::move(row));
    }
    while (heads.size() < static_cast<qsizetype>(most) + 1)
        heads.append(QString());
    m_beforeModel->setTable(std::move(heads), std::move(rows));
    fit(m_before);
}

void ImportPreviewView::showAfter(const ImportCount& count)
{
    std::vector<QStringList> rows;
    m_afterLines.clear();
    if (!count.source.mapping) {
        m_beforePart->hide();
        for (const db::PreviewRow& r : count.rows)
            rows.push_back({plain(r.state), tableWords(r.table), oneLine(r.key), oneLine(r.text)});
        m_afterModel->setTable({tr("State"), tr("Table"), tr("Key"), tr("As it will be stored")}, std::move(rows));
        fit(m_after);
        return;
    }
    // A column for each field that any of the rows has, in the order in which they come.
    std::vector<std::string> fields;
    for (const auto& after : count.mapped.after)
        for (const auto& [field, text] : after.cells)
            if (field != "visit" && std::ranges::find(fields, field) == fields.end())
                fields.push_back(field);
    QStringList heads{tr("Line"), tr("Table")};
    for (const std::string& field : fields)
        heads.append(fieldWords(field));
    for (const auto& after : count.mapped.after) {
        QStringList row{QString::number(after.line), tableWords(after.table)};
        for (const std::string& field : fields) {
            const auto at = std::ranges::find(after.cells, field, &std::pair<std::string, std::string>::first);
            row.append(at == after.cells.end() ? QString() : oneLine(valueWords(field, at->second).toStdString()));
        }
        m_afterLines.push_back(after.line);
        rows.push_back(std::move(row));
    }
    m_afterModel->setTable(std::move(heads), std::move(rows));
    fit(m_after);
}

void ImportPreviewView::showRefused(std::shared_ptr<const db::ImportReport> report)
{
    const auto count = report ? static_cast<qint64>(report->refused.size()) : 0;
    m_refusedHead->setText(count == 0 ? tr("Refused: none") : tr("Refused: %1").arg(countText(count)));
    m_refusedModel->setReport(std::move(report));
    // With one file its name says nothing.
    bool several = false;
    for (int row = 1; row < std::min(m_refusedModel->rowCount(), 200) && !several; ++row)
        several = m_refusedModel->refusalAt(row)->file != m_refusedModel->refusalAt(0)->file;
    m_refused->setColumnHidden(RefusedModel::File, !several);
}

void ImportPreviewView::clearAfter()
{
    m_afterLines.clear();
    m_afterModel->setTable({}, {});
    m_refusedModel->setReport(nullptr);
    m_refusedHead->setText(tr("Refused: not counted yet"));
}

void ImportPreviewView::clear()
{
    m_beforeLines.clear();
    m_beforeModel->setTable({}, {});
    clearAfter();
    m_refusedHead->setText(tr("Refused"));
}

}  // namespace halfcell::app
