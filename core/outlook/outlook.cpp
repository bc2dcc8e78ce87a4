#include "core/outlook/outlook.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/normal_law.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::outlook {
namespace {

constexpr double kDayWeeks = 7.0;
// Sudden poisoning by age, before the shop has seen any: Weibull of shape 2.5 and scale 300 weeks (our choice).
constexpr double kPoisonShape = 2.5, kPoisonScale = 300.0, kPoisonStep = 110.0, kPoisonSd = 45.0, kPoisonDone = 60.0;
constexpr double kUsualSuddenPerYear = 0.06;  // breakage, moisture and temperature element in clean water (assumed)

/// Errors of past offset forecasts at a level, from their 1 ... 99 % points.
double errorAt(const std::vector<double>& points, double p)
{
    const double place = std::clamp(100.0 * p - 1.0, 0.0, 98.0);
    const auto i = static_cast<std::size_t>(place);
    const double next = i + 1 < points.size() ? points[i + 1] : points[i];
    return points[i] + (place - static_cast<double>(i)) * (next - points[i]);
}

/// Offset without enough past errors: the filter's own normal law and a sudden poisoning.
Mixture offsetLaw(const OffsetFilter& filter, double age, double ahead)
{
    const double centre = filter.centre(ahead), sd = std::sqrt(filter.variance(ahead) + filter.numbers().readingVar);
    const auto hazard = [](double t) { return fixedPow(std::max(t, 0.0) / kPoisonScale, kPoisonShape); };
    const double p = std::abs(filter.level()) > kPoisonDone ? 0.0 : 1.0 - fixedExp(hazard(age) - hazard(age + ahead));
    std::vector<Mixture::Part> parts{{1.0 - p, centre, sd}};
    if (p > 0.0)
        parts.push_back({p, centre + kPoisonStep, std::sqrt(sd * sd + kPoisonSd * kPoisonSd)});
    return Mixture(std::move(parts));
}

std::string dateOf(const Instant& t)
{
    return formatDate(t);
}

WorkingStep stepOf(std::string step, std::string formula, std::vector<WorkingInput> inputs, std::optional<double> result, std::string unit,
                   std::string text, std::string source)
{
    return {.step = std::move(step),
            .formula = std::move(formula),
            .inputs = std::move(inputs),
            .result = result,
            .unit = std::move(unit),
            .text = std::move(text),
            .source = std::move(source),
            .sourceClass = SourceClass::Computed};
}

constexpr const char* kMethod = "own method, checked by worked examples";

void addWorking(const BookOutlook& book, const Series& series, const Replay& state, const GroupModel& group, std::size_t groupIndex,
                SensorOutlook& out)
{
    const FleetNumbers& fleet = book.walk.model.fleet;
    std::vector<WorkingInput> used;
    for (const ReplayedVisit& r : state.taken) {
        const SeriesVisit& v = series.visits[r.visit];
        used.push_back({.name = dateOf(v.when),
                        .value = v.efficiency_pct,
                        .unit = "%",
                        .text = fmt::format("too soon {:.2f} %, round {:+.2f} %, expected {:.2f} %, chance of a bad reading {:.2f}",
                                            100.0 * r.tooSoon.mean, r.shift, r.expected, r.taken.badProbability),
                        .readingRef = v.visit});
    }
    std::size_t left = 0;
    for (const SeriesVisit& v : series.visits)
        left += v.leftOut.empty() ? 0 : 1;
    out.working.push_back(stepOf("clean readings used", "as left, else after cleaning", std::move(used),
                                 static_cast<double>(state.taken.size()), "", fmt::format("{} used, {} left out", state.taken.size(), left),
                                 "readings of the book"));
    for (const SeriesVisit& v : series.visits)
        if (!v.leftOut.empty() && out.working.front().inputs.size() < 400)
            out.working.front().inputs.push_back(
                {.name = dateOf(v.when), .value = {}, .unit = "", .text = "left out: " + v.leftOut, .readingRef = v.visit});
    out.working.push_back(stepOf("group", "life to lose 10 %: ln L ~ N(mu, sigma^2)",
                                 {{"mu", group.level.lnLifeMean, "ln weeks", "", ""},
                                  {"sigma", group.level.lnLifeSd, "", "", ""},
                                  {"sensors", static_cast<double>(group.sensors), "", group.words, ""}},
                                 group.level.life(), "weeks", fmt::format("learnt from records up to {}", dateOf(book.walk.model.cut)),
                                 kMethod));
    const auto weights = state.level.curveWeights();
    std::vector<std::size_t> order(kCurves);
    for (std::size_t h = 0; h < kCurves; ++h)
        order[h] = h;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return weights[a] > weights[b]; });
    std::vector<WorkingInput> curves;
    for (std::size_t i = 0; i < 3; ++i) {
        const AgeingCurve& c = kAgeingCurves[order[i]];
        curves.push_back({.name = c.power ? fmt::format("u^{:g}", c.shape) : fmt::format("exponential {:g}", c.shape),
                          .value = weights[order[i]],
                          .unit = "",
                          .text = "",
                          .readingRef = ""});
    }
    out.working.push_back(stepOf("shape and life of this sensor", "weights after all readings", std::move(curves),
                                 fixedExp(state.level.lnLifeQuantile(0.5)), "weeks",
                                 fmt::format("life to lose 10 %: {:.0f} to {:.0f} weeks (10 to 90 %)",
                                             fixedExp(state.level.lnLifeQuantile(0.1)), fixedExp(state.level.lnLifeQuantile(0.9))),
                                 kMethod));
    const MeanVar now = state.level.capability();
    out.working.push_back(stepOf("present level", "mean and sd over all shapes and lives", {{"sd", std::sqrt(now.var), "%", "", ""}},
                                 now.mean, "%", "", kMethod));
    if (!out.forecasts.empty()) {
        const double weeks = out.forecasts.front().weeks;
        const SpreadShares s = spreadShares(state.level, weeks);
        out.working.push_back(stepOf(fmt::format("where the spread comes from, {:.0f} weeks ahead", weeks), "variances add",
                                     {{"shape and life", s.between, "%^2", "", ""},
                                      {"present level", s.level, "%^2", "", ""},
                                      {"level noise", s.wander, "%^2", "", ""},
                                      {"sudden loss", s.sudden, "%^2", "", ""},
                                      {"one reading", fleet.readingVar, "%^2", "", ""},
                                      {"round and bottle", fleet.sharedSd * fleet.sharedSd + fleet.roundSd * fleet.roundSd, "%^2", "", ""}},
                                     std::nullopt, "", "", kMethod));
    }
    const std::size_t band = bandOf(13.0);
    out.working.push_back(stepOf("recalibration", "bands widened by what past forecasts missed",
                                 {{"outcomes", static_cast<double>(book.walk.recalibration.outcomes(band)), "", "13 weeks ahead", ""}},
                                 book.walk.recalibration.widening(band, groupIndex), "", "never narrower than raw",
                                 "past forecasts of this book"));
    if (const auto it = book.sudden.find(series.application); it != book.sudden.end())
        out.working.push_back(
            stepOf("sudden ends", "S = exp(-rate * weeks), causes taken as independent",
                   {{"ends", static_cast<double>(it->second.ends), "", "", ""}, {"weeks of service", it->second.weeks, "weeks", "", ""}},
                   it->second.perWeek, "per week", "", "removals of this book"));
    if (!out.abstained.empty())
        out.working.push_back(stepOf("abstains", "", {}, std::nullopt, "", out.abstained, kMethod));
}

}  // namespace

