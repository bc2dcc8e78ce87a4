#include "app/evidence/evidence_parts.h"

#include "app/style/figures.h"
#include "app/style/metrics.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

/// The rows with words over the columns.
class HeadedRows : public PlotTableModel {
public:
    using PlotTableModel::PlotTableModel;
    void set(PlotTable table, std::vector<QString> heads)
    {
        m_heads = std::move(heads);
        setTable(std::move(table));
    }
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override
    {
        if (orientation == Qt::Horizontal && role == Qt::DisplayRole && section >= 0 && static_cast<std::size_t>(section) < m_heads.size())
            return m_heads[static_cast<std::size_t>(section)];
        return PlotTableModel::headerData(section, orientation, role);
    }

private:
    std::vector<QString> m_heads;
};

bool isChord(const QKeyEvent& event, Qt::KeyboardModifiers mods, int key)
{
    return (event.modifiers() & ~Qt::KeypadModifier) == mods && event.key() == key;
}

bool ours(const QKeyEvent& event)
{
    return isChord(event, Qt::ControlModifier, Qt::Key_E) || isChord(event, Qt::ControlModifier, Qt::Key_C) ||
           isChord(event, Qt::ControlModifier | Qt::ShiftModifier, Qt::Key_S);
}

}  // namespace

EvidenceTable::EvidenceTable(const QString& name, const QString& accessible, QWidget* parent)
    : QTableView(parent), m_model(new HeadedRows(this))
{
    setObjectName(name);
    setAccessibleName(accessible);
    setModel(m_model);
    standAsLines(*this);
    horizontalHeader()->setStretchLastSection(true);
    horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    connect(this, &QTableView::doubleClicked, this, [this](const QModelIndex& index) { Q_EMIT opened(index.row()); });
}

void EvidenceTable::setRows(PlotTable table, std::vector<QString> heads)
{
    m_table = table;
    static_cast<HeadedRows*>(m_model)->set(std::move(table), std::move(heads));
    fit();
}

int EvidenceTable::chosen() const
{
    return currentIndex().row();
}

void EvidenceTable::choose(int row)
{
    if (row >= 0 && row < m_model->rowCount())
        setCurrentIndex(m_model->index(row, 0));
}

void EvidenceTable::fit()
{
    verticalHeader()->setMinimumSectionSize(1);
    verticalHeader()->setDefaultSectionSize(Metrics::of(this).row());
    resizeColumnsToContents();
}

void EvidenceTable::currentChanged(const QModelIndex& current, const QModelIndex& previous)
{
    QTableView::currentChanged(current, previous);
    if (current.row() != previous.row() && current.isValid())
        Q_EMIT chosenChanged(current.row());
}

bool EvidenceTable::event(QEvent* event)
{
    if (event->type() == QEvent::ShortcutOverride && ours(static_cast<QKeyEvent&>(*event))) {
        event->accept();
        return true;
    }
    return QTableView::event(event);
}

void EvidenceTable::keyPressEvent(QKeyEvent* event)
{
    const int row = chosen();
    if (isChord(*event, Qt::ControlModifier | Qt::ShiftModifier, Qt::Key_S)) {
        Q_EMIT exportAsked();
    } else if (row >= 0 && isChord(*event, Qt::ControlModifier, Qt::Key_E)) {
        Q_EMIT workingAsked(row);
    } else if (row >= 0 && isChord(*event, Qt::ControlModifier, Qt::Key_C)) {
        QStringList cells;
        for (const PlotCell& cell : m_table.rows[static_cast<std::size_t>(row)])
            cells.append(cell.file);
        QApplication::clipboard()->setText(cells.join(u'\t'));
    } else if (row >= 0 && (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)) {
        Q_EMIT opened(row);
    } else {
        QTableView::keyPressEvent(event);
    }
}

void EvidenceTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() == QEvent::StyleChange || event->type() == QEvent::FontChange)
        fit();
}

QString chanceText(double p)
{
    constexpr double kLeastShown = 0.001;
    return p < kLeastShown ? EvidenceTable::tr("under 0.001") : figureText(p, 3, Sign::WhenNegative);
}

PlotCell chanceCell(double p)
{
    return {numberCell(p, 3, false).file, chanceText(p)};
}

QLabel* evidenceHeading(const QString& text, QWidget* parent)
{
    auto* label = new QLabel(text, parent);
    setTextRole(label, TextRole::Finding, Weight::Heavy);
    return label;
}

QLabel* evidenceSentence(const QString& name, QWidget* parent)
{
    auto* label = new QLabel(parent);
    label->setObjectName(name);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    setTextRole(label, TextRole::Body);
    return label;
}

core::WorkingStep evidenceStep(std::string step, std::string formula, std::vector<core::WorkingInput> inputs, std::optional<double> result,
                               std::string unit, std::string source, core::SourceClass sourceClass)
{
    core::WorkingStep made;
    made.step = std::move(step);
    made.formula = std::move(formula);
    made.inputs = std::move(inputs);
    made.result = result;
    made.unit = std::move(unit);
    made.source = std::move(source);
    made.sourceClass = sourceClass;
    return made;
}

}  // namespace halfcell::app
