// How it stood at a moment: rules, work, sensors, bottles, instruments.
#include "app/cabinet/audit_lines.h"

#include "app/panels/plain_words.h"
#include "app/service/standing.h"
#include "app/style/figures.h"

#include <QCoreApplication>
#include <QDate>
#include <QLocale>

#include <algorithm>
#include <tuple>

namespace halfcell::app {

using namespace core;
using namespace Qt::Literals::StringLiterals;

namespace {

QString then(const char* text)
{
    return QCoreApplication::translate("halfcell::app::AuditStanding", text);
}

QString dayText(std::int64_t day)
{
    return QLocale().toString(QDate(1970, 1, 1).addDays(day), u"d MMM yyyy"_s);
}

QString overdueText(std::int64_t days)
{
    return days <= 0 ? then("due") : days == 1 ? then("overdue, 1 day") : then("overdue, %1 days").arg(countText(days));
}

/// "efficiency 97.8 %, offset +1.2 mV"; for ORP offset and span.
QString figuresText(const PhaseFigures& figures)
{
    QStringList parts;
    if (figures.efficiency_pct)
        parts << then("efficiency %1 %").arg(figureText(*figures.efficiency_pct, 1, Sign::WhenNegative));
    if (figures.offset_mv)
        parts << then("offset %1 mV").arg(figureText(*figures.offset_mv, 1, Sign::Always));
    if (figures.span_pct)
        parts << then("span %1 %").arg(figureText(*figures.span_pct, 0, Sign::WhenNegative));
    return parts.isEmpty() ? then("no figures") : parts.join(u", "_s);
}

StandingLine ruleLine(const AuditBook& book)
{
    StandingLine line;
    line.group = then("Rule set");
    line.subject = plain(book.overview->rules.id());
    line.what = then("in force");
    line.state = then("as shipped");
    if (!book.adoptions.empty()) {
        const db::RuleAdoption& last = book.adoptions.back();
        line.due = then("adopted %1").arg(fullDate(last.adopted));
        line.state = last.person.empty() ? then("adopted") : then("adopted by %1").arg(plain(last.person));
        line.why = plain(last.why);
    }
    return line;
}

void addWork(std::vector<StandingLine>& lines, const AuditBook& book)
{
    const std::int64_t today = dayNumber(book.moment);
    std::vector<const DueTask*> tasks;
    for (const DueTask& task : book.due)
        tasks.push_back(&task);
    std::ranges::stable_sort(tasks, {}, [](const DueTask* t) { return std::tie(t->latest, t->due, t->serial, t->subject); });
    for (const DueTask* task : tasks) {
        StandingLine line;
        line.group = then("Work");
        line.serial = plain(task->serial);
        line.subject = plain(task->serial.empty() ? task->subject : task->serial);
        line.place = !task->tag.empty() ? plain(task->tag) : task->serial.empty() ? QString() : then("not in a loop");
        line.what = plain(wordsOf(task->task));
        line.due = dayText(task->due);
        line.latest = dayText(task->latest);
        line.state = overdueText(today - task->latest);
        line.why = screenWords(task->why);
        lines.push_back(std::move(line));
    }
}

void addSensors(std::vector<StandingLine>& lines, const AuditBook& book)
{
    const Overview& overview = *book.overview;
    const auto histories = overview.plant->histories();
    for (std::size_t i = 0; i < histories.size() && i < overview.assessments.size(); ++i) {
        const Assessment& a = overview.assessments[i];
        StandingLine line;
        line.group = then("Sensor");
        line.subject = line.serial = plain(a.serial);
        const Placement* placement = histories[i].placementAt(book.moment);
        line.place = placement == nullptr ? then("nowhere") : a.tag.empty() ? placeWord(placement->place) : plain(a.tag);
        line.what = plain(wordsOf(a.verdict));
        line.due = a.measured ? then("read %1").arg(fullDate(*a.measured)) : then("never read");
        line.state = a.signal ? plain(wordsOf(*a.signal)) : then("not enough data");
        line.why = screenWords(a.sentence);
        lines.push_back(std::move(line));
    }
}

void addBottlesAndInstruments(std::vector<StandingLine>& lines, const AuditBook& book)
{
    for (const auto& [lot, expired] : bottlesOpenAt(*book.overview->plant, book.moment)) {
        StandingLine line;
        line.group = then("Bottle");
        line.subject = plain(lot->lot);
        line.what = standardWords(lot->standard);
        line.due = then("opened %1").arg(fullDate(*lot->opened));
        line.latest = lot->expires ? fullDate(*lot->expires) : QString();
        line.state = expired ? then("open, expired") : lot->expires ? then("open") : then("open, no date on the bottle");
        lines.push_back(std::move(line));
    }
    for (const auto& [equipment, overdue] : instrumentsAt(*book.overview->plant, book.moment)) {
        StandingLine line;
        line.group = then("Instrument");
        line.subject = plain(equipment->equipment);
        line.what = plain(wordsOf(equipment->kind));
        line.due = equipment->checked ? then("checked %1").arg(fullDate(*equipment->checked)) : then("no certificate");
        line.latest = equipment->due ? fullDate(*equipment->due) : QString();
        line.state = overdue ? then("overdue") : equipment->due ? then("in date") : then("no next check set");
        lines.push_back(std::move(line));
    }
}

/// Bottles and person of a visit.
QString visitedWith(const Visit& visit)
{
    QStringList lots;
    for (const Reading& reading : visit.readings)
        if (reading.lot && !lots.contains(plain(*reading.lot)))
            lots << plain(*reading.lot);
    QStringList parts;
    if (!lots.isEmpty())
        parts << then(lots.size() == 1 ? "bottle %1" : "bottles %1").arg(lots.join(u", "_s));
    parts << (visit.person ? then("by %1").arg(plain(*visit.person)) : then("nobody named"));
    return parts.join(u"; "_s);
}

/// The serial that `subject` names, or that was at the point it names.
std::optional<std::size_t> sensorNamed(const AuditBook& book, const QString& subject)
{
    const QString key = foldedKey(subject.trimmed());
    if (key.isEmpty())
        return std::nullopt;
    const auto histories = book.overview->plant->histories();
    for (std::size_t i = 0; i < histories.size(); ++i)
        if (foldedKey(plain(book.overview->assessments[i].serial)) == key)
            return i;
    for (std::size_t i = 0; i < histories.size(); ++i)
        if (const Placement* placement = histories[i].placementAt(book.moment);
            placement != nullptr && foldedKey(plain(placement->place)) == key)
            return i;
    return std::nullopt;
}

}  // namespace

std::vector<StandingLine> standingThen(const AuditBook& book)
{
    std::vector<StandingLine> lines{ruleLine(book)};
    addWork(lines, book);
    addSensors(lines, book);
    addBottlesAndInstruments(lines, book);
    for (StandingLine& line : lines)
        line.folded = foldedKey(u"%1 %2 %3 %4 %5"_s.arg(line.subject, line.place, line.what, line.state, line.why));
    return lines;
}

bool passes(const StandingLine& line, const AuditFilter& filter)
{
    return (filter.what.isEmpty() || line.group == filter.what) &&
           (filter.subject.isEmpty() || line.folded.contains(foldedKey(filter.subject)));
}

QString sensorThen(const AuditBook& book, const QString& subject)
{
    const auto index = sensorNamed(book, subject);
    if (!index)
        return {};
    const Overview& overview = *book.overview;
    const SensorHistory& history = overview.plant->histories()[*index];
    const Assessment& assessment = overview.assessments[*index];
    QStringList words;
    const QString serial = plain(assessment.serial);
    if (const Placement* placement = history.placementAt(book.moment))
        words << (assessment.tag.empty() ? then("%1, %2 since %3.").arg(serial, placeWord(placement->place), fullDate(placement->from))
                                         : then("%1 at %2 since %3.").arg(serial, plain(placement->place), fullDate(placement->from)));
    else
        words << then("%1, at no known place.").arg(serial);
    const VisitFigures* last = nullptr;
    for (const VisitFigures& figures : overview.figures[*index])
        if (figures.visit != nullptr && figures.lastState() != nullptr)
            last = &figures;
    if (last == nullptr) {
        words << then("Never read by then.");
    } else {
        QStringList phases;
        for (const PhaseFigures& phase : last->phases)
            phases << u"%1: %2"_s.arg(plain(wordsOf(phase.phase)), figuresText(phase));
        words << then("Last read %1 (%2). %3.").arg(fullDate(last->when), visitedWith(*last->visit), phases.join(u"; "_s));
    }
    words << then("Verdict: %1.").arg(plain(wordsOf(assessment.verdict)));
    if (!assessment.sentence.empty())
        words << screenWords(assessment.sentence);
    QStringList late;
    for (const DueTask& task : book.due)
        if (task.serial == assessment.serial && task.latest < dayNumber(book.moment))
            late << then("%1 since %2").arg(plain(wordsOf(task.task)), dayText(task.latest));
    words << (late.isEmpty() ? then("Not overdue.") : then("Overdue: %1.").arg(late.join(u", "_s)));
    words << then("Rule set %1.").arg(plain(overview.rules.id()));
    return words.join(u' ');
}

}  // namespace halfcell::app