std::string_view quantityKey(Quantity q)
{
    switch (q) {
    case Quantity::Efficiency: return "efficiency_pct";
    case Quantity::Offset: return "offset_mv";
    case Quantity::Response: return "t90_s";
    }
    return "";
}

std::map<std::string, SuddenRate> suddenRates(const Plant& plant)
{
    std::map<std::string, SuddenRate> rates;
    for (const Placement& p : plant.records().placements) {
        const Point* point = plant.point(p.place);
        if (!point)
            continue;
        SuddenRate& r = rates[point->application.value_or("")];
        r.weeks += std::max(0.0, daysBetween(p.from, p.to.value_or(plant.asOf()))) / kDayWeeks;
        if (!p.reason_removed)
            continue;
        switch (*p.reason_removed) {
        case RemovalReason::Broken:
        case RemovalReason::Wet:
        case RemovalReason::Cable:
        case RemovalReason::TemperatureElement:
        case RemovalReason::Erratic:
        case RemovalReason::Lost: ++r.ends; break;
        default: break;
        }
    }
    constexpr double kUsual = kUsualSuddenPerYear / 52.18;
    for (auto& [application, r] : rates)
        r.perWeek = (static_cast<double>(r.ends) + 0.5) / (r.weeks + 0.5 / kUsual);
    return rates;
}

Result<BookOutlook> bookOutlook(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules,
                                const WalkSettings& settings)
{
    BookOutlook book;
    book.now = plant.asOf();
    book.shop = shopOf(plant, figures, rules);
    auto walked = walk(book.shop, book.now, settings);
    if (!walked)
        return std::unexpected(walked.error());
    book.walk = std::move(*walked);
    book.sudden = suddenRates(plant);
    return book;
}

