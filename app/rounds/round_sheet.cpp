#include "app/rounds/round_sheet.h"

#include "app/rounds/board.h"
#include "app/style/figures.h"

#include <QCoreApplication>
#include <QMarginsF>
#include <QPageLayout>
#include <QPainter>
#include <QPdfWriter>
#include <QSaveFile>

#include <algorithm>

namespace halfcell::app {

using namespace core;

namespace {

constexpr int kLinesPerPage = 8;
constexpr double kMarginMm = 12.0;

/// One box column: its head and its share of the width, mm.
struct BoxColumn {
    const char* head;
    double mm;
};

constexpr BoxColumn kBoxes[] = {{"manual", 13},        {"loop pH", 14},          {"grab pH/°C/time", 26},
                                {"coat", 10},          {"found 7: mV/°C/s", 30}, {"found __: mV/°C/s", 30},
                                {"did (letters)", 24}, {"left 7: mV/°C/s", 30},  {"left __: mV/°C/s", 30},
                                {"auto", 12},          {"remark", 34},           {"init", 10}};

QString text(const std::string& s)
{
    return QString::fromStdString(s);
}

/// Draws on millimetres, so that the sheet is the same at any resolution.
class SheetPainter {
public:
    SheetPainter(QPainter& painter, double dotsPerMm) : m_p(painter), m_mm(dotsPerMm) {}

