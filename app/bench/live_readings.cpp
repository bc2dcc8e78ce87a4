#include "app/bench/live_readings.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "core/calibration/settling.h"
#include "core/electrochemistry/nernst.h"

#include <QLocale>

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr double kCoverage = 2.0;  ///< k of every uncertainty shown

QString number(double value, int decimals)
{
    return figureText(value, decimals, Sign::WhenNegative);
}

QString unsignedNumber(double value, int decimals)
{
    return figureText(std::abs(value), decimals, Sign::WhenNegative);
}

/// "5.0 % lower", "4.5 % higher".
QString direction(double difference, int decimals, const QString& unit)
{
    const QString size = unsignedNumber(difference, decimals) + u' ' + unit;
    return difference < 0 ? Say::tr("%1 lower").arg(size) : Say::tr("%1 higher").arg(size);
}

void compareWithLast(LivePhase& phase, const SensorInHand& hand)
{
    const PhaseFigures* last = hand.lastState();
    if (!last)
        return;
    const PhaseFigures& now = phase.figures;
    double difference = 0, noise = 0;
    QString unit;
    if (hand.kind() == SensorKind::Ph && now.efficiency_pct && last->efficiency_pct) {
        difference = *now.efficiency_pct - *last->efficiency_pct;
        noise = efficiencyNoisePct();
        unit = QStringLiteral("%");
    } else if (hand.kind() == SensorKind::Orp && now.offset_mv && last->offset_mv) {
        difference = *now.offset_mv - *last->offset_mv;
        noise = offsetNoiseMv();
        unit = QStringLiteral("mV");
    } else {
        return;
    }
    const int decimals = hand.kind() == SensorKind::Ph ? 1 : 0;
    phase.changeCounts = std::abs(difference) > noise;
    phase.change = phase.changeCounts ? Say::tr("%1; noise %2 %3").arg(direction(difference, decimals, unit), number(noise, decimals), unit)
                                      : Say::tr("no change you can trust (noise %1 %2)").arg(number(noise, decimals), unit);
}

void compareWithFound(LivePhase& phase, const LivePhase& found, SensorKind kind)
{
    if (kind == SensorKind::Ph) {
        if (!phase.figures.efficiency_pct || !found.figures.efficiency_pct)
            return;
        // As the two stand on the form, so that the words agree with the figures beside them.
        const auto shown = [](double v) { return std::round(v * 10.0) / 10.0; };
        const double gain = shown(*phase.figures.efficiency_pct) - shown(*found.figures.efficiency_pct);
        phase.changeCounts = std::abs(gain) > efficiencyNoisePct();
        phase.change = gain >= 0 ? Say::tr("gained %1 %").arg(number(gain, 1)) : Say::tr("lost %1 %").arg(unsignedNumber(gain, 1));
        return;
    }
    if (phase.figures.offset_mv && found.figures.offset_mv) {
        const double shift = *phase.figures.offset_mv - *found.figures.offset_mv;
        phase.changeCounts = std::abs(shift) > offsetNoiseMv();
        phase.change = Say::tr("offset moved %1 mV").arg(figureText(shift, 0, Sign::Always));
    }
}

/// What a reading would have settled at, for the line under its row: shown, never taken for the reading.
QString settlingWords(const Settling& s)
{
    if (!s.settled_mv || !s.u_settled_mv || !s.toCome_mv || (!s.fromSeries && !s.tooSoon))
        return {};
    const QString end = Say::tr("%1 ±%2 mV").arg(figureText(*s.settled_mv, 1, Sign::Always), number(kCoverage * *s.u_settled_mv, 1));
    if (s.tooSoon)
        return Say::tr("Read too soon: settled it would read %1 (a prediction, not recorded); %2 mV were to come.")
            .arg(end, unsignedNumber(*s.toCome_mv, 1));
    return Say::tr("Settled: the %1 values noted go to %2, t90 %3 ±%4 s.")
        .arg(QString::number(s.points), end, number(s.t90_s.value_or(0.0), 0), number(kCoverage * s.u_t90_s.value_or(0.0), 0));
}

