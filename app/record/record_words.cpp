// Findings, what next, the visits table and the sentences of the Record.
#include "app/panels/plain_words.h"
#include "app/record/phase_figure.h"
#include "app/record/record_page.h"
#include "app/record/say.h"
#include "core/rules/test_words.h"

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString testName(const std::string& key)
{
    QString words = plain(core::testWords(key));
    if (!words.isEmpty())
        words[0] = words[0].toUpper();
    return words;
}

/// "scale film on the glass": a finding's title inside a sentence.
QString lowerFirst(QString title)
{
    if (title.size() > 1 && !title[1].isUpper())
        title[0] = title[0].toLower();
    return title;
}

/// "detergent" of "clean with detergent": the step in short.
QString shortAction(core::ActionKey action)
{
    QString words = plain(core::wordsOf(action));
    if (words.startsWith(u"clean with "_s))
        words.remove(0, 11);
    return words;
}

QString spokenLine(const VisitLine& line, core::SensorKind kind)
{
    QStringList parts{line.when};
    if (!line.reason.isEmpty())
        parts.append(line.reason);
    for (std::size_t phase = 0; phase < 3; ++phase) {
        if (!line.phases[phase])
            continue;
        QStringList figures;
        for (std::size_t i = 0; i < 3; ++i)
            if (line.figures[phase][i].value)
                figures.append(figureName(shownFigures(kind)[i]).toLower() + u' ' + spokenText(line.figures[phase][i]));
        parts.append(phaseWord(static_cast<core::Phase>(phase)) + u' ' + figures.join(u", "_s));
    }
    if (!line.didWords.isEmpty())
        parts.append(line.didWords);
    if (!line.by.isEmpty())
        parts.append(RecordSay::tr("by %1").arg(line.by));
    if (line.corrected)
        parts.append(RecordSay::tr("corrected"));
    return parts.join(u"; "_s);
}

QString fieldWords(const core::AppliedCorrection& c, const core::Visit* visit)
{
    if (c.table == "readings" && visit != nullptr && c.row >= 1 && static_cast<std::size_t>(c.row) <= visit->readings.size()) {
        const core::Reading& reading = visit->readings[static_cast<std::size_t>(c.row - 1)];
        const QString place = phaseWord(reading.phase) + u' ' + standardWords(reading.standard);
        return c.field == "mv" ? place : place + u' ' + plain(c.field).replace(u'_', u' ');
    }
    return plain(c.field).replace(u'_', u' ');
}

QString orNothing(const std::string& cell)
{
    return cell.empty() ? RecordSay::tr("nothing") : screenWords(cell);
}

}  // namespace

DidWords didWords(const core::Visit& visit, const core::RuleSet& rules)
{
    QStringList letters, words;
    for (const core::Action& action : visit.actions) {
        letters.append(QString(QLatin1Char(rules.action(action.action).letter)));
        words.append(shortAction(action.action));
    }
    return {letters.join(u' '), words.join(u", "_s)};
}

QString gainWords(const core::VisitFigures& visit)
{
    const core::PhaseFigures* found = visit.phase(core::Phase::AsFound);
    const core::PhaseFigures* state = visit.lastState();
    if (found == nullptr || state == nullptr || found == state || !found->efficiency_pct || !state->efficiency_pct)
        return {};
    const double gain = *state->efficiency_pct - *found->efficiency_pct;
    const QString size = figureText(std::abs(gain), 1, Sign::WhenNegative);
    return gain < 0 ? RecordSay::tr("lost %1 %").arg(size) : RecordSay::tr("gained %1 %").arg(size);
}