    [[nodiscard]] QRectF rect(double x, double y, double w, double h) const { return {x * m_mm, y * m_mm, w * m_mm, h * m_mm}; }
    void write(double x, double y, double w, double h, const QString& what, double points, bool heavy = false,
               int align = int(Qt::AlignLeft) | int(Qt::AlignVCenter))
    {
        QFont font(QStringLiteral("Lato"));
        font.setPointSizeF(points);
        font.setBold(heavy);
        m_p.setFont(font);
        const QFontMetricsF metrics(font, m_p.device());
        m_p.drawText(rect(x, y, w, h), align, metrics.elidedText(what, Qt::ElideRight, w * m_mm));
    }
    void box(double x, double y, double w, double h) { m_p.drawRect(rect(x, y, w, h)); }
    void line(double x1, double y1, double x2, double y2) { m_p.drawLine(QPointF(x1 * m_mm, y1 * m_mm), QPointF(x2 * m_mm, y2 * m_mm)); }

private:
    QPainter& m_p;
    double m_mm;
};

QString lastFigures(const Overview& overview, const std::string& serial)
{
    const Assessment* a = overview.assessment(serial);
    if (a == nullptr || !a->figures)
        return QCoreApplication::translate("RoundSheet", "no reading yet");
    QStringList parts;
    if (a->figures->efficiency_pct)
        parts << figureText(*a->figures->efficiency_pct, 1, Sign::WhenNegative) + QStringLiteral(" %");
    if (a->figures->span_pct)
        parts << QCoreApplication::translate("RoundSheet", "span %1 %").arg(figureText(*a->figures->span_pct, 0, Sign::WhenNegative));
    if (a->figures->offset_mv)
        parts << figureText(*a->figures->offset_mv, 1, Sign::Always) + QStringLiteral(" mV");
    if (a->figures->t90_s)
        parts << figureText(*a->figures->t90_s, 0, Sign::WhenNegative) + QStringLiteral(" s");
    return QCoreApplication::translate("RoundSheet", "last %1").arg(parts.join(QStringLiteral(", ")));
}

void drawHead(SheetPainter& sheet, const WeekPlan& plan, const DayLoad& load, const QString& number, const Overview& overview, double width)
{
    const QString week = text(formatIsoWeek(plan.week));
    sheet.write(0, 0, width, 7,
                QCoreApplication::translate("RoundSheet", "Round sheet %1/%2    %3    %4    meter ____    thermometer ____")
                    .arg(week, number, text(load.person), dayText(load.day)),
                14, true);
    QString lots;
    for (const KitLine& k : plan.kit)
        if (k.person == load.person && k.day == load.day && !k.lot.empty())
            lots += QStringLiteral("%1 %2 (%3 mL)    ").arg(text(overview.standards.words(k.item)), text(k.lot)).arg(k.amount, 0, 'f', 0);
    sheet.write(0, 7, width, 5, lots, 10);
    double x = 0;
    sheet.write(x, 13, 26, 8, QCoreApplication::translate("RoundSheet", "tag, serial"), 10, true);
    x += 26;
    for (const BoxColumn& column : kBoxes) {
        sheet.write(x, 13, column.mm, 8, QCoreApplication::translate("RoundSheet", column.head), 8.5, false,
                    int(Qt::AlignCenter) | int(Qt::TextWordWrap));
        x += column.mm;
    }
}

void drawLine(SheetPainter& sheet, double y, const Job& job, const Overview& overview)
{
    const Point* point = overview.plant->point(job.tag);
    sheet.write(0, y, 26, 5, text(job.tag.empty() ? job.serial : job.tag), 12, true);
    sheet.write(0, y + 4.6, 26, 4.4, text(job.serial), 10);
    double x = 26;
    for (const BoxColumn& column : kBoxes) {
        sheet.box(x, y, column.mm, 9);
        x += column.mm;
    }
    QStringList below;
    if (point != nullptr) {
        if (point->description)
            below << text(*point->description);
        if (point->location)
            below << text(*point->location);
        if (point->phone)
            below << QCoreApplication::translate("RoundSheet", "tel. %1").arg(text(*point->phone));
        if (!point->hazards.empty()) {
            QStringList hazards;
            for (const std::string& h : point->hazards)
                hazards << text(h);
            below << QCoreApplication::translate("RoundSheet", "IN THE PIPE: %1").arg(hazards.join(QStringLiteral(", ")));
        }
    }
    below << lastFigures(overview, job.serial) << tasksText(job);
    sheet.write(26, y + 9.2, x - 26, 4.6, below.join(QStringLiteral("   ·   ")), 9);
}

}  // namespace

Result<int> writeRoundSheets(const WeekPlan& plan, const Overview& overview, const std::filesystem::path& file, const QString& printedBy,
                             const std::filesystem::path& book)
{
    QSaveFile target(QString::fromStdString(file.string()));
    if (!target.open(QIODevice::WriteOnly))
        return failure(Errc::CannotWrite, file.string() + " can't be written", "name another file");
    QPdfWriter writer(&target);
    writer.setResolution(1200);
    writer.setTitle(QCoreApplication::translate("RoundSheet", "Round sheets %1").arg(text(formatIsoWeek(plan.week))));
    writer.setCreator(QStringLiteral("Halfcell"));
    writer.setPageLayout(QPageLayout(QPageSize(QPageSize::A4), QPageLayout::Landscape,
                                     QMarginsF(kMarginMm, kMarginMm, kMarginMm, kMarginMm), QPageLayout::Millimeter));
    struct Sheet {
        const DayLoad* load;
        std::vector<const Job*> jobs;
    };
    std::vector<Sheet> sheets;
    for (const DayLoad& load : plan.loads) {
        std::vector<const PlannedJob*> planned;
        for (const PlannedJob& p : plan.planned)
            if (p.day == load.day && std::ranges::find(p.people, load.person) != p.people.end())
                planned.push_back(&p);
        std::ranges::sort(planned, {}, [](const PlannedJob* p) { return std::pair(p->order, p->key); });
        for (std::size_t first = 0; first < planned.size(); first += kLinesPerPage) {
            Sheet sheet{&load, {}};
            for (std::size_t i = first; i < std::min(planned.size(), first + kLinesPerPage); ++i) {
                const auto job = std::ranges::find(plan.jobs, planned[i]->key, &Job::key);
                if (job != plan.jobs.end())
                    sheet.jobs.push_back(&*job);
            }
            sheets.push_back(std::move(sheet));
        }
    }
    QPainter painter;
    if (!painter.begin(&writer))
        return failure(Errc::CannotWrite, file.string() + " can't be written", "name another file");
    painter.setPen(QPen(Qt::black, writer.resolution() / 25.4 * 0.2));
    SheetPainter sheet(painter, writer.resolution() / 25.4);
    const double width = 297.0 - 2 * kMarginMm;
    const double height = 210.0 - 2 * kMarginMm;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        if (i > 0)
            writer.newPage();
        drawHead(sheet, plan, *sheets[i].load, QString::number(i + 1), overview, width);
        double y = 22;
        for (const Job* job : sheets[i].jobs) {
            drawLine(sheet, y, *job, overview);
            y += 17.5;
        }
        sheet.line(0, height - 15, width, height - 15);
        sheet.write(0, height - 15, width, 5,
                    QCoreApplication::translate("RoundSheet",
                                                "Did: D detergent  L alcohol  A acid  E enzyme  T thiourea  H hypochlorite  J clear "
                                                "junction  C scrape junction  O condition  W rehydrate  F refill  B bridge  G regenerate  "
                                                "P polish  M dry connector  R rewire  S standardise  U adjust  X replace  Z scrap"),
                    8.5);
        sheet.write(
            0, height - 10, width, 5,
            QCoreApplication::translate(
                "RoundSheet", "Loop in manual or hold before withdrawal. Acid never with hypochlorite; no acid on a cyanide or sulfide "
                              "line before a neutral rinse in moving air. Site procedure, permit and safety data sheet come first."),
            8.5);
        sheet.write(
            0, height - 5, width, 5,
            QCoreApplication::translate(
                "RoundSheet",
                "Bottle changed after line __, lot ______     page %1 of %2     book %3     rules %4     as known %5     printed by %6")
                .arg(i + 1)
                .arg(sheets.size())
                .arg(text(book.filename().string()), text(overview.rules.id()), text(formatInstant(overview.plant->asOf())), printedBy),
            8.5);
    }
    painter.end();
    if (!target.commit())
        return failure(Errc::CannotWrite, file.string() + " can't be written", "free some room, or name another file");
    return static_cast<int>(sheets.size());
}

}  // namespace halfcell::app