LivePhase livePhase(const VisitDraft& draft, const SensorInHand& hand, const Visit& visit, const std::vector<ReadingPlace>& places,
                    Phase phase)
{
    LivePhase live;
    live.figures = figuresOf(visit, phase, hand.contextFor(visit, phase), false);
    const PhaseForm& form = draft.phase(phase);
    const auto first = form.dips.empty() ? std::nullopt : form.dips.front().temp.value();
    for (std::size_t i = 0; i < form.dips.size(); ++i) {
        const Dip& dip = form.dips[i];
        LiveDip ld;
        ld.last_mv = hand.lastMv(dip.standard);
        ld.temp_c = dip.temp.value();
        if (!ld.temp_c && i > 0 && first) {
            ld.temp_c = first;
            ld.carried = true;
        }
        if (ld.temp_c)
            if (const auto ideal = hand.idealMv(dip.standard, dip.lot, *ld.temp_c))
                ld.ideal_mv = *ideal;
        const auto trouble = lotTrouble(hand, dip.standard, dip.lot, draft.begun);
        if (!trouble.isEmpty() && !dip.mv.empty())
            ld.notes << trouble;
        if (i == 0 && dip.mv.taken && dip.temp.notDone)
            ld.notes << Say::tr("No temperature. The millivolts are kept; %1 is not worked out.")
                            .arg(hand.kind() == SensorKind::Ph ? Say::tr("efficiency") : Say::tr("the offset"));
        for (const KeptOddity& kept : dip.kept)
            ld.notes << Say::tr("Kept and marked: %1.").arg(QString::fromStdString(kept.why));
        live.dips.push_back(std::move(ld));
    }
    for (const FigureIssue& issue : live.figures.issues)
        if (issue.code == FindingCode::OutsideTable && !live.dips.empty())
            live.dips.front().notes << toScreen(QString::fromStdString(issue.because));
    for (const Settling& s : live.figures.settling) {
        if (s.index >= places.size() || places[s.index].dip >= live.dips.size())
            continue;
        if (const QString words = settlingWords(s); !words.isEmpty())
            live.dips[places[s.index].dip].notes << words;
    }
    if (hand.kind() == SensorKind::Orp && live.figures.used.size() == 1 && form.dips.size() == 1)
        live.dips.front().notes << Say::tr("Offset only; a filmed metal would not show.");
    return live;
}

QString fitnessOf(const LivePhase& phase, const SensorInHand& hand, const FigureContext& context)
{
    const PhaseFigures& f = phase.figures;
    if (hand.kind() == SensorKind::Orp) {
        if (!f.offset_mv || !hand.point || !hand.point->tolerance_mv)
            return {};
        const bool inside = std::abs(*f.offset_mv) <= *hand.point->tolerance_mv;
        return inside ? Say::tr("Off by %1 mV; tolerance ±%2 mV: good enough here.")
                            .arg(figureText(*f.offset_mv, 0, Sign::Always), number(*hand.point->tolerance_mv, 0))
                      : Say::tr("Off by %1 mV; tolerance ±%2 mV: not good enough here.")
                            .arg(figureText(*f.offset_mv, 0, Sign::Always), number(*hand.point->tolerance_mv, 0));
    }
    if (!f.u_at_process_ph || !context.process_ph)
        return {};
    const double expanded = kCoverage * *f.u_at_process_ph;
    QString text = Say::tr("In the beaker, at pH %1: ±%2").arg(number(*context.process_ph, 1), number(expanded, 2));
    if (hand.point && hand.point->tolerance_ph) {
        const double tolerance = *hand.point->tolerance_ph;
        text += expanded <= tolerance ? Say::tr("; tolerance ±%1: good enough here.").arg(number(tolerance, 2))
                                      : Say::tr("; tolerance ±%1: not good enough here.").arg(number(tolerance, 2));
    } else {
        text += Say::tr("; no tolerance is recorded for this point.");
    }
    if (f.u_junction_ph)
        text += u' ' + Say::tr("In the pipe the junction adds up to ±%1: ask the grab.").arg(number(kCoverage * *f.u_junction_ph, 2));
    return text;
}

