#include "app/record/record_outlook.h"

#include "app/panels/plain_words.h"
#include "app/record/say.h"
#include "app/style/figures.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;
using core::outlook::PastForecast;
using core::outlook::Quantity;
using core::outlook::SensorForecast;
using core::outlook::SensorOutlook;

namespace {

// Places among the levels 5, 10, 25, 50, 75, 90, 95 % of a forecast, and among 5, 10 ... 95 % of a scored one.
constexpr std::size_t k10 = 1, k25 = 2, k50 = 3, k75 = 4, k90 = 5;
constexpr std::size_t kScored10 = 1, kScored90 = 17;

QString percent(double share)
{
    if (share < 0.01)
        return RecordSay::tr("under 1 %");
    if (share > 0.99)
        return RecordSay::tr("over 99 %");
    return RecordSay::tr("%1 %").arg(std::lround(100.0 * share));
}

QString efficiency(double value)
{
    return figureText(value, 1, Sign::WhenNegative);
}

/// "As left below 80 %: 4 % within 13 weeks, 19 % within 26 weeks."
QString limitOdds(const core::outlook::SensorCrossing& crossing, const core::Instant& now)
{
    QStringList parts;
    for (const double wanted : {13.0, 26.0}) {
        const auto weeksTo = [&](const auto& at) { return core::daysBetween(now, at.at) / 7.0; };
        const auto nearest =
            std::ranges::min_element(crossing.probabilityBy, {}, [&](const auto& at) { return std::abs(weeksTo(at) - wanted); });
        if (nearest != crossing.probabilityBy.end() && std::abs(weeksTo(*nearest) - wanted) < 0.5)
            parts.append(RecordSay::tr("%1 within %2 weeks").arg(percent(nearest->probability)).arg(std::lround(wanted)));
    }
    return parts.isEmpty()
               ? QString()
               : RecordSay::tr("As left below %1 %: %2.").arg(figureText(crossing.limit, 0, Sign::WhenNegative), parts.join(u", "_s));
}

QString limitDates(const core::outlook::SensorCrossing& crossing, std::int64_t today)
{
    const auto date = [today](const core::Instant& at) { return dateWords(at, today); };
    if (!crossing.p50)
        return crossing.p10 || crossing.notBefore
                   ? RecordSay::tr("Not before %1.").arg(date(crossing.p10 ? *crossing.p10 : *crossing.notBefore))
                   : QString();
    const QString late = crossing.p90         ? date(*crossing.p90)
                         : crossing.notBefore ? RecordSay::tr("after %1").arg(date(*crossing.notBefore))
                                              : QString();
    return crossing.p10 && !late.isEmpty()
               ? RecordSay::tr("It gets there about %1; 80 % sure: %2 to %3.").arg(date(*crossing.p50), date(*crossing.p10), late)
               : RecordSay::tr("It gets there about %1.").arg(date(*crossing.p50));
}

OutlookWords wordsOf(const SensorOutlook& ahead, const core::Instant& now, std::int64_t today)
{
    OutlookWords words;
    words.state = screenWords(ahead.abstained);
    words.sentence = withoutYear(screenWords(ahead.sentence), today);
    if (ahead.crossing && ahead.crossing->abstained.empty()) {
        words.odds.append(limitOdds(*ahead.crossing, now));
        words.odds.append(limitDates(*ahead.crossing, today));
    } else if (ahead.crossing && ahead.crossing->abstained != ahead.abstained) {
        words.odds.append(screenWords(ahead.crossing->abstained));
    }
    if (ahead.outBeforeNext && ahead.nextDue)
        words.odds.append(RecordSay::tr("Out of limit before the next visit (%1): %2.")
                              .arg(dateWords(*ahead.nextDue, today), percent(*ahead.outBeforeNext)));
    words.odds.removeAll(QString());
    if (ahead.record.n > 0)
        words.past = RecordSay::tr("Of %1 past outlooks of this group, each said to hold 80 %, %2 % came true.")
                         .arg(countText(static_cast<qint64>(ahead.record.n)))
                         .arg(std::lround(100.0 * ahead.record.came));
    words.hasWorking = !ahead.working.empty();
    return words;
}

QStringList issuedLine(const PastForecast& past)
{
    const double low = past.q[kScored10], high = past.q[kScored90];
    const QString where = past.outcome < low    ? RecordSay::tr("below it")
                          : past.outcome > high ? RecordSay::tr("above it")
                                                : RecordSay::tr("inside");
    return {fullDate(past.origin),
            fullDate(past.outcomeAt),
            figureText(past.weeks, 0, Sign::WhenNegative),
            RecordSay::tr("%1 to %2 %").arg(efficiency(low), efficiency(high)),
            RecordSay::tr("%1 %").arg(efficiency(past.outcome)),
            where};
}

}  // namespace

void addFans(LifeLineSeries& line, const std::vector<SensorForecast>& fan)
{
    for (LifeLinePanel& panel : line.panels) {
        panel.fan.clear();
        for (const SensorForecast& f : fan)
            if (f.abstained.empty() && plain(core::outlook::quantityKey(f.quantity)) == panel.key)
                panel.fan.push_back(
                    {.utc = f.at.utcSeconds, .p10 = f.q[k10], .p25 = f.q[k25], .p50 = f.q[k50], .p75 = f.q[k75], .p90 = f.q[k90]});
        std::ranges::sort(panel.fan, {}, &FanPoint::utc);
    }
}

RecordOutlook recordOutlook(std::shared_ptr<const SensorEvidence> evidence, std::int64_t today)
{
    RecordOutlook outlook;
    outlook.words = wordsOf(evidence->ahead, evidence->evidence->book.now, today);
    std::vector<PastForecast> past = evidence->issued;
    std::ranges::sort(past, [](const PastForecast& a, const PastForecast& b) {
        return a.origin != b.origin ? a.origin > b.origin : a.outcomeAt < b.outcomeAt;
    });
    std::ranges::transform(past, std::back_inserter(outlook.issued), issuedLine);
    outlook.evidence = std::move(evidence);
    return outlook;
}

}  // namespace halfcell::app
