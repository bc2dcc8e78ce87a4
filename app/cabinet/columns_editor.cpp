#include "app/cabinet/columns_editor.h"

#include "app/cabinet/form_parts.h"
#include "app/cabinet/import_words.h"
#include "app/cabinet/page_parts.h"
#include "app/models/text_table_model.h"
#include "app/panels/plain_words.h"
#include "app/style/metrics.h"

#include <QKeyEvent>
#include <QLineEdit>
#include <QShortcut>
#include <QVBoxLayout>

#include <algorithm>
#include <set>

namespace halfcell::app {

namespace {

constexpr const char* kStandards[] = {"ph1.68",  "ph4.00",  "ph4.01", "ph6.86", "ph7.00",          "ph9.18",
                                      "ph10.01", "ph12.45", "zobell", "light",  "quinhydrone_ph4", "quinhydrone_ph7"};

/// "before = as found; after = as left" and back: what is ours is said in words.
QString wordsText(const std::vector<std::pair<std::string, std::string>>& words)
{
    QString text;
    for (const auto& [theirs, ours] : words)
        text += (text.isEmpty() ? QString() : QStringLiteral("; ")) + plain(theirs) + QStringLiteral(" = ") + wordsOfKey(plain(ours));
    return text;
}

std::optional<std::vector<std::pair<std::string, std::string>>> wordsTyped(const QString& text)
{
    std::vector<std::pair<std::string, std::string>> words;
    for (const QString& part : text.split(QLatin1Char(';'), Qt::SkipEmptyParts)) {
        if (part.trimmed().isEmpty())
            continue;
        const qsizetype sign = part.indexOf(QLatin1Char('='));
        const std::string theirs = part.left(std::max<qsizetype>(sign, 0)).trimmed().toStdString();
        if (theirs.empty())
            return std::nullopt;
        words.emplace_back(theirs, keyOfWords(part.mid(sign + 1).trimmed()).toStdString());
    }
    std::ranges::sort(words);
    return words;
}

}  // namespace

ColumnsEditor::ColumnsEditor(QWidget* parent) : QWidget(parent)
{
    build();
}

void ColumnsEditor::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(metrics.grid(1));
    m_model = new TextTableModel({tr("Theirs"), tr("Sample"), tr("Taken as")}, this);
    m_view = new PageTable(m_model, QStringLiteral("cabinet.columns.table"), tr("Columns of the file"), this);
    m_view->fitColumns();
    m_view->setMinimumHeight(metrics.row() * 3);
    layout->addWidget(m_view, 1);

    m_title = new QLabel(this);
    m_title->setObjectName(QStringLiteral("cabinet.columns.title"));
    setTextRole(m_title, TextRole::Body, Weight::Heavy);
    layout->addWidget(m_title);
    auto* grid = new QGridLayout;
    grid->setHorizontalSpacing(metrics.spacing());
    grid->setVerticalSpacing(metrics.grid(1) / 2);
    m_use = typedChoice(this);
    m_useLabel = fieldAbove(grid, 0, 0, tr("Ta&ken as"), m_use, QStringLiteral("cabinet.column.use"), 2);
    m_unit = new QLineEdit(this);
    m_unit->setPlaceholderText(tr("as it says"));
    m_unitLabel = fieldAbove(grid, 0, 2, tr("Unit"), m_unit, QStringLiteral("cabinet.column.unit"));
    m_standard = typedChoice(this);
    m_standardLabel = fieldAbove(grid, 1, 0, tr("In standard"), m_standard, QStringLiteral("cabinet.column.standard"));
    m_phase = new QComboBox(this);
    m_phaseLabel = fieldAbove(grid, 1, 1, tr("Phase"), m_phase, QStringLiteral("cabinet.column.phase"));
    m_words = new QLineEdit(this);
    m_words->setPlaceholderText(tr("before = as found; after = as left"));
    m_wordsLabel = fieldAbove(grid, 1, 2, tr("Theirs = ours"), m_words, QStringLiteral("cabinet.column.words"));
    m_value = new QLineEdit(this);
    m_valueLabel = fieldAbove(grid, 2, 0, tr("The same in every row"), m_value, QStringLiteral("cabinet.column.value"), 3);
    for (int column = 0; column < 3; ++column)
        grid->setColumnStretch(column, 1);
    layout->addLayout(grid);

    std::vector<std::pair<QString, QString>> standards{{tr("as the row says"), QString()}};
    for (const char* key : kStandards)
        standards.emplace_back(standardWords(key), QString::fromLatin1(key));
    setChoices(m_standard, standards, {});
    std::vector<std::pair<QString, QString>> phases;
    for (const char* key : {"", "as_found", "after_clean", "as_left"})
        phases.emplace_back(phaseWords(key), QString::fromLatin1(key));
    setChoices(m_phase, phases, {});