/// How far the loop reads from the grab sample, if that is inside the tolerance and the sensor looks clean.
QString adviceOf(const VisitDraft& draft, const LivePhase& found, const SensorInHand& hand)
{
    if (hand.kind() != SensorKind::Ph || !hand.point || !hand.point->tolerance_ph || !draft.steps.empty() || draft.didEnded)
        return {};
    const bool looksClean = draft.coatingAnswered && draft.coating.value_or(0) == 0;
    const auto& dips = draft.found.dips;
    const bool allTaken = std::all_of(dips.begin(), dips.end(), [](const Dip& d) { return d.mv.taken; });
    if (!looksClean || !allTaken || !found.figures.efficiency_pct || found.changeCounts)
        return {};
    const double tolerance = *hand.point->tolerance_ph;
    // As found: what the sensor reads off in pH, with the figures it was left with in the analyser.
    const PhaseFigures* last = hand.lastState();
    if (!last || !last->fit || !found.figures.fit)
        return {};
    const double process = hand.processPh().value_or(7.0);
    const auto slope = nernstSlope(Celsius(hand.point->temp_degc.value_or(kStandardTemperature.value())));
    if (!slope)
        return {};
    const double k = slope->value();
    const double e = found.figures.fit->e0_mv - found.figures.fit->s * k * (process - 7.0);
    const double shown = 7.0 + (last->fit->e0_mv - e) / (last->fit->s * k);
    if (std::abs(shown - process) > tolerance)
        return {};
    return Say::tr("Inside ±%1 as found. Leave it: Ctrl+Enter logs a check, nothing adjusted.").arg(number(tolerance, 2));
}

}  // namespace

double efficiencyNoisePct()
{
    return kCoverage * std::sqrt(2.0) * kEfficiencyScatterPct;
}

double offsetNoiseMv()
{
    return kCoverage * std::sqrt(2.0) * kOffsetScatterMv;
}

const LivePhase& LiveReadings::phase(Phase p) const
{
    return p == Phase::AsFound ? found : p == Phase::AfterClean ? clean : left;
}

Phase LiveReadings::latest() const
{
    return left.any() ? Phase::AsLeft : clean.any() ? Phase::AfterClean : Phase::AsFound;
}

QString returnsOutside(const VisitDraft& draft, const LiveReadings& live, const SensorInHand& hand)
{
    if (draft.tag.empty() || !hand.point || hand.point->loop_class.value_or(LoopClass::Indication) == LoopClass::Indication)
        return {};
    if (std::any_of(draft.steps.begin(), draft.steps.end(),
                    [](const Step& s) { return s.action == ActionKey::Replace || s.action == ActionKey::Scrap; }))
        return {};
    const PhaseFigures& f = live.phase(live.latest()).figures;
    const LimitProfile& limits = hand.limits;
    const bool orp = hand.kind() == SensorKind::Orp;
    const double most = orp ? limits.orp_offset_maintenance_mv.value : limits.offset_maintenance_mv.value;
    QString figure;
    QString limit;
    if (!orp && f.efficiency_pct && *f.efficiency_pct < limits.efficiency_maintenance_pct.value) {
        figure = number(*f.efficiency_pct, 1) + QStringLiteral(" %");
        limit = number(limits.efficiency_maintenance_pct.value, 0) + QStringLiteral(" %");
    } else if (f.offset_mv && std::abs(*f.offset_mv) > most) {
        figure = figureText(*f.offset_mv, 1, Sign::Always) + QStringLiteral(" mV");
        limit = QStringLiteral("±%1 mV").arg(number(most, 0));
    } else {
        return {};
    }
    return Say::tr("%1 goes back to %2 (%3), outside its limit of %4. Who approves? Initials, or O nobody reached.")
        .arg(figure, QString::fromStdString(draft.tag), spelled(wordsOf(*hand.point->loop_class)), limit);
}

QString seriesWords(const std::vector<SettlePoint>& series)
{
    const auto fit = fitSettling(series);
    if (!fit)
        return {};
    return Say::tr("goes to %1 ±%2 mV, t90 %3 ±%4 s")
        .arg(figureText(fit->settled_mv, 1, Sign::Always), number(kCoverage * fit->u_settled_mv, 1), number(fit->t90_s, 0),
             number(kCoverage * fit->u_t90_s, 0));
}

