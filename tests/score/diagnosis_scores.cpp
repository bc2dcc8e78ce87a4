#include "tests/score/diagnosis_scores.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace halfcell::score {

namespace {

using namespace core;

const std::set<std::string> kDangerous{"glass_broken", "short_circuit", "open_circuit", "leads_reversed", "wrong_standard"};

bool raised(const Assessment& a, const std::string& cause)
{
    return std::any_of(a.findings.begin(), a.findings.end(), [&](const Finding& f) { return keyOf(f.code) == cause; });
}

/// Points of a symptom for a cause: two, one, minus one (common practice, set by hand).
struct Points {
    const char* cause;
    int low, zero, negative, positive, slow, rgLow, rgHigh, rrefHigh, noisy, process, dilution, alike, dry;
};
constexpr Points kPoints[] = {{"glass_broken", 0, 2, 0, 0, -1, 2, -1, -1, -1, 0, 0, -1, 0},
                              {"glass_shunted", 2, 1, 0, 0, -1, 2, -1, 0, 0, 0, 0, 1, 0},
                              {"film", 1, -1, 1, 1, 2, 0, 1, 0, 0, 0, 1, 0, 0},
                              {"glass_aged", 1, -1, 0, 0, 1, 0, 2, 0, 0, 0, 0, 0, 0},
                              {"glass_etched", 2, 0, 0, 0, 1, 2, -1, 0, 0, 0, 0, 0, 0},
                              {"glass_dry", 1, 0, 1, 1, 2, 0, 2, 1, 1, 0, 0, 0, 2},
                              {"junction_clogged", 0, 0, 1, 1, 1, 0, 0, 2, 1, 2, 2, 0, 0},
                              {"junction_blocked", 0, 0, 0, 0, 1, 0, 0, 2, 2, 0, 1, 0, 1},
                              {"electrolyte_diluted", -1, 0, 2, -1, 0, 0, 0, 1, 0, 1, 0, 0, 0},
                              {"reference_poisoned", 0, 0, -1, 2, 1, 0, 0, 0, 0, 1, 0, 0, 0},
                              {"cell_contaminated", 1, 0, 1, 1, 0, 0, 0, -1, 0, 1, 0, 0, 0},
                              {"short_circuit", 0, 2, 0, 0, 0, 2, 0, 0, -1, 0, 0, 0, 0},
                              {"ground_loop", -1, 0, 0, 0, -1, 0, 0, 0, 1, 2, -1, 0, 0},
                              {"wrong_standard", 1, -1, 1, 1, -1, 0, 0, 0, 0, 0, 0, 2, 0},
                              {"stale_standard", 1, -1, 1, 1, -1, 0, 0, 0, 0, 0, 0, 2, 0},
                              {"temperature_ignored", 1, -1, 1, 1, -1, 0, 0, 0, 0, 0, 0, 2, 0},
                              {"read_too_soon", 1, 0, 0, 0, 2, 0, 0, 0, 0, 0, 0, 1, 0}};

}  // namespace

