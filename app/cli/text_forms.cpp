#include "app/cli/text_forms.h"

#include "core/quantity/instant.h"
#include "core/quantity/number.h"
#include "core/rules/test_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <set>
#include <utility>

namespace halfcell::app {

using namespace core;

namespace {

constexpr std::size_t kColumns = 80;

/// Characters a UTF-8 text shows (continuation bytes take no room).
std::size_t shownWidth(std::string_view text)
{
    return static_cast<std::size_t>(std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string shortDate(std::int64_t day)
{
    return formatDate(startOfDay(day));
}

}  // namespace

std::string padded(std::string_view text, std::size_t width)
{
    std::string result(text);
    const std::size_t shown = shownWidth(text);
    if (shown < width)
        result.append(width - shown, ' ');
    return result;
}

std::string withUncertainty(const std::optional<double>& value, const std::optional<double>& u, int decimals, std::string_view unit,
                            bool sign)
{
    if (!value)
        return "-";
    std::string text = sign ? formatSigned(*value, decimals) : formatFixed(*value, decimals);
    if (u)
        text += " ±" + formatFixed(2.0 * *u, decimals);
    text += ' ';
    text += unit;
    return text;
}

void writeWrapped(std::ostream& out, std::string_view text, std::size_t firstIndent, std::size_t indent)
{
    out << std::string(firstIndent, ' ');
    std::size_t column = firstIndent;
    bool first = true;
    while (!text.empty()) {
        const std::size_t end = text.find(' ');
        const std::string_view word = text.substr(0, end);
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
        if (word.empty())
            continue;
        const std::size_t width = shownWidth(word);
        if (!first && column + 1 + width > kColumns) {
            out << '\n' << std::string(indent, ' ');
            column = indent;
            first = true;
        }
        if (!first) {
            out << ' ';
            ++column;
        }
        out << word;
        column += width;
        first = false;
    }
    out << '\n';
}

std::string signalWords(const std::optional<Signal>& signal)
{
    return signal ? std::string(wordsOf(*signal)) : "not enough data";
}

namespace {

/// What a figure that could not be worked out is called here; empty for those nobody misses in a text (legs and residual of two
/// standards, the uncertainty at a process pH that was not given). JSON lists them all.
std::string_view missedFigure(std::string_view key)
{
    constexpr std::pair<std::string_view, std::string_view> kNames[] = {
        {"efficiency_pct", "efficiency"}, {"slope_mv_per_ph", "slope"}, {"offset_mv", "offset"},
        {"zero_point_ph", "zero point"},  {"span_pct", "span"},         {"t90_s", "response"}};
    for (const auto& [name, words] : kNames)
        if (name == key)
            return words;
    return {};
}

}  // namespace

void writeFindings(std::ostream& out, std::span<const Finding> findings)
{
    std::set<std::string_view> cautioned;  // each caution once, where it is first needed
    for (const Finding& f : findings) {
        std::string line = f.title;
        if (f.probability)
            line += *f.probability > 0.99 ? " (over 99 %)" : fmt::format(" ({:.0f} %)", 100.0 * *f.probability);
        for (const Because& b : f.because) {
            const char* lead = b.side == Because::Side::For           ? "; "
                               : b.side == Because::Side::Against     ? "; against: "
                               : b.side == Because::Side::NotMeasured ? "; not measured: "
                                                                      : "; not possible here: ";
            line += lead + b.text;
        }
        writeWrapped(out, line, 2, 4);
        if (f.next_test)
            writeWrapped(
                out, fmt::format("next test: {}, {:.0f} min ({})", testWords(f.next_test->test), f.next_test->minutes, f.next_test->splits),
                4, 6);
        if (f.action)
            writeWrapped(out, fmt::format("do: {}", wordsOf(*f.action)), 4, 6);
        for (const std::string& caution : f.cautions)
            if (cautioned.insert(caution).second)
                writeWrapped(out, "caution: " + caution, 4, 6);
    }
}

void writeSet(std::ostream& out, std::string_view id, const PhaseFigures& f, const Assessment& a)
{
    out << id << "  " << wordsOf(f.phase) << "  " << signalWords(a.signal) << ": " << wordsOf(a.verdict) << '\n';
    if (f.kind == SensorKind::Ph) {
        out << "  efficiency  " << withUncertainty(f.efficiency_pct, f.u_efficiency_pct, 1, "%", false);
        if (f.slope_mv_per_ph)
            out << "   " << formatFixed(*f.slope_mv_per_ph, 2) << " mV/pH at 25 °C";
        out << "\n  offset      " << withUncertainty(f.offset_mv, f.u_offset_mv, 1, "mV", true);
        if (f.zero_point_ph)
            out << "   0 mV at pH " << formatFixed(*f.zero_point_ph, 2);
        out << '\n';
        if (f.acid_leg_pct && f.alkaline_leg_pct)
            out << "  legs        acid " << formatFixed(*f.acid_leg_pct, 1) << " %, alkaline " << formatFixed(*f.alkaline_leg_pct, 1)
                << " %\n";
        if (f.residual_mv)
            out << "  middle      " << formatSigned(*f.residual_mv, 1) << " mV off the line\n";
        if (f.u_at_process_ph)
            out << "  in process  ±" << formatFixed(2.0 * *f.u_at_process_ph, 2) << " pH (95 %)\n";
    } else {
        for (const UsedReading& r : f.used)
            out << "  " << padded(r.standard, 16) << " expected " << formatSigned(r.standardValue, 0) << " mV, read "
                << formatSigned(r.e_mv, 0) << " mV\n";
        out << "  offset      " << withUncertainty(f.offset_mv, f.u_offset_mv, 1, "mV", true) << '\n';
        if (f.span_pct)
            out << "  span        " << withUncertainty(f.span_pct, f.u_span_pct, 0, "%", false) << '\n';
    }
    for (const auto& [figure, reason] : f.missing)
        if (const auto words = missedFigure(figure); !words.empty())
            writeWrapped(out, fmt::format("no {}: {}", words, reason), 2, 4);
    if (!a.sentence.empty())
        writeWrapped(out, a.sentence, 2, 2);
    // The sentence of a sensor in order is that finding.
    if (a.sentence.empty() || a.findings.size() != 1 || a.findings.front().code != FindingCode::Healthy)
        writeFindings(out, a.findings);
}

void writeWorking(std::ostream& out, std::span<const WorkingStep> steps)
{
    int n = 0;
    for (const WorkingStep& step : steps) {
        writeWrapped(out, fmt::format("{:2} {}", ++n, step.step), 0, 3);
        if (!step.formula.empty())
            writeWrapped(out, step.formula, 4, 6);
        std::string inputs;
        for (const WorkingInput& in : step.inputs) {
            if (!inputs.empty())
                inputs += ", ";
            inputs += in.name;
            if (in.value)
                inputs += " = " + formatNumber(*in.value) + (in.unit.empty() ? "" : " " + in.unit);
            if (!in.text.empty())
                inputs += (in.value ? " (" : ": ") + in.text + (in.value ? ")" : "");
        }
        if (!inputs.empty())
            writeWrapped(out, "with " + inputs, 4, 6);
        std::string result;
        if (step.result)
            result = "= " + formatNumber(*step.result) + (step.unit.empty() ? "" : " " + step.unit);
        if (!step.text.empty())
            result += (result.empty() ? "" : "  ") + step.text;
        if (!result.empty())
            writeWrapped(out, result, 4, 6);
        writeWrapped(
            out, fmt::format("source: {} ({})", step.source.empty() ? "this calculation" : step.source, sourceClassWords(step.sourceClass)),
            4, 6);
    }
}

void writeDue(std::ostream& out, std::span<const DueTask> tasks)
{
    for (const DueTask& t : tasks) {
        const std::string& what = t.serial.empty() ? t.subject : t.serial;
        out << padded(shortDate(t.due), 11) << padded(t.tag, 12) << padded(what, 12) << padded(wordsOf(t.task), 18)
            << fmt::format("{:4.0f} min", t.minutes) << (t.cannotSlip ? "  can't slip" : "") << '\n';
        writeWrapped(out, t.why, 11, 11);
    }
    if (tasks.empty())
        out << "Nothing is due.\n";
}

void writePlan(std::ostream& out, const WeekPlan& plan)
{
    std::size_t floors = 0;
    for (const Job& job : plan.jobs)
        floors += job.floor ? 1 : 0;
    out << fmt::format("Week {}: {} jobs due, {} can't slip; {} planned, {} stay undone.\n", formatIsoWeek(plan.week), plan.jobs.size(),
                       floors, plan.planned.size(), plan.unplanned.size());
    out << fmt::format("Value {:.0f}; no plan can reach more than {:.0f} (gap {:.1f} %).\n", plan.objective, plan.bound, plan.gap_pct);
    for (const DayLoad& load : plan.loads) {
        std::vector<const PlannedJob*> here;
        for (const PlannedJob& p : plan.planned)
            if (p.day == load.day && std::ranges::find(p.people, load.person) != p.people.end())
                here.push_back(&p);
        if (here.empty())
            continue;
        std::ranges::sort(here, {}, [](const PlannedJob* p) { return std::pair(p->order, p->key); });
        out << fmt::format("\n{}  {}  {:.0f} of {:.0f} min\n", shortDate(load.day), load.person, load.used, load.capacity);
        for (const PlannedJob* p : here) {
            const auto job = std::ranges::find(plan.jobs, p->key, &Job::key);
            if (job == plan.jobs.end())
                continue;
            std::string tasks;
            for (const TaskKind t : job->tasks)
                tasks += (tasks.empty() ? "" : ", ") + std::string(wordsOf(t));
            out << "  " << padded(job->tag.empty() ? job->serial : job->tag, 11) << padded(job->serial, 11)
                << fmt::format("{:4.0f} min  ", job->minutes) << tasks << '\n';
            writeWrapped(out, job->why, 13, 13);
        }
    }
    if (!plan.unplanned.empty()) {
        out << "\nUndone this week\n";
        for (const UnplannedJob& u : plan.unplanned)
            writeWrapped(out, fmt::format("{}  {}; next chance {}", padded(u.key, 11), u.why, shortDate(u.nextChance)), 2, 13);
    }
    if (!plan.kit.empty()) {
        out << "\nKit\n";
        std::string last;
        for (const KitLine& k : plan.kit) {
            const std::string head = shortDate(k.day) + "  " + k.person;
            if (head != last)
                out << "  " << head << '\n';
            last = head;
            out << "    " << padded(k.item, 22) << fmt::format("{:6.0f} {}", k.amount, k.unit == "pieces" && k.amount == 1.0 ? "piece" : k.unit) << (k.lot.empty() ? "" : "  lot " + k.lot)
                << '\n';
        }
    }
}

void writeReview(std::ostream& out, const Review& review)
{
    out << padded("sensor", 11) << padded("point", 10) << padded("run", 8) << padded("service", 9) << padded("same", 8)
        << padded("change", 8) << "advice (money a month)\n";
    for (const ReviewCase& c : review.cases) {
        out << padded(c.serial, 11) << padded(c.tag, 10);
        constexpr std::pair<OptionKind, std::size_t> kOrder[] = {
            {OptionKind::Run, 8}, {OptionKind::Service, 9}, {OptionKind::Same, 8}, {OptionKind::Change, 8}};
        for (const auto& [kind, width] : kOrder) {
            const auto option = std::ranges::find(c.options, kind, &ReviewOption::option);
            out << padded(option != c.options.end() && option->cost_per_month ? formatFixed(*option->cost_per_month, 1) : "-", width);
        }
        if (!c.abstained.empty())
            out << "not enough yet\n";
        else
            out << (c.recommended ? std::string(wordsOf(*c.recommended)) : "") << (c.closeCall ? " (close call)" : "") << '\n';
        writeWrapped(out, c.abstained.empty() ? c.sentence : c.abstained, 11, 11);
    }
    if (review.budget)
        out << fmt::format("\nBudget {:.0f}: {:.0f} asked for {} sensors, saving {:.0f} (no choice can save more than {:.0f}).\n",
                           *review.budget, review.asked, review.withinBudget.size(), review.saving, review.savingBound);
    if (!review.spares.empty()) {
        out << "\nSpares\n";
        for (const SpareType& s : review.spares)
            out << "  " << padded(s.interchange, 22)
                << fmt::format("in use {:3}, ready {:2}, expected need {:4.1f}, hold {}, order {}", s.inUse, s.ready, s.expectedDemand,
                               s.hold, s.order)
                << '\n';
    }
    const FleetFigures& f = review.fleet;
    if (f.asFoundJudged > 0)
        out << fmt::format("\nAs found in tolerance: {} of {} ({:.1f} %, 95 % limits {:.1f} to {:.1f} %); {} visits without as-found.\n",
                           f.asFoundInTolerance, f.asFoundJudged, 100.0 * f.share, 100.0 * f.shareLower, 100.0 * f.shareUpper,
                           f.visitsWithoutAsFound);
}

}  // namespace halfcell::app