    connect(m_view->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this] { chooseLine(); });
    // Enter on a column goes to what it is taken as.
    connect(m_view, &QTableView::activated, this, [this] {
        m_use->setFocus();
        if (m_use->lineEdit() != nullptr)
            m_use->lineEdit()->selectAll();
    });
    for (QComboBox* box : {m_use, m_standard, m_phase})
        connect(box, &QComboBox::activated, this, &ColumnsEditor::take);
    for (QComboBox* box : {m_use, m_standard})
        connect(box->lineEdit(), &QLineEdit::editingFinished, this, &ColumnsEditor::take);
    for (QLineEdit* edit : {m_unit, m_words, m_value})
        connect(edit, &QLineEdit::editingFinished, this, &ColumnsEditor::take);
}

void ColumnsEditor::show(const db::Mapping& mapping, const db::TableLook& look)
{
    m_mapping = mapping;
    m_look = look;
    m_uses = possibleUses(mapping);
    m_uses.insert(m_uses.begin(), ColumnUse{});
    const int row = m_view->currentIndex().row();
    fillTable();
    const QSignalBlocker quiet(m_view->selectionModel());
    m_view->selectRow(std::clamp(row, 0, std::max(0, m_model->rowCount() - 1)));
    chooseLine();
}

std::vector<std::string> ColumnsEditor::samplesOf(const std::string& column) const
{
    const auto at = std::ranges::find(m_look.columns, column);
    const auto place = static_cast<std::size_t>(at - m_look.columns.begin());
    return at != m_look.columns.end() && place < m_look.samples.size() ? m_look.samples[place] : std::vector<std::string>{};
}

void ColumnsEditor::fillTable()
{
    m_lines.clear();
    std::vector<QStringList> rows;
    for (const std::string& column : m_look.columns) {
        const auto samples = samplesOf(column);
        m_lines.push_back({Kind::Column, column});
        rows.push_back({plain(column), samples.empty() ? tr("empty") : plain(samples.front()), useWords(useOf(m_mapping, column))});
    }
    // What the mapping wants and the file has not got.
    std::set<std::string> wanted;
    const auto want = [&](const std::vector<db::MappedField>& fields) {
        for (const db::MappedField& field : fields)
            wanted.insert(field.columns.begin(), field.columns.end());
    };
    want(m_mapping.fields);
    for (const db::RowRule& rule : m_mapping.rows)
        want(rule.fields);
    for (const std::string& column : wanted)
        if (std::ranges::find(m_look.columns, column) == m_look.columns.end()) {
            m_lines.push_back({Kind::Missing, column});
            rows.push_back({plain(column), tr("not in this file"), useWords(useOf(m_mapping, column))});
        }
    for (const auto& [field, value] : fixedValues(m_mapping)) {
        m_lines.push_back({Kind::Fixed, field});
        rows.push_back({tr("(every row)"), valueWords(field, value), fieldWords(field)});
    }
    m_lines.push_back({Kind::New, {}});
    rows.push_back({tr("(every row)"), tr("add a value"), {}});
    m_model->setRows(std::move(rows));
}

const ColumnsEditor::Line* ColumnsEditor::current() const
{
    const int row = m_view->currentIndex().row();
    return row >= 0 && static_cast<std::size_t>(row) < m_lines.size() ? &m_lines[static_cast<std::size_t>(row)] : nullptr;
}

void ColumnsEditor::chooseLine()
{
    const Line* line = current();
    const bool column = line != nullptr && (line->kind == Kind::Column || line->kind == Kind::Missing);
    m_use->setEnabled(line != nullptr);
    for (QWidget* w : {static_cast<QWidget*>(m_unit), static_cast<QWidget*>(m_unitLabel), static_cast<QWidget*>(m_standard),
                       static_cast<QWidget*>(m_standardLabel), static_cast<QWidget*>(m_phase), static_cast<QWidget*>(m_phaseLabel),
                       static_cast<QWidget*>(m_words), static_cast<QWidget*>(m_wordsLabel)})
        w->setVisible(column);
    m_value->setVisible(!column);
    m_valueLabel->setVisible(!column);
    if (line == nullptr)
        m_title->clear();
    else if (column)
        showColumn(*line);
    else
        showFixed(*line);
}

void ColumnsEditor::showColumn(const Line& line)
{
    const ColumnUse use = useOf(m_mapping, line.name);
    QStringList samples;
    for (const std::string& sample : samplesOf(line.name))
        samples.append(plain(sample));
    m_title->setText(samples.isEmpty() ? plain(line.name) : tr("%1: %2").arg(plain(line.name), samples.mid(0, 3).join(tr(", "))));
    m_title->setToolTip(samples.join(QLatin1Char('\n')));
    const db::PublicTable main = mainTable(m_mapping);
    int chosen = -1;
    {
        const QSignalBlocker quiet(m_use);
        m_use->clear();
        for (std::size_t i = 0; i < m_uses.size(); ++i) {
            m_use->addItem(choiceWords(m_uses[i], main), static_cast<int>(i));
            const bool same = m_uses[i].field == use.field && m_uses[i].joined == use.joined &&
                              (m_uses[i].table == use.table || !m_uses[i].table || !use.table);
            if (same && (chosen < 0 || m_uses[i].table == use.table))
                chosen = static_cast<int>(i);
        }
        m_use->setCurrentIndex(chosen);
    }
    m_unit->setText(plain(use.unit));
    {
        const QSignalBlocker quiet(m_standard);
        const QString key = plain(use.standard);
        if (m_standard->findData(key) < 0)
            m_standard->addItem(standardWords(use.standard), key);
        m_standard->setCurrentIndex(m_standard->findData(key));
    }
    {
        const QSignalBlocker quiet(m_phase);
        m_phase->setCurrentIndex(m_phase->findData(plain(use.phase)));
    }
    m_standard->setEnabled(hasStandard(use));
    m_phase->setEnabled(hasPhase(use));
    m_unit->setEnabled(!use.field.empty());
    m_words->setEnabled(!use.field.empty());
    m_words->setText(wordsText(use.words));
}