SensorOutlook outlookOf(const BookOutlook& book, std::size_t sensor, const OutlookRequest& request)
{
    const Series& series = book.shop.series[sensor];
    const Model& model = book.walk.model;
    SensorOutlook out;
    out.serial = series.serial;
    out.tag = series.tag;
    out.site = series.site;
    out.kind = series.kind;
    const std::size_t groupIndex = model.groupOf[series.groupNow];
    const GroupModel& group = model.groups[groupIndex];
    out.group = group.words;
    Replay state = replay(series, model, book.now);
    // Moved since its last visit: the new place's lives and drifts hold from now on.
    if (!series.visits.empty() && model.groupOf[series.visits.back().group] != groupIndex) {
        state.level.moveToGroup(group.level);
        state.offset.moveToGroup(group.offset);
    }
    const double now = series.weeksAt(book.now);
    const bool ph = series.kind == SensorKind::Ph;
    const std::string dead = abstainsAsDead(state, series);
    out.readings = state.taken.size();
    for (const PastForecast& f : book.walk.past)
        if (model.groupOf[f.group] == groupIndex) {
            ++out.record.n;
            out.record.came += f.outcome >= f.q[1] && f.outcome <= f.q[17] ? 1.0 : 0.0;
        }
    if (out.record.n > 0)
        out.record.came /= static_cast<double>(out.record.n);
    const double lag = now - state.level.time();  // since the filter's last step
    double outLevel = 0.0, outOffset = 0.0;
    const std::optional<Instant> due = request.nextDue ? request.nextDue(series) : std::nullopt;
    const double dueWeeks = due ? std::max(0.0, daysBetween(book.now, *due) / kDayWeeks) : 0.0;
    if (ph) {
        const Abstention first = abstains(state, series, group, now, 0.0);
        out.abstained = first.words;
        out.groupOnly = first.groupOnly;
        for (const double weeks : request.weeks) {
            SensorForecast f;
            f.at = addDays(book.now, weeks * kDayWeeks);
            f.weeks = weeks;
            const Abstention a = abstains(state, series, group, now, weeks);
            const bool withheld = !a.words.empty() && !a.groupOnly;
            const bool beyond = weeks > state.level.horizonLimit() + 1e-9;
            if (withheld)
                f.abstained = a.words;
            else if (beyond)
                f.abstained = fmt::format("beyond {:.0f} weeks, the longest that is forecast here", state.level.horizonLimit());
            if (f.abstained.empty()) {
                const Mixture law = readingLaw(state.level, lag + weeks);
                const std::size_t band = bandOf(weeks);
                for (std::size_t i = 0; i < kLevels.size(); ++i)
                    f.q[i] = law.quantile(book.walk.recalibration.level(band, groupIndex, kLevels[i]));
            }
            out.forecasts.push_back(f);
        }
        SensorCrossing crossing;
        crossing.limit = request.limit ? request.limit(series) : 80.0;
        const double horizon = state.level.horizonLimit();
        if (!first.words.empty()) {
            crossing.abstained = first.words;
        } else if (!series.knownStart) {
            crossing.abstained = "the day of installation is not known: no crossing date";
        } else {
            CrossingCurve curve = crossingCurve(state.level, crossing.limit, horizon, 1.0, lag);
            for (std::size_t i = 0; i < curve.probability.size(); ++i) {
                double& p = curve.probability[i];
                p = book.walk.recalibration.probability(bandOf(std::max(1.0, curve.step * static_cast<double>(i))), groupIndex, p);
                if (i > 0)
                    p = std::max(p, curve.probability[i - 1]);
            }
            const auto when = [&](double p) -> std::optional<Instant> {
                const auto w = curve.when(p);
                return w ? std::optional(addDays(book.now, *w * kDayWeeks)) : std::nullopt;
            };
            crossing.p10 = when(0.1);
            crossing.p50 = when(0.5);
            crossing.p90 = when(0.9);
            crossing.notBefore = addDays(book.now, curve.end() * kDayWeeks);
            if (crossing.p10 && crossing.p90 && daysBetween(*crossing.p10, *crossing.p90) / kDayWeeks > group.level.life()) {
                crossing.notBefore = crossing.p10;
                crossing.p50 = crossing.p90 = std::nullopt;
                crossing.abstained = "the spread of the date is wider than a usual life here: only the earliest date is said";
            }
            for (const double weeks : request.weeks)
                if (weeks <= horizon + 1e-9)
                    crossing.probabilityBy.push_back({addDays(book.now, weeks * kDayWeeks), curve.at(weeks)});
        }
        out.crossing = crossing;
        if (due && first.words.empty()) {
            const Mixture law = readingLaw(state.level, lag + std::min(dueWeeks, horizon));
            outLevel = book.walk.recalibration.probability(bandOf(std::max(1.0, dueWeeks)), groupIndex, law.below(crossing.limit));
        }
    }
    if (state.lastOffset) {
        const double sinceOffset = now - state.offset.time();
        const auto lawFor = [&](double weeks) {
            return std::pair{offsetErrors(book.walk, groupIndex, bandOf(weeks)), offsetLaw(state.offset, now, sinceOffset + weeks)};
        };
        std::string why = dead;
        if (why.empty() && state.offset.readings() < kLeastClean)
            why = fmt::format("not enough yet: {} offset reading{}, {} needed", state.offset.readings(),
                              state.offset.readings() == 1 ? "" : "s", kLeastClean);
        else if (why.empty() && state.referenceChangedSince)
            why = "refilled or given a new bridge since the last offset was read: read it once more first";
        else if (why.empty() && state.offset.badProbability() > 0.3)
            why = "the last offset does not fit the ones before: one more calibration first";
        for (const double weeks : request.weeks) {
            SensorForecast f;
            f.quantity = Quantity::Offset;
            f.at = addDays(book.now, weeks * kDayWeeks);
            f.weeks = weeks;
            f.abstained = why;
            if (why.empty()) {
                const auto [errors, law] = lawFor(weeks);
                const double centre = state.offset.centre(sinceOffset + weeks);
                for (std::size_t i = 0; i < kLevels.size(); ++i)
                    f.q[i] = errors.empty() ? law.quantile(kLevels[i]) : centre + errorAt(errors, kLevels[i]);
            }
            out.forecasts.push_back(f);
        }
        if (due && why.empty()) {
            const double limit = request.offsetLimit ? request.offsetLimit(series) : 50.0;
            const auto [errors, law] = lawFor(std::max(1.0, dueWeeks));
            if (errors.empty()) {
                outOffset = law.below(-limit) + 1.0 - law.below(limit);
            } else {
                const double centre = state.offset.centre(sinceOffset + dueWeeks);
                for (const double e : errors)
                    outOffset += std::abs(centre + e) > limit ? 1.0 / static_cast<double>(errors.size()) : 0.0;
            }
        }
    }
    if (ph && model.fleet.readTooSoon) {
        bool anyResponse = false;
        for (const SeriesVisit& v : series.visits)
            anyResponse = anyResponse || (v.t90_s && v.when <= book.now);
        for (const double weeks : request.weeks) {
            SensorForecast f;
            f.quantity = Quantity::Response;
            f.at = addDays(book.now, weeks * kDayWeeks);
            f.weeks = weeks;
            if (!dead.empty())
                f.abstained = dead;
            else if (!anyResponse)
                f.abstained = "no response time was ever recorded for it";
            else if (weeks > state.level.horizonLimit() + 1e-9)
                f.abstained = fmt::format("beyond {:.0f} weeks, the longest that is forecast here", state.level.horizonLimit());
            else {
                const Mixture law = lnResponseLaw(state.level, lag + weeks);
                for (std::size_t i = 0; i < kLevels.size(); ++i)
                    f.q[i] = fixedExp(law.quantile(kLevels[i]));
            }
            out.forecasts.push_back(f);
        }
    }
    if (due && series.inService && (out.abstained.empty() || !ph)) {
        out.nextDue = due;
        double sudden = 1.0;
        if (const auto it = book.sudden.find(series.application); it != book.sudden.end())
            sudden = fixedExp(-it->second.perWeek * dueWeeks);
        out.outBeforeNext = 1.0 - (1.0 - std::clamp(outLevel, 0.0, 1.0)) * (1.0 - std::clamp(outOffset, 0.0, 1.0)) * sudden;
    }
    for (const SensorForecast& f : out.forecasts)
        if (f.quantity == Quantity::Efficiency && f.abstained.empty()) {
            out.sentence =
                fmt::format("{}80 % sure that a calibration on {} reads {:.1f} to {:.1f} %{}", out.groupOnly ? "of its group: " : "",
                            dateOf(f.at), f.q[1], f.q[5], series.knownStart ? "" : " (install date unknown)");
            break;
        }
    if (request.working && ph)
        addWorking(book, series, state, group, groupIndex, out);
    return out;
}

}  // namespace halfcell::core::outlook
