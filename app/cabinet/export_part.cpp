#include "app/cabinet/export_part.h"

#include "app/cabinet/form_parts.h"
#include "app/cabinet/page_parts.h"
#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QLineEdit>
#include <QSpinBox>
#include <QVBoxLayout>

namespace halfcell::app {

namespace {

constexpr int kDays = 90;  // as the command line: a quarter ahead, our choice

}  // namespace

ExportPart::ExportPart(Shop& shop, QWidget* parent) : QWidget(parent), m_shop(shop)
{
    build();
}

void ExportPart::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, metrics.spacing(), 0, 0);
    layout->setSpacing(metrics.spacing());
    auto* column = new QWidget(this);
    column->setMaximumWidth(metrics.px(720));
    auto* grid = new QGridLayout(column);
    grid->setContentsMargins(0, 0, 0, 0);
    grid->setHorizontalSpacing(metrics.spacing());
    grid->setVerticalSpacing(metrics.grid(1));
    m_what = new QComboBox(column);
    fieldAbove(grid, 0, 0, tr("&What"), m_what, QStringLiteral("cabinet.export.what"));
    m_what->addItem(tr("All tables, a folder of CSV files"));
    m_what->addItem(tr("All tables, one workbook (XLSX)"));
    m_what->addItem(tr("Due work, a calendar"));
    m_what->addItem(tr("One sensor, its whole record (JSON)"));
    m_serial = typedChoice(column);
    m_serialLabel = fieldAbove(grid, 0, 1, tr("Sen&sor"), m_serial, QStringLiteral("cabinet.export.serial"));
    m_days = new QSpinBox(column);
    m_days->setRange(1, 3650);
    m_days->setValue(kDays);
    m_daysLabel = fieldAbove(grid, 0, 2, tr("&Days ahead"), m_days, QStringLiteral("cabinet.export.days"));
    m_path = new QLineEdit(column);
    m_pathLabel = fieldAbove(grid, 1, 0, tr("Fo&lder to make"), m_path, QStringLiteral("cabinet.export.path"), 3);
    grid->setColumnStretch(0, 2);
    grid->setColumnStretch(1, 1);
    grid->setColumnStretch(2, 1);
    layout->addWidget(column);
    m_happens = sentenceLabel(QString(), this);
    m_happens->setObjectName(QStringLiteral("cabinet.export.happens"));
    setTextRole(m_happens, TextRole::Hint);
    layout->addWidget(m_happens);
    m_write = new QPushButton(tr("W&rite out"), this);
    m_write->setObjectName(QStringLiteral("cabinet.export.write"));
    m_write->setFixedWidth(metrics.px(160));
    layout->addWidget(m_write);
    m_sentence = sentenceLabel(QString(), this);
    m_sentence->setObjectName(QStringLiteral("cabinet.export.sentence"));
    layout->addWidget(m_sentence);
    layout->addStretch(1);

    connect(m_what, &QComboBox::currentIndexChanged, this, &ExportPart::chooseWhat);
    connect(m_write, &QPushButton::clicked, this, &ExportPart::write);
    connect(m_path, &QLineEdit::returnPressed, this, &ExportPart::write);
    const auto serials = [this] {
        const QString chosen = m_serial->currentText();
        m_serial->clear();
        if (const auto reference = m_shop.reference())
            for (const core::Sensor& sensor : reference->sensors)
                m_serial->addItem(plain(sensor.serial));
        m_serial->setCurrentIndex(-1);
        m_serial->setEditText(chosen);
    };
    connect(&m_shop, &Shop::bookOpened, this, serials);
    connect(&m_shop, &Shop::referenceChanged, this, serials);
    serials();
    chooseWhat();
}

void ExportPart::chooseWhat()
{
    const auto what = static_cast<What>(m_what->currentIndex());
    m_serial->setVisible(what == Record);
    m_serialLabel->setVisible(what == Record);
    m_days->setVisible(what == Calendar);
    m_daysLabel->setVisible(what == Calendar);
    QString happens, label;
    switch (what) {
    case Folder:
        label = tr("Fo&lder to make");
        happens = tr("One file for each table. Taken into a new book, they give the same book.");
        break;
    case Workbook:
        label = tr("Fi&le, ending in .xlsx");
        happens = tr("One sheet for each table: numbers as numbers, units in the heads.");
        break;
    case Calendar:
        label = tr("Fi&le, ending in .ics");
        happens = tr("A task for each piece of due work. Written again later, it updates the calendar's entries.");
        break;
    case Record:
        label = tr("Fi&le, ending in .json");
        happens = tr("Places, parts, every visit and every correction of one sensor.");
        break;
    }
    m_pathLabel->setText(label);
    m_path->setAccessibleName(QString(label).remove(QLatin1Char('&')));
    m_happens->setText(happens + tr(" What is shown is what is written: an earlier date shown writes the book as known then."));
}

void ExportPart::say(const QString& sentence)
{
    m_sentence->setText(sentence);
}

void ExportPart::written(const QString& path, const core::Result<std::size_t>& answer, const QString& one, const QString& many)
{
    m_write->setEnabled(true);
    if (!answer) {
        core::Error error = answer.error();
        if (error.code == core::Errc::CannotWrite)
            error.code = core::Errc::BadInput;  // not the book: a file
        say(userText(error));
        return;
    }
    say(tr("%1 written to %2.").arg(*answer == 1 ? one : many.arg(countText(static_cast<qint64>(*answer))), path));
}

void ExportPart::write()
{
    const QString path = m_path->text().trimmed();
    const auto what = static_cast<What>(m_what->currentIndex());
    const auto lacks = [&](const char* ending) { return !path.endsWith(QLatin1String(ending), Qt::CaseInsensitive); };
    if (path.isEmpty())
        return say(what == Folder ? tr("Name a folder.") : tr("Name a file."));
    if ((what == Workbook && lacks(".xlsx")) || (what == Calendar && lacks(".ics")) || (what == Record && lacks(".json")))
        return say(tr("The name must end in %1.")
                       .arg(what == Workbook   ? QStringLiteral(".xlsx")
                            : what == Calendar ? QStringLiteral(".ics")
                                               : QStringLiteral(".json")));
    if (what == Record && m_serial->currentText().trimmed().isEmpty())
        return say(tr("Say which sensor: type or choose its serial number."));
    m_write->setEnabled(false);
    say(tr("Writing."));
    const std::filesystem::path file(path.toStdString());
    switch (what) {
    case Folder:
    case Workbook:
        m_shop.exportTables(file, this, [this, path](core::Result<std::vector<std::pair<std::string, std::size_t>>> answer) {
            core::Result<std::size_t> rows = std::size_t{0};
            if (answer)
                for (const auto& [table, n] : *answer)
                    rows = *rows + n;
            else
                rows = std::unexpected(answer.error());
            written(path, rows, tr("1 row"),
                    answer ? tr("%1 rows in %2 tables").arg(QStringLiteral("%1"), QString::number(answer->size())) : QString());
        });
        break;
    case Calendar:
        m_shop.exportCalendar(file, m_days->value(), this, [this, path](const core::Result<std::size_t>& answer) {
            written(path, answer, tr("1 task"), tr("%1 tasks"));
        });
        break;
    case Record:
        m_shop.exportRecord(file, m_serial->currentText().trimmed().toStdString(), this,
                            [this, path](const core::Result<std::size_t>& answer) {
                                written(path, answer, tr("The record with 1 visit"), tr("The record with %1 visits"));
                            });
        break;
    }
}

}  // namespace halfcell::app