void ColumnsEditor::showFixed(const Line& line)
{
    m_title->setText(tr("A value that every row has"));
    m_title->setToolTip({});
    const QSignalBlocker quiet(m_use);
    m_use->clear();
    m_use->addItem(tr("none"), QString());
    for (const std::string& field : possibleFixedFields(m_mapping))
        m_use->addItem(fieldWords(field), plain(field));
    if (!line.name.empty() && m_use->findData(plain(line.name)) < 0)
        m_use->addItem(fieldWords(line.name), plain(line.name));
    m_use->setCurrentIndex(std::max(0, m_use->findData(plain(line.name))));
    m_value->clear();
    for (const auto& [field, value] : fixedValues(m_mapping))
        if (field == line.name)
            m_value->setText(plain(value));
}

std::optional<ColumnUse> ColumnsEditor::chosenUse() const
{
    const int at = m_use->findText(m_use->currentText(), Qt::MatchFixedString);
    if (at < 0)
        return std::nullopt;
    const int index = m_use->itemData(at).toInt();
    return index >= 0 && static_cast<std::size_t>(index) < m_uses.size() ? std::optional(m_uses[static_cast<std::size_t>(index)])
                                                                         : std::nullopt;
}

void ColumnsEditor::take()
{
    const Line* line = current();
    if (line == nullptr)
        return;
    if (line->kind == Kind::Column || line->kind == Kind::Missing)
        takeColumn();
    else
        takeFixed();
}

void ColumnsEditor::takeColumn()
{
    const Line line = *current();
    const ColumnUse before = useOf(m_mapping, line.name);
    auto use = chosenUse();
    if (!use) {
        Q_EMIT notUnderstood(tr("\"%1\" is nothing that a column can be taken as: choose from the list.").arg(m_use->currentText()));
        showColumn(line);
        return;
    }
    if (!use->field.empty()) {
        const bool same = use->field == before.field && use->joined == before.joined;
        if (hasStandard(*use)) {
            const QString typed = m_standard->currentText().trimmed();
            const int at = m_standard->findText(typed, Qt::MatchFixedString);
            use->standard = at >= 0 ? m_standard->itemData(at).toString().toStdString() : db::standardTyped(typed.toStdString());
            if (use->standard.empty() && at < 0 && !typed.isEmpty()) {
                Q_EMIT notUnderstood(tr("\"%1\" is no standard: choose from the list, or type its pH.").arg(typed));
                showColumn(line);
                return;
            }
        }
        if (hasPhase(*use))
            use->phase = m_phase->currentData().toString().toStdString();
        use->unit = m_unit->text().trimmed().toStdString();
        if (!use->unit.empty() && !db::isUnitOf(use->field, use->unit)) {
            if (same)
                Q_EMIT notUnderstood(tr("\"%1\" is no unit of %2.").arg(m_unit->text().trimmed(), fieldWords(use->field)));
            use->unit.clear();
        }
        auto words = wordsTyped(m_words->text());
        if (!words)
            Q_EMIT notUnderstood(tr("Write theirs = ours; theirs = ours."));
        if (same)
            use->words = words.value_or(before.words);
        else
            use->words = db::wordsMeant(use->field, samplesOf(line.name));
    }
    db::Mapping mapping = m_mapping;
    setUse(mapping, line.name, *use);
    if (mapping == m_mapping) {
        showColumn(line);
        return;
    }
    m_mapping = std::move(mapping);
    emitEdited();
}

void ColumnsEditor::takeFixed()
{
    const Line line = *current();
    const int at = m_use->findText(m_use->currentText(), Qt::MatchFixedString);
    const std::string field = at < 0 ? std::string() : m_use->itemData(at).toString().toStdString();
    std::string value = m_value->text().trimmed().toStdString();
    if (field == "standard")
        if (const std::string meant = db::standardTyped(value); !meant.empty())
            value = meant;
    db::Mapping mapping = m_mapping;
    if (!line.name.empty() && field != line.name)
        setFixedValue(mapping, line.name, {});
    if (!field.empty())
        setFixedValue(mapping, field, value);
    if (mapping == m_mapping)
        return;
    m_mapping = std::move(mapping);
    emitEdited();
}

void ColumnsEditor::emitEdited()
{
    const db::Mapping mapping = m_mapping;
    Q_EMIT edited(mapping);
}

}  // namespace halfcell::app
