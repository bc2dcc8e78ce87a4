#include "app/rounds/board.h"

#include "app/style/figures.h"

#include <QCoreApplication>
#include <QDate>
#include <QLocale>

#include <algorithm>

namespace halfcell::app {

using namespace core;

namespace {

QString translated(const char* text)
{
    return QCoreApplication::translate("Board", text);
}

}  // namespace

QString dayText(std::int64_t day)
{
    const QDate date = QDate(1970, 1, 1).addDays(day);
    return QLocale().toString(date, QStringLiteral("ddd d MMM"));
}

QString tasksText(const Job& job)
{
    QString text;
    for (const TaskKind task : job.tasks) {
        if (!text.isEmpty())
            text += QStringLiteral(", ");
        const std::string_view words = wordsOf(task);
        text += QString::fromUtf8(words.data(), static_cast<qsizetype>(words.size()));
    }
    return text;
}

Board Board::of(const WeekPlan& plan)
{
    Board board;
    for (const DayLoad& load : plan.loads) {
        if (std::ranges::find(board.days, load.day) == board.days.end())
            board.days.push_back(load.day);
        const QString person = QString::fromStdString(load.person);
        if (std::ranges::find(board.people, person) == board.people.end())
            board.people.push_back(person);
    }
    std::ranges::sort(board.days);
    std::ranges::sort(board.people);
    board.cells.assign(board.people.size(), std::vector<BoardCell>(board.days.size()));
    const auto cellOf = [&board](const std::string& person, std::int64_t day) -> BoardCell* {
        const auto p = std::ranges::find(board.people, QString::fromStdString(person));
        const auto d = std::ranges::find(board.days, day);
        if (p == board.people.end() || d == board.days.end())
            return nullptr;
        return &board.cells[static_cast<std::size_t>(p - board.people.begin())][static_cast<std::size_t>(d - board.days.begin())];
    };
    for (const DayLoad& load : plan.loads)
        if (BoardCell* cell = cellOf(load.person, load.day)) {
            cell->capacity = load.capacity;
            cell->used = load.used;
            for (const auto& [area, minutes] : load.areas)
                cell->setups.emplace_back(QString::fromStdString(area), minutes);
        }
    std::vector<const PlannedJob*> planned;
    for (const PlannedJob& p : plan.planned)
        planned.push_back(&p);
    std::ranges::sort(planned, {}, [](const PlannedJob* p) { return std::tuple(p->day, p->order, p->key); });
    for (const PlannedJob* p : planned) {
        const auto job = std::ranges::find(plan.jobs, p->key, &Job::key);
        if (job == plan.jobs.end())
            continue;
        for (const std::string& person : p->people)
            if (BoardCell* cell = cellOf(person, p->day))
                cell->jobs.push_back({.key = p->key,
                                      .label = QString::fromStdString(job->tag.empty() ? job->serial : job->tag),
                                      .words = tasksText(*job),
                                      .minutes = job->minutes,
                                      .floor = job->floor});
    }
    return board;
}

std::optional<Board::Place> Board::find(const std::string& key) const
{
    for (std::size_t p = 0; p < cells.size(); ++p)
        for (std::size_t d = 0; d < cells[p].size(); ++d)
            for (std::size_t j = 0; j < cells[p][d].jobs.size(); ++j)
                if (cells[p][d].jobs[j].key == key)
                    return Place{p, d, j};
    return std::nullopt;
}

QString Board::loadText(const BoardCell& cell)
{
    if (cell.capacity <= 0.0)
        return translated("away");
    if (cell.over() > 0.0)
        return translated("%1 min over").arg(figureText(cell.over(), 0, Sign::WhenNegative));
    return translated("%1 of %2 min").arg(figureText(cell.used, 0, Sign::WhenNegative), figureText(cell.capacity, 0, Sign::WhenNegative));
}

QString Board::shortLoadText(const BoardCell& cell)
{
    if (cell.capacity <= 0.0)
        return translated("away");
    if (cell.over() > 0.0)
        return translated("%1 over").arg(figureText(cell.over(), 0, Sign::WhenNegative));
    return translated("%1/%2").arg(figureText(cell.used, 0, Sign::WhenNegative), figureText(cell.capacity, 0, Sign::WhenNegative));
}

}  // namespace halfcell::app
