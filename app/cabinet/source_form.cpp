#include "app/cabinet/source_form.h"

#include "app/cabinet/column_use.h"
#include "app/cabinet/form_parts.h"
#include "app/cabinet/import_words.h"
#include "app/panels/plain_words.h"
#include "app/style/metrics.h"

#include <QLineEdit>
#include <QSpinBox>

namespace halfcell::app {

namespace {

/// Tables that a shop keeps lists of; corrections come in Halfcell's own files alone.
std::vector<std::pair<QString, QString>> tableChoices()
{
    std::vector<std::pair<QString, QString>> choices;
    const auto add = [&](db::PublicTable table) { choices.emplace_back(tableWords(table), plain(db::nameOf(table))); };
    add(db::PublicTable::Readings);
    add(db::PublicTable::Legacy);
    for (std::size_t t = 0; t < db::kPublicTables; ++t) {
        const auto table = static_cast<db::PublicTable>(t);
        if (table != db::PublicTable::Readings && table != db::PublicTable::Legacy && table != db::PublicTable::Corrections)
            add(table);
    }
    return choices;
}

QString joined(const std::vector<std::string>& words)
{
    QString text;
    for (const std::string& word : words)
        text += (text.isEmpty() ? QString() : QStringLiteral("; ")) + plain(word);
    return text;
}

}  // namespace

SourceForm::SourceForm(QWidget* parent) : QWidget(parent)
{
    build();
}

void SourceForm::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* grid = new QGridLayout(this);
    grid->setContentsMargins(0, 0, 0, 0);
    grid->setHorizontalSpacing(metrics.spacing());
    grid->setVerticalSpacing(metrics.grid(1) / 2);
    const auto name = [](const char* control) { return QStringLiteral("cabinet.source.%1").arg(QLatin1String(control)); };
    const auto combo = [&](int row, int column, const QString& label, QComboBox*& box, const char* control) {
        box = new QComboBox(this);
        connect(box, &QComboBox::activated, this, &SourceForm::take);
        return fieldAbove(grid, row, column, label, box, name(control));
    };
    const auto spin = [&](int row, int column, const QString& label, QSpinBox*& box, const char* control, int from, int to) {
        box = new QSpinBox(this);
        box->setRange(from, to);
        box->setKeyboardTracking(false);
        box->setMinimumWidth(metrics.px(64));
        connect(box, &QSpinBox::valueChanged, this, &SourceForm::take);
        fieldAbove(grid, row, column, label, box, name(control));
    };
    const auto line = [&](int row, int column, const QString& label, QLineEdit*& edit, const char* control, const QString& hint) {
        edit = new QLineEdit(this);
        edit->setPlaceholderText(hint);
        connect(edit, &QLineEdit::editingFinished, this, &SourceForm::take);
        fieldAbove(grid, row, column, label, edit, name(control));
    };
    combo(0, 0, tr("Each line makes"), m_table, "table");
    m_encodingLabel = combo(0, 1, tr("Encoding"), m_encoding, "encoding");
    m_separatorLabel = combo(0, 2, tr("Separated by"), m_separator, "separator");
    m_sheetLabel = combo(0, 1, tr("Sheet"), m_sheet, "sheet");
    spin(0, 3, tr("Names on line"), m_headerLine, "header_line", 1, 100000);
    spin(0, 4, tr("Lines of names"), m_headerLines, "header_lines", 1, 9);
    combo(0, 5, tr("A visit is"), m_visit, "visit");
    combo(1, 0, tr("Decimals"), m_decimal, "decimal");
    combo(1, 1, tr("Thousands"), m_thousands, "thousands");
    combo(1, 2, tr("Dates read"), m_dates, "dates");
    spin(1, 3, tr("Two-digit years from"), m_years, "years", 1900, 2099);
    line(1, 4, tr("Offset from UTC"), m_offset, "offset", QStringLiteral("+01:00"));
    line(1, 5, tr("Words for no value"), m_empty, "empty", tr("n/a; broken"));
    for (int column = 0; column < 6; ++column)
        grid->setColumnStretch(column, 1);
    choices();
}

void SourceForm::choices()
{
    setChoices(m_table, tableChoices(), {});
    std::vector<std::pair<QString, QString>> encodings;
    for (const auto e : {db::TextEncoding::Utf8, db::TextEncoding::Utf16Little, db::TextEncoding::Utf16Big, db::TextEncoding::Windows1252})
        encodings.emplace_back(encodingWords(e), plain(db::nameOf(e)));
    setChoices(m_encoding, encodings, {});
    setChoices(m_visit, {{tr("one moment"), QStringLiteral("moment")}, {tr("one day"), QStringLiteral("day")}}, {});
    setChoices(m_decimal, {{tr("point, 3.5"), QStringLiteral(".")}, {tr("comma, 3,5"), QStringLiteral(",")}}, {});
    setChoices(m_thousands,
               {{tr("no mark"), QString()},
                {tr("point, 1.000"), QStringLiteral(".")},
                {tr("comma, 1,000"), QStringLiteral(",")},
                {tr("blank, 1 000"), QStringLiteral(" ")},
                {tr("apostrophe, 1'000"), QStringLiteral("'")}},
               {});
    setChoices(m_dates,
               {{tr("year, month, day"), QStringLiteral("0")},
                {tr("day, month, year"), QStringLiteral("1")},
                {tr("month, day, year"), QStringLiteral("2")}},
               {});
}