QString lotTrouble(const SensorInHand& hand, const std::string& standard, const std::string& lot, const Instant& when)
{
    const Lot* bottle = lot.empty() ? nullptr : hand.plant->lot(lot);
    if (!bottle)
        return {};
    const QString name = QString::fromStdString(lot);
    const QString words = QString::fromStdString(hand.standards->words(standard));
    const QString end = Say::tr(" Kept and marked, not for a calibration record. L picks another lot.");
    if (bottle->discarded && *bottle->discarded <= when)
        return Say::tr("%1 was discarded %2.").arg(name, QString::fromStdString(formatDate(*bottle->discarded))) + end;
    if (bottle->expires && *bottle->expires < when)
        return Say::tr("%1 expired %2.").arg(name, QString::fromStdString(formatDate(*bottle->expires))) + end;
    if (!bottle->opened)
        return {};
    const double open = daysBetween(*bottle->opened, when);
    const double limit = hand.rules->openLifeDays(standard);
    if (open < 0)
        return Say::tr("%1 was not opened yet on that day.").arg(name) + end;
    if (open <= limit)
        return {};
    if (limit < 1.0)
        return Say::tr("%1 was made %2 h ago; %3 h is the limit for %4.")
                   .arg(name, number(open * 24.0, 0), number(limit * 24.0, 0), words) +
               end;
    return Say::tr("%1 was opened %2 days ago; %3 is the limit for %4.").arg(name, number(std::floor(open), 0), number(limit, 0), words) +
           end;
}

LiveReadings liveFigures(const VisitDraft& draft, const SensorInHand& hand)
{
    LiveReadings live;
    live.visit = visitOf(draft, Count::Typed, &live.places);
    live.common = hand.roundSoFar;
    live.found = livePhase(draft, hand, live.visit, live.places, Phase::AsFound);
    live.clean = livePhase(draft, hand, live.visit, live.places, Phase::AfterClean);
    live.left = livePhase(draft, hand, live.visit, live.places, Phase::AsLeft);
    compareWithLast(live.found, hand);
    compareWithFound(live.clean, live.found, hand.kind());
    compareWithFound(live.left, live.found, hand.kind());
    if (live.clean.change.isEmpty())
        compareWithLast(live.clean, hand);
    if (live.left.change.isEmpty())
        compareWithLast(live.left, hand);
    live.fitness = fitnessOf(live.phase(live.latest()), hand, hand.contextFor(live.visit, live.latest()));
    live.advice = adviceOf(draft, live.found, hand);
    if (draft.leftAnswer == LeftAnswer::Adjusted) {
        // What is keyed in was worked out before the sensor was read again as left.
        const PhaseFigures& basis = live.clean.figures.efficiency_pct ? live.clean.figures : live.found.figures;
        if (const auto key = keyInFigures(basis))
            live.keyIn = LiveKeyIn{*key, Say::tr("Key in: slope %1 mV/pH at 25 °C (%2 %), offset %3 mV in pH 7, zero point pH %4.")
                                             .arg(number(key->slope_mv_per_ph_25c, 2), number(key->efficiency_pct, 1),
                                                  figureText(key->offset_mv, 1, Sign::Always), number(key->zero_point_ph, 2))};
    }
    return live;
}

void addFindings(LiveReadings& live, const SensorInHand& hand)
{
    SensorHistory history = *hand.history;
    // Whoever types it knows that the loop is in manual: the hold of this visit is no finding of it.
    Visit judged = live.visit;
    judged.manual_from.reset();
    judged.auto_at.reset();
    history.visits.push_back(&judged);
    auto figures = hand.past;
    VisitFigures now;
    now.visit = &judged;
    now.when = live.visit.when;
    for (const LivePhase* phase : {&live.found, &live.clean, &live.left})
        if (phase->any())
            now.phases.push_back(phase->figures);
    live.common = hand.roundSoFar;
    if (now.phases.empty()) {
        live.findings.clear();
        live.signal.reset();
        live.sentence.clear();
        live.verdict = Verdict::NotEnoughData;
        return;
    }
    figures.push_back(std::move(now));
    const Assessment assessment = assess(*hand.plant, history, figures, *hand.standards, *hand.rules);
    live.findings = assessment.findings;
    live.signal = assessment.signal;
    live.verdict = assessment.verdict;
    live.sentence = toScreen(QString::fromStdString(assessment.sentence));
    if (auto common = commonCauseOf(assessment))
        live.common = std::move(common);
}

}  // namespace halfcell::app::bench