std::vector<VisitLine> visitLines(const Dossier& dossier, std::int64_t today)
{
    std::vector<VisitLine> lines;
    const auto applied = dossier.plant->applied();
    for (auto it = dossier.figures.rbegin(); it != dossier.figures.rend(); ++it) {
        VisitLine line;
        line.utc = it->when.utcSeconds;
        line.when = momentWords(it->when, today);
        core::SensorKind kind = core::SensorKind::Ph;
        for (const core::PhaseFigures& phase : it->phases) {
            const auto at = static_cast<std::size_t>(phase.phase);
            line.phases[at] = true;
            kind = phase.kind;
            for (std::size_t i = 0; i < 3; ++i)
                line.figures[at][i] = phaseFigure(phase, shownFigures(phase.kind)[i]);
        }
        if (const core::Visit* visit = it->visit) {
            line.visit = plain(visit->visit);
            line.reason = visit->reason ? plain(core::wordsOf(*visit->reason)) : QString();
            const DidWords did = didWords(*visit, dossier.rules);
            line.did = did.letters;
            line.didWords = did.words;
            line.by = plain(visit->person.value_or(std::string()));
            line.sheet = plain(visit->round.value_or(std::string()));
            line.corrected = std::ranges::any_of(applied, [&](const core::AppliedCorrection& c) { return c.visit == visit->visit; });
        } else if (it->legacy != nullptr) {
            line.legacy = true;
            line.visit = legacyKey(*it);
            line.when = dateWords(it->when, today);
            line.reason = RecordSay::tr("legacy record");
            line.by = plain(it->legacy->person.value_or(std::string()));
        }
        line.spoken = spokenLine(line, kind);
        lines.push_back(std::move(line));
    }
    return lines;
}

std::vector<FindingWords> findingWords(const core::Assessment& assessment)
{
    constexpr double kMinor = 0.02;  // our choice: less is named, not told
    std::vector<FindingWords> list;
    for (const core::Finding& finding : assessment.findings) {
        FindingWords words;
        words.title = screenWords(finding.title);
        if (finding.probability)
            words.probability = probabilityText(*finding.probability);
        else if (finding.code != core::FindingCode::Healthy)
            words.probability = RecordSay::tr("rule");
        words.minor = !list.empty() && finding.probability && *finding.probability < kMinor;
        if (finding.action)
            words.action = plain(core::wordsOf(*finding.action));
        for (const core::Because& because : finding.because) {
            const QString text = screenWords(because.text);
            switch (because.side) {
            case core::Because::Side::For: words.speaksFor.append(text); break;
            case core::Because::Side::Against: words.against.append(text); break;
            case core::Because::Side::NotMeasured: words.notMeasured.append(text); break;
            case core::Because::Side::NotPossible: words.notPossible.append(text); break;
            }
        }
        if (finding.next_test)
            words.nextTest = RecordSay::tr("%1, %2 min: %3.")
                                 .arg(testName(finding.next_test->test), QString::number(std::lround(finding.next_test->minutes)),
                                      screenWords(finding.next_test->splits));
        for (const std::string& caution : finding.cautions)
            words.cautions.append(screenWords(caution));
        list.push_back(std::move(words));
    }
    return list;
}

QString remainderWords(const core::Assessment& assessment)
{
    if (!assessment.diagnosis)
        return {};
    double rest = 1.0;
    bool healthy = false;
    for (const core::Finding& finding : assessment.findings) {
        rest -= finding.probability.value_or(0.0);
        healthy = healthy || finding.code == core::FindingCode::Healthy;
    }
    // That nothing is wrong is no other cause.
    for (const core::LikelyCause& cause : assessment.diagnosis->causes)
        if (!healthy && cause.key == core::keyOf(core::FindingCode::Healthy))
            rest -= cause.probability;
    constexpr double kWorthSaying = 0.01;
    return rest < kWorthSaying ? QString() : RecordSay::tr("other or unknown %1").arg(probabilityText(rest));
}

QString alsoWeighed(std::span<const FindingWords> findings, bool links)
{
    QStringList names;
    QString share;
    bool alike = true;
    for (const FindingWords& finding : findings)
        if (finding.minor) {
            alike = alike && (share.isEmpty() || share == finding.probability);
            share = finding.probability;
        }
    for (std::size_t i = 0; i < findings.size(); ++i) {
        if (!findings[i].minor)
            continue;
        QString name = lowerFirst(findings[i].title);
        if (links)
            name = u"<a href=\"%1\">%2</a>"_s.arg(QString::number(i), name.toHtmlEscaped());
        names.append(alike ? name : u"%1 (%2)"_s.arg(name, findings[i].probability));
    }
    if (names.isEmpty())
        return {};
    const QString line = RecordSay::tr("Also weighed: %1").arg(names.join(u", "_s));
    if (!alike)
        return line;
    return names.size() == 1 ? RecordSay::tr("%1 (%2)").arg(line, share) : RecordSay::tr("%1 (%2 each)").arg(line, share);
}

