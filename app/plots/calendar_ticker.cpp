#include "app/plots/calendar_ticker.h"

#include <QDateTime>
#include <QLocale>

#include <algorithm>
#include <array>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

enum class Unit { Hour, Day, Week, Month };
struct Step {
    Unit unit;
    int count;
    std::int64_t seconds;  // typical length, to choose by
};

constexpr std::int64_t kHour = 3600;
constexpr std::int64_t kDay = 24 * kHour;
constexpr std::array kSteps{Step{Unit::Hour, 1, kHour},        Step{Unit::Hour, 3, 3 * kHour},   Step{Unit::Hour, 6, 6 * kHour},
                            Step{Unit::Hour, 12, 12 * kHour},  Step{Unit::Day, 1, kDay},         Step{Unit::Day, 2, 2 * kDay},
                            Step{Unit::Week, 1, 7 * kDay},     Step{Unit::Week, 2, 14 * kDay},   Step{Unit::Month, 1, 30 * kDay},
                            Step{Unit::Month, 2, 61 * kDay},   Step{Unit::Month, 3, 91 * kDay},  Step{Unit::Month, 6, 182 * kDay},
                            Step{Unit::Month, 12, 365 * kDay}, Step{Unit::Month, 24, 730 * kDay}, Step{Unit::Month, 60, 1826 * kDay}};

QDateTime midnight(const QDate& date)
{
    return date.startOfDay();
}

QDateTime firstTick(const Step& step, const QDateTime& from)
{
    const QDate day = from.date();
    switch (step.unit) {
    case Unit::Hour: {
        QDateTime tick = midnight(day);
        while (tick < from)
            tick = tick.addSecs(step.count * kHour);
        return tick;
    }
    case Unit::Day: {
        // Counted from a fixed day, so that panning does not move the ticks.
        QDate start = day.addDays(-(day.toJulianDay() % step.count));
        while (midnight(start) < from)
            start = start.addDays(step.count);
        return midnight(start);
    }
    case Unit::Week: {
        QDate start = day.addDays(1 - day.dayOfWeek());
        if (step.count == 2 && (start.toJulianDay() / 7) % 2 != 0)
            start = start.addDays(-7);
        while (midnight(start) < from)
            start = start.addDays(7 * step.count);
        return midnight(start);
    }
    case Unit::Month: {
        const int months = day.year() * 12 + day.month() - 1;
        const int aligned = months - months % step.count;
        QDate start(aligned / 12, aligned % 12 + 1, 1);
        while (midnight(start) < from)
            start = start.addMonths(step.count);
        return midnight(start);
    }
    }
    return from;
}

QDateTime nextTick(const Step& step, const QDateTime& tick)
{
    switch (step.unit) {
    case Unit::Hour: return tick.addSecs(step.count * kHour);
    case Unit::Day: return midnight(tick.date().addDays(step.count));
    case Unit::Week: return midnight(tick.date().addDays(7 * step.count));
    case Unit::Month: return midnight(tick.date().addMonths(step.count));
    }
    return tick;
}

QString labelOf(const Step& step, const QDateTime& tick, bool first)
{
    const QLocale locale;
    switch (step.unit) {
    case Unit::Hour: return tick.time() == QTime(0, 0) || first ? locale.toString(tick, u"d MMM HH:mm"_s) : locale.toString(tick, u"HH:mm"_s);
    case Unit::Day:
    case Unit::Week: return first ? locale.toString(tick, u"d MMM yy"_s) : locale.toString(tick, u"d MMM"_s);
    case Unit::Month:
        if (step.count >= 12)
            return locale.toString(tick, u"yyyy"_s);
        return first || tick.date().month() == 1 ? locale.toString(tick, u"MMM yy"_s) : locale.toString(tick, u"MMM"_s);
    }
    return {};
}

}  // namespace

std::vector<CalendarTick> calendarTicks(std::int64_t from, std::int64_t to, int most)
{
    std::vector<CalendarTick> ticks;
    if (to <= from)
        return ticks;
    const std::int64_t wanted = (to - from) / std::max(2, most);
    const auto* step = std::find_if(kSteps.begin(), kSteps.end(), [&](const Step& s) { return s.seconds >= wanted; });
    if (step == kSteps.end())
        --step;
    for (QDateTime tick = firstTick(*step, QDateTime::fromSecsSinceEpoch(from)); tick.toSecsSinceEpoch() <= to; tick = nextTick(*step, tick))
        ticks.push_back({tick.toSecsSinceEpoch(), labelOf(*step, tick, ticks.empty())});
    return ticks;
}

}  // namespace halfcell::app