std::vector<std::string> plainScores(const DiagnosisReport& report, const Model& model)
{
    const auto band = [&](const char* key, std::size_t least, std::size_t most) {
        return std::any_of(report.seen.begin(), report.seen.end(),
                           [&](const SeenReading& s) { return s.key == key && s.band >= least && s.band <= most; });
    };
    const bool differential = model.reference && isDifferential(*model.reference);
    std::vector<std::pair<int, std::string>> scored;
    for (const auto& p : kPoints) {
        const std::string cause = p.cause;
        if (differential ? cause == "electrolyte_diluted" || cause == "junction_clogged" : cause == "cell_contaminated")
            continue;
        int sum = 0;
        sum += band("eff", 2, 3) ? p.low : 0;
        sum += band("eff", 1, 1) ? p.zero : 0;
        sum += band("off", 0, 0) ? p.negative : 0;
        sum += band("off", 2, 3) ? p.positive : 0;
        sum += band("t90", 1, 2) ? p.slow : 0;
        sum += band("rg", 0, 0) ? p.rgLow : 0;
        sum += band("rg", 2, 2) ? p.rgHigh : 0;
        sum += band("rref", 1, 2) ? p.rrefHigh : 0;
        sum += band("noise", 1, 1) ? p.noisy : 0;
        sum += band("grab", 1, 2) && band("eff", 4, 4) ? p.process : 0;
        sum += band("dil", 1, 1) ? p.dilution : 0;
        sum += !report.round.empty() ? p.alike : 0;
        sum += band("dry", 1, 2) ? p.dry : 0;
        scored.emplace_back(sum, cause);
    }
    std::stable_sort(scored.begin(), scored.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    constexpr int kThreshold = 2;  // our choice, set by hand
    std::vector<std::string> best;
    if (scored.front().first < kThreshold)
        best.push_back("healthy");
    for (std::size_t i = 0; best.size() < 3; ++i)
        best.push_back(scored[i].second);
    return best;
}

void Scores::add(const std::string& cause, const Assessment& a, const Model& model, const RuleSet& rules)
{
    ++n;
    const bool fault = cause != "healthy", danger = kDangerous.contains(cause);
    faults += fault ? 1 : 0;
    dangerous += danger ? 1 : 0;
    auto& row = byCause[cause];
    ++row[0];
    const DiagnosisReport none;
    const auto& d = a.diagnosis ? *a.diagnosis : none;
    for (const auto& s : d.seen)
        bandsOf[cause][s.key][s.band] += 1.0;
    double probability = 0.0;
    bool inThree = false, isFirst = false;
    for (std::size_t i = 0; i < d.causes.size(); ++i)
        if (d.causes[i].key == cause) {
            probability = d.causes[i].probability;
            isFirst = i == 0;
            inThree = i < 3;
        }
    if (!d.causes.empty()) {
        const double p = d.causes.front().probability;
        const auto bin = std::min(kBins - 1, static_cast<std::size_t>(p * kBins));
        said[bin] += p;
        cases[bin] += 1.0;
        hits[bin] += isFirst ? 1.0 : 0.0;
        if (!isFirst)
            ++confused[{cause, d.causes.front().key}];
    }
    first += isFirst ? 1 : 0;
    third += inThree ? 1 : 0;
    row[1] += isFirst ? 1 : 0;
    row[2] += inThree ? 1 : 0;
    faultFirst += fault && isFirst ? 1 : 0;
    faultThird += fault && inThree ? 1 : 0;
    if (danger) {
        const bool seen = inThree || probability >= 0.10;
        missedWithoutRules += seen ? 0 : 1;
        if (!seen && !raised(a, cause)) {
            ++missed;
            auto words = fmt::format("{} at {:.3f}:", cause, probability);
            for (std::size_t i = 0; i < std::min<std::size_t>(3, d.causes.size()); ++i)
                words += fmt::format(" {} {:.2f}", d.causes[i].key, d.causes[i].probability);
            for (const auto& s : d.seen)
                words += fmt::format(" | {} {}", s.key, s.words);
            for (const auto& f : a.findings)
                words += fmt::format(" ! {}", keyOf(f.code));
            missedCases.push_back(std::move(words));
        }
    }
    if ((cause == "glass_broken" || cause == "leads_reversed" || cause == "short_circuit") && a.figures && a.figures->efficiency_pct &&
        *a.figures->efficiency_pct < 25.0 && a.signal != Signal::Failure)
        ++deadMissed;
    const bool isShared = cause == "wrong_standard" || cause == "stale_standard" || cause == "temperature_ignored";
    shared += isShared ? 1 : 0;
    if (!d.round.empty()) {
        ++prompted;
        promptRight += isShared ? 1 : 0;
        sharedPrompted += isShared ? 1 : 0;
    }
    const auto offends = [&](ActionKey action) { return rules.allows(model, action).offer == DesignAllows::Offer::No; };
    bool offered = false;
    for (const auto& f : a.findings)
        offered = offered || (f.action && offends(*f.action));
    for (const auto action : a.actionOrder)
        offered = offered || offends(action);
    for (const auto& c : d.cures)
        offered = offered || (c.action && offends(*c.action));
    forbidden += offered ? 1 : 0;
    const auto plain = plainScores(d, model);
    plainFirst += plain[0] == cause ? 1 : 0;
    plainFaultFirst += fault && plain[0] == cause ? 1 : 0;
    const bool plainIn = std::find(plain.begin(), plain.end(), cause) != plain.end();
    plainThird += plainIn ? 1 : 0;
    plainMissed += danger && !plainIn ? 1 : 0;
}

void Scores::merge(const Scores& o)
{
    for (const auto member : {&Scores::n, &Scores::first, &Scores::third, &Scores::faults, &Scores::faultFirst, &Scores::faultThird,
                              &Scores::dangerous, &Scores::missed, &Scores::missedWithoutRules, &Scores::deadMissed, &Scores::forbidden,
                              &Scores::plainFirst, &Scores::plainThird, &Scores::plainMissed, &Scores::plainFaultFirst, &Scores::prompted,
                              &Scores::promptRight, &Scores::shared, &Scores::sharedPrompted})
        this->*member += o.*member;
    for (std::size_t i = 0; i < kBins; ++i) {
        said[i] += o.said[i];
        hits[i] += o.hits[i];
        cases[i] += o.cases[i];
    }
    missedCases.insert(missedCases.end(), o.missedCases.begin(), o.missedCases.end());
    for (const auto& [key, count] : o.confused)
        confused[key] += count;
    for (const auto& [key, row] : o.byCause)
        for (std::size_t i = 0; i < 3; ++i)
            byCause[key][i] += row[i];
    for (const auto& [cause, observables] : o.bandsOf)
        for (const auto& [key, counts] : observables)
            for (std::size_t i = 0; i < counts.size(); ++i)
                bandsOf[cause][key][i] += counts[i];
}

double Scores::calibrationError() const
{
    double sum = 0.0, all = 0.0;
    for (std::size_t i = 0; i < kBins; ++i) {
        sum += std::fabs(said[i] - hits[i]);
        all += cases[i];
    }
    return all > 0.0 ? sum / all : 0.0;
}

std::string Scores::line() const
{
    return fmt::format(
        "top-1 {:.3f}, top-3 {:.3f}, among faults {:.3f} / {:.3f} ({:.0f} % healthy); dangerous misses {} of {} ({:.1f} %, {} "
        "without the rules); calibration error {:.3f}; weighted scores {:.3f} / {:.3f}, misses {}",
        top1(), top3(), share(faultFirst, faults), share(faultThird, faults), 100.0 * share(n - faults, n), missed, dangerous,
        100.0 * missShare(), missedWithoutRules, calibrationError(), plainTop1(), share(plainThird, n), plainMissed);
}

std::string Scores::report(bool why) const
{
    auto text = fmt::format("shared-cause prompt: {:.1f} % of sensors, caught {:.0f} % of those affected, right {:.0f} % of the time\n",
                            100.0 * share(prompted, n), 100.0 * share(sharedPrompted, shared), 100.0 * share(promptRight, prompted));
    text += "said / true of the first cause:";
    for (std::size_t i = 0; i < kBins; ++i)
        if (cases[i] > 0.0)
            text += fmt::format(" {:.2f}/{:.2f}", said[i] / cases[i], hits[i] / cases[i]);
    text += '\n';
    for (const auto& [cause, row] : byCause)
        text +=
            fmt::format("  {:20} {:6}  first {:.2f}  among three {:.2f}\n", cause, row[0], share(row[1], row[0]), share(row[2], row[0]));
    if (why) {
        for (const auto& words : missedCases)
            text += fmt::format("missed {}\n", words);
        std::vector<std::pair<std::size_t, std::string>> worst;
        for (const auto& [key, count] : confused)
            worst.emplace_back(count, key.first + " taken for " + key.second);
        std::sort(worst.rbegin(), worst.rend());
        for (std::size_t i = 0; i < std::min<std::size_t>(40, worst.size()); ++i)
            text += fmt::format("  {:6} {}\n", worst[i].first, worst[i].second);
        for (const auto& [cause, observables] : bandsOf)
            for (const auto& [key, counts] : observables) {
                double sum = 0.0;
                for (const double c : counts)
                    sum += c;
                text += fmt::format("bands {} {}", key, cause);
                for (const double c : counts)
                    text += fmt::format(" {:.1f}", 100.0 * c / sum);
                text += fmt::format(" of {:.0f}\n", sum);
            }
    }
    return text;
}

}  // namespace halfcell::score