NextWords nextWords(const Dossier& dossier, std::int64_t today)
{
    NextWords next;
    const core::Assessment& judged = dossier.assessment;
    next.action = plain(core::wordsOf(judged.verdict));
    if (!next.action.isEmpty())
        next.action[0] = next.action[0].toUpper();
    next.sentence = screenWords(judged.sentence);
    for (const core::ActionKey action : judged.actionOrder)
        next.order.append(plain(core::wordsOf(action)));
    // Cautions stand where the action is chosen, each once: those of taking the sensor out, of every action, of a cause.
    QStringList said;
    const auto unsaid = [&said](const QString& text) {
        if (said.contains(text))
            return false;
        said.append(text);
        return true;
    };
    const bool acts = judged.verdict != core::Verdict::Leave && judged.verdict != core::Verdict::NotEnoughData;
    if (acts && dossier.point != nullptr)
        for (const core::Caution& caution : dossier.rules.cautionsForWithdrawal(dossier.point))
            if (const QString text = screenWords(caution.text); unsaid(text))
                next.cautions.append(text);
    if (acts)
        for (const core::ActionKey action : judged.actionOrder) {
            StepWords step{.what = plain(core::wordsOf(action)), .place = static_cast<int>(next.steps.size()) + 1};
            for (const core::Caution& caution : dossier.rules.cautionsFor(action, {}, dossier.point, core::Visit{}))
                if (const QString text = screenWords(caution.text); unsaid(text))
                    step.cautions.append(text);
            next.steps.push_back(std::move(step));
        }
    for (const FindingWords& finding : findingWords(judged)) {
        if (finding.minor)
            continue;
        StepWords step;
        for (const QString& caution : finding.cautions)
            if (unsaid(caution))
                step.cautions.append(caution);
        if (step.cautions.isEmpty())
            continue;
        step.what = finding.action.isEmpty() ? RecordSay::tr("if it is: %1").arg(lowerFirst(finding.title))
                                             : RecordSay::tr("if it is: %1; %2").arg(lowerFirst(finding.title), finding.action);
        next.steps.push_back(std::move(step));
    }
    next.tasks = taskWords(dossier.tasks, dossier.history->sensor->serial, today);
    return next;
}

std::vector<TaskWords> taskWords(std::span<const core::DueTask> tasks, std::string_view serial, std::int64_t today)
{
    std::vector<TaskWords> words;
    for (const core::DueTask& task : tasks) {
        if (task.serial != serial)
            continue;
        const QString due =
            task.due < today ? RecordSay::tr("%1 d late").arg(today - task.due) : RecordSay::tr("due %1").arg(dayWords(task.due, today));
        words.push_back({.what = RecordSay::tr("%1, %2").arg(plain(core::wordsOf(task.task)), due), .why = screenWords(task.why)});
    }
    return words;
}

QStringList recordSays(const Dossier& dossier)
{
    QStringList says;
    for (const core::AppliedCorrection& c : dossier.plant->applied()) {
        const auto visit = std::ranges::find_if(dossier.history->visits, [&](const core::Visit* v) { return v->visit == c.visit; });
        const core::Visit* found = visit == dossier.history->visits.end() ? nullptr : *visit;
        if (found == nullptr)
            continue;
        says.append(RecordSay::tr("Corrected on %1 by %2: %3 %4 was typed for %5 (%6). The crossed point is the old one.")
                        .arg(fullDate(c.recorded), plain(c.person), fieldWords(c, found), orNothing(c.old_value), orNothing(c.new_value),
                             plain(c.why)));
    }
    for (const core::Correction& c : dossier.plant->unfitting())
        says.append(RecordSay::tr("A correction of %1 by %2 doesn't fit what stands there and was left out.")
                        .arg(fullDate(c.recorded), plain(c.person)));
    const auto& placements = dossier.history->placements;
    for (std::size_t i = 1; i < placements.size(); ++i) {
        const core::Placement& a = *placements[i - 1];
        const core::Placement& b = *placements[i];
        if (a.to && *a.to <= b.from)
            continue;
        const core::Instant to = a.to && b.to ? std::min(*a.to, *b.to) : a.to ? *a.to : b.to ? *b.to : dossier.plant->asOf();
        says.append(RecordSay::tr(
                        "Between %1 and %2 this sensor was recorded at %3 and at %4. Both rows stand, marked, until someone corrects one.")
                        .arg(fullDate(b.from), fullDate(to), placeWord(a.place), placeWord(b.place)));
    }
    if (!dossier.history->legacy.empty())
        says.append(RecordSay::tr("Figures up to %1 come from records without millivolts; they can't be reworked.")
                        .arg(fullDate(dossier.history->legacy.back()->when)));
    return says;
}

}  // namespace halfcell::app