void SourceForm::show(const db::Mapping& mapping, const db::TableLook& look)
{
    m_mapping = mapping;
    const auto choose = [](QComboBox* box, const QString& key) {
        const QSignalBlocker quiet(box);
        if (box->findData(key) < 0)
            box->addItem(key, key);
        box->setCurrentIndex(box->findData(key));
    };
    const auto set = [](QSpinBox* box, std::size_t value) {
        const QSignalBlocker quiet(box);
        box->setValue(static_cast<int>(value));
    };
    choose(m_table, plain(db::nameOf(mainTable(mapping))));
    for (QWidget* w : {static_cast<QWidget*>(m_encoding), static_cast<QWidget*>(m_separator), static_cast<QWidget*>(m_encodingLabel),
                       static_cast<QWidget*>(m_separatorLabel)})
        w->setVisible(!look.workbook);
    m_sheet->setVisible(look.workbook);
    m_sheetLabel->setVisible(look.workbook);
    if (look.workbook) {
        std::vector<std::pair<QString, QString>> sheets;
        for (const std::string& sheet : look.sheets)
            sheets.emplace_back(plain(sheet), plain(sheet));
        setChoices(m_sheet, sheets, plain(mapping.sheet.empty() && !look.sheets.empty() ? look.sheets.front() : mapping.sheet));
    } else {
        choose(m_encoding, plain(db::nameOf(mapping.encoding.value_or(look.encoding))));
        const char separator = mapping.separator.value_or(look.separator);
        std::vector<std::pair<QString, QString>> separators;
        for (const char c : {',', ';', '\t', '|'})
            separators.emplace_back(separatorWords(c), QString(QLatin1Char(c)));
        if (!QStringLiteral(",;\t|").contains(QLatin1Char(separator)))
            separators.emplace_back(separatorWords(separator), QString(QLatin1Char(separator)));
        setChoices(m_separator, separators, QString(QLatin1Char(separator)));
    }
    set(m_headerLine, mapping.headerLine);
    set(m_headerLines, mapping.headerLines);
    choose(m_visit, mapping.visitPerDay ? QStringLiteral("day") : QStringLiteral("moment"));
    choose(m_decimal, QString(QLatin1Char(mapping.decimal)));
    choose(m_thousands, plain(mapping.thousands));
    choose(m_dates, QString::number(static_cast<int>(mapping.dates)));
    set(m_years, static_cast<std::size_t>(mapping.twoDigitYearsFrom));
    if (!m_offset->hasFocus() || m_offset->text().isEmpty())
        m_offset->setText(plain(mapping.utcOffset));
    m_empty->setText(joined(mapping.empty));
}

void SourceForm::take()
{
    db::Mapping mapping = m_mapping;
    if (!m_encoding->isHidden()) {
        mapping.encoding = db::encodingNamed(m_encoding->currentData().toString().toStdString());
        if (const QString separator = m_separator->currentData().toString(); !separator.isEmpty())
            mapping.separator = separator.at(0).toLatin1();
    } else {
        mapping.sheet = m_sheet->currentData().toString().toStdString();
    }
    mapping.headerLine = static_cast<std::size_t>(m_headerLine->value());
    mapping.headerLines = static_cast<std::size_t>(m_headerLines->value());
    mapping.visitPerDay = m_visit->currentData().toString() == QStringLiteral("day");
    mapping.decimal = m_decimal->currentData().toString() == QStringLiteral(",") ? ',' : '.';
    mapping.thousands = m_thousands->currentData().toString().toStdString();
    // Who turns the decimal sign around means the mark between thousands too.
    if (mapping.decimal != m_mapping.decimal && mapping.thousands == std::string(1, mapping.decimal))
        mapping.thousands = std::string(1, m_mapping.decimal);
    mapping.dates = static_cast<db::DateOrder>(m_dates->currentData().toString().toInt());
    mapping.twoDigitYearsFrom = m_years->value();
    mapping.utcOffset = m_offset->text().trimmed().toStdString();
    mapping.empty.clear();
    for (const QString& word : m_empty->text().split(QLatin1Char(';'), Qt::SkipEmptyParts))
        if (!word.trimmed().isEmpty())
            mapping.empty.push_back(word.trimmed().toStdString());
    if (const auto table = db::tableNamed(m_table->currentData().toString().toStdString()))
        setMainTable(mapping, *table);
    if (mapping == m_mapping)
        return;
    m_mapping = mapping;
    Q_EMIT edited(mapping);
}

}  // namespace halfcell::app
