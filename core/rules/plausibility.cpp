#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"
#include "core/rules/judging.h"
#include "core/rules/plausibility_orp.h"

#include <algorithm>
#include <cmath>
#include <iterator>

/// Odd readings, named as questions and never corrected. The same tests serve the bench while a visit is typed, `log`, import,
/// and the findings of a visit that was kept as it is.
namespace halfcell::core {

namespace judging {

namespace {

/// Standards that are taken for each other: nearly the same number on the bottle.
constexpr std::pair<std::string_view, std::string_view> kConfusions[] = {
    {"ph7.00", "ph6.86"}, {"ph6.86", "ph7.00"}, {"ph10.01", "ph9.18"}, {"ph9.18", "ph10.01"}};

bool fits(const std::optional<Legs>& legs, double low, double high, const RuleSet& rules)
{
    return legs && legs->within(low, high) && std::fabs(legs->offset_mv) <= rules.number("diagnosis.swap_offset_mv").value;
}

}  // namespace

std::optional<std::pair<std::size_t, std::size_t>> exchangeThatFits(const std::vector<Dip>& dips, const RuleSet& rules)
{
    const double apart = rules.number("diagnosis.alike_apart_ph").value, low = rules.number("diagnosis.swap_low_pct").value,
                 high = rules.number("diagnosis.swap_high_pct").value;
    const auto entered = legsOf(dips, apart);
    if (!entered || entered->within(low, high))
        return std::nullopt;
    // A set that runs backwards about an offset no sensor has (reversed leads keep theirs) needs no such narrow band.
    const LimitProfile& general = rules.profile("default");
    const bool backwards = entered->overall_pct < 0.0 && std::fabs(entered->offset_mv) > rules.number("diagnosis.swap_offset_mv").value;
    std::optional<std::pair<std::size_t, std::size_t>> found;
    for (std::size_t i = 0; i < dips.size(); ++i)
        for (std::size_t j = i + 1; j < dips.size(); ++j) {
            if (dips[i].standard == dips[j].standard)
                continue;
            auto changed = dips;
            std::swap(changed[i].mv, changed[j].mv);
            const auto legs = legsOf(changed, apart);
            if (!fits(legs, low, high, rules) &&
                !(backwards && fits(legs, general.efficiency_use_pct.value, general.efficiency_high_warn_pct.value, rules)))
                continue;
            if (found)
                return std::nullopt;  // two explanations are none
            found = {i, j};
        }
    return found;
}

std::optional<std::size_t> signThatFits(const std::vector<Dip>& dips, const RuleSet& rules)
{
    constexpr double kLeastMv = 30.0;  // a sign is only missed where there is something to turn
    const double low = rules.profile("default").efficiency_use_pct.value;
    const double apart = rules.number("diagnosis.alike_apart_ph").value, high = rules.profile("default").efficiency_high_warn_pct.value;
    const auto entered = legsOf(dips, apart);
    if (!entered || entered->within(low, high))
        return std::nullopt;
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < dips.size(); ++i) {
        if (std::fabs(dips[i].mv) < kLeastMv)
            continue;
        auto changed = dips;
        changed[i].mv = -changed[i].mv;
        if (!fits(legsOf(changed, apart), low, high, rules))
            continue;
        if (found)
            return std::nullopt;
        found = i;
    }
    return found;
}

std::optional<OtherStandard> otherStandardThatFits(const std::vector<Dip>& dips, const Visit& visit, const StandardsBook& standards,
                                                   const RuleSet& rules)
{
    const double apart = rules.number("diagnosis.alike_apart_ph").value, low = rules.number("diagnosis.swap_low_pct").value,
                 high = rules.number("diagnosis.swap_high_pct").value;
    const auto entered = legsOf(dips, apart);
    if (!entered || entered->within(low, high))
        return std::nullopt;
    std::optional<OtherStandard> found;
    for (std::size_t i = 0; i < dips.size(); ++i) {
        const auto* reading = readingAt(&visit, dips[i].index);
        if (!reading || !dips[i].tempKnown)
            continue;
        for (const auto& [taken, meant] : kConfusions) {
            if (taken != dips[i].standard)
                continue;
            const auto value = standards.ph(meant, {}, Celsius(dips[i].temp_c));
            if (!value)
                continue;
            auto changed = dips;
            changed[i].standard = meant;
            changed[i].ph = value->value;
            changed[i].x = nernstSlopeUnchecked(dips[i].temp_c + 273.15) * (value->value - 7.0);
            const auto legs = legsOf(changed, apart);
            if (!fits(legs, low, high, rules))
                continue;
            if (found)
                return std::nullopt;
            found = OtherStandard{i, std::string(meant), *legs};
        }
    }
    return found;
}

}  // namespace judging

namespace {

using namespace judging;
using Kind = Question::Kind;

class Asking {
public:
    Asking(const Visit& visit, SensorKind kind, std::string_view fill, const PhaseFigures* last, const StandardsBook& standards,
           const RuleSet& rules, const LimitProfile& profile)
        : m_visit(visit), m_kind(kind), m_orp(standards, fill, last), m_last(last), m_standards(standards), m_rules(rules),
          m_profile(profile)
    {
    }

    std::vector<Question> all()
    {
        for (std::size_t i = 0; i < m_visit.readings.size(); ++i)
            single(i);
        for (const auto phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft})
            if (m_kind == SensorKind::Ph)
                together(phase);
            else if (m_kind == SensorKind::Orp)
                std::ranges::move(questionsTogetherOrp(m_visit, phase, m_orp, m_standards, m_profile.orp_offset_use_mv.value),
                                  std::back_inserter(m_questions));
        // Exchanged beakers explain both numbers: neither has lost a digit.
        std::erase_if(m_questions, [this](const Question& q) { return q.kind == Kind::DigitLost && exchanged(q.reading); });
        std::stable_sort(m_questions.begin(), m_questions.end(),
                         [](const Question& a, const Question& b) { return a.reading.value_or(SIZE_MAX) < b.reading.value_or(SIZE_MAX); });
        return std::move(m_questions);
    }

private:
    std::string words(const Reading& r) const
    {
        auto w = m_standards.words(r.standard);
        return w.empty() ? r.standard : w;
    }
    Question& ask(Kind kind, std::string text, std::optional<std::size_t> reading, std::optional<std::size_t> other = {})
    {
        m_questions.push_back({kind, std::move(text), reading, other, {}, {}});
        return m_questions.back();
    }
    double number(std::string_view key) const { return m_rules.number(key).value; }

    bool exchanged(std::optional<std::size_t> reading) const
    {
        return std::any_of(m_questions.begin(), m_questions.end(),
                           [&](const Question& q) { return q.kind == Kind::Swapped && (q.reading == reading || q.other == reading); });
    }

    /// What this reading should be by the last as left; nothing without one.
    std::optional<double> foreseen(const Reading& r) const
    {
        if (!m_last || !r.temp_degc.has_value())
            return std::nullopt;
        if (m_kind == SensorKind::Orp)
            return m_orp.asLastLeft(r);
        const Celsius t(*r.temp_degc);
        const auto lot = r.lot ? *r.lot : std::string();
        const auto value = m_standards.ph(r.standard, lot, t);
        if (!value || !m_last->offset_mv || !m_last->efficiency_pct)
            return std::nullopt;
        return *m_last->offset_mv - *m_last->efficiency_pct / 100.0 * nernstSlopeUnchecked(t.kelvin()) * (value->value - 7.0);
    }

    void single(std::size_t i)
    {
        const auto& r = m_visit.readings[i];
        const double farthest = m_kind == SensorKind::Ph ? number("diagnosis.open_mv") : 1500.0;
        if (r.mv && std::fabs(*r.mv) > farthest)
            ask(Kind::Impossible, fmt::format("{} in {}? No standard gives that. Digits, or an open lead.", mv(*r.mv), words(r)), i);
        if (r.temp_degc.has_value() && (*r.temp_degc < -5.0 || *r.temp_degc > 105.0))
            ask(Kind::Impossible,
                fmt::format("{} degC in {}? Water is not liquid there. Read the thermometer again.", formatNumber(*r.temp_degc), words(r)),
                i);
        if (r.mv && !r.temp_degc.has_value())
            ask(Kind::MissingTemperature,
                m_kind == SensorKind::Ph
                    ? fmt::format("{} has no temperature. The millivolts are kept; efficiency is not worked out without one.", words(r))
                    : fmt::format("{} has no temperature. The millivolts are kept; the expected value needs one.", words(r)),
                i);
        if (r.mv && r.wait_s.has_value()) {
            const auto t90 = m_last && m_last->t90_s ? m_last->t90_s : r.t90_s.value;
            const double least = std::max(m_profile.least_wait_s.value, t90 ? m_profile.wait_per_t90.value * *t90 : 0.0);
            if (*r.wait_s < least)
                ask(Kind::TooSoon,
                    fmt::format("{} was read after {} s; {} s is the least here. One t90 costs 10 % of the slope, two cost 1 %. Wait, or "
                                "keep it marked as "
                                "read too soon.",
                                words(r), formatNumber(*r.wait_s), formatFixed(least, 0)),
                    i);
        }
        if (const auto expected = foreseen(r); r.mv && expected)
            digits(i, *r.mv, *expected);
    }

    void digits(std::size_t i, double read, double expected)
    {
        constexpr double kWorthTelling = 50.0, kNear = 12.0;
        const auto& r = m_visit.readings[i];
        if (std::fabs(expected) < kWorthTelling || std::fabs(read - expected) < kWorthTelling ||
            std::signbit(read) != std::signbit(expected))
            return;
        std::optional<double> suggestion;
        for (const double candidate : {read * 10.0, read / 10.0})
            if (std::fabs(candidate - expected) <= kNear)
                suggestion = candidate;
        if (std::fabs(read) > std::fabs(expected) / 5.0 && !suggestion)
            return;
        auto& q = ask(Kind::DigitLost,
                      fmt::format("{} in {}, where the last time it would have been {}. A digit lost? Read it again.", mv(read), words(r),
                                  mv(std::round(expected))),
                      i);
        q.suggestion = suggestion;
    }

    void together(Phase phase)
    {
        const auto dips = dipsOf(m_visit, phase, m_standards);
        for (std::size_t a = 0; a < dips.size(); ++a)
            for (std::size_t b = a + 1; b < dips.size(); ++b)
                sameStandard(dips[a], dips[b]);
        const auto response = responseOf(dips, std::nullopt, m_rules, m_standards);
        const auto explained = explain(phase, dips, response);
        if (response.dead && !explained)
            ask(Kind::Alike,
                fmt::format("Both standards read alike ({} mV apart: {}). Broken glass, a short, a cap or film left on, a bubble, or not "
                            "waited: look, read "
                            "again after 3 minutes, check the wiring once. Only then is the sensor finished.",
                            fixed(response.apart_mv, 0), response.text),
                dips.back().index, dips.front().index);
        for (const auto& d : dips)
            if (!explained)
                sign(d, response);
        if (const auto legs = legsOf(dips, number("diagnosis.alike_apart_ph"));
            legs && !explained && legs->overall_pct > m_profile.efficiency_high_warn_pct.value)
            ask(Kind::TooGood,
                fmt::format("{} % is no very good sensor: bottle, thermometer or typing. Read {} again?", fixed(legs->overall_pct),
                            words(m_visit.readings[farthest(dips)])),
                farthest(dips));
        copied(phase, dips);
    }

    static std::size_t farthest(const std::vector<Dip>& dips)
    {
        return std::max_element(dips.begin(), dips.end(), [](const Dip& a, const Dip& b) { return std::fabs(a.x) < std::fabs(b.x); })
            ->index;
    }

    void sameStandard(const Dip& a, const Dip& b)
    {
        const auto &ra = m_visit.readings[a.index], &rb = m_visit.readings[b.index];
        if (a.standard == b.standard && std::fabs(a.mv - b.mv) > 60.0) {
            const auto &later = a.index > b.index ? a : b, &earlier = a.index > b.index ? b : a;
            auto& q = ask(Kind::MistakenStandard,
                          fmt::format("Both are {}, yet {} and {} are a pH or more apart. Is one of them another standard?", words(ra),
                                      mv(earlier.mv), mv(later.mv)),
                          later.index, earlier.index);
            q.suggestedStandard = nearestStandard(earlier, later);
        } else if (a.standard != b.standard && a.mv == b.mv && std::fabs(a.ph - b.ph) >= 1.0) {
            ask(Kind::Repeated,
                fmt::format("{} in {} and in {}: the same number twice. Typed once too often?", mv(a.mv), words(ra), words(rb)),
                std::max(a.index, b.index), std::min(a.index, b.index));
        }
    }

    /// The shipped standard whose pH would explain `later` if `earlier` is right and the sensor ideal.
    std::optional<std::string> nearestStandard(const Dip& earlier, const Dip& later) const
    {
        const double k = nernstSlopeUnchecked(later.temp_c + 273.15);
        const double ph = earlier.ph - (later.mv - earlier.mv) / k;
        std::optional<std::string> best;
        double nearest = 0.4;
        for (const auto& key : m_standards.keys()) {
            const auto nominal = m_standards.kindOf(key) == StandardKind::PhBuffer ? m_standards.nominalPh(key) : std::nullopt;
            if (nominal && key != later.standard && std::fabs(*nominal - ph) < nearest) {
                nearest = std::fabs(*nominal - ph);
                best = key;
            }
        }
        return best;
    }

    /// One change that explains the whole set: exchanged beakers, a lost sign, another bottle.
    bool explain(Phase, const std::vector<Dip>& dips, const Response& response)
    {
        const double apart = number("diagnosis.alike_apart_ph");
        if (const auto swap = exchangeThatFits(dips, m_rules)) {
            auto changed = dips;
            std::swap(changed[swap->first].mv, changed[swap->second].mv);
            ask(Kind::Swapped,
                fmt::format("{} and {} fit if the beakers changed places: {} %, not {} %.",
                            words(m_visit.readings[dips[swap->first].index]), words(m_visit.readings[dips[swap->second].index]),
                            fixed(legsOf(changed, apart)->overall_pct), fixed(response.pct)),
                std::max(dips[swap->first].index, dips[swap->second].index), std::min(dips[swap->first].index, dips[swap->second].index));
            return true;
        }
        if (const auto turned = signThatFits(dips, m_rules)) {
            const auto& d = dips[*turned];
            auto& q = ask(Kind::WrongSign, signText(d), d.index);
            q.suggestion = -d.mv;
            return true;
        }
        if (const auto other = otherStandardThatFits(dips, m_visit, m_standards, m_rules)) {
            const auto legs = legsOf(dips, apart);
            const double pct = legs->overall_pct;
            const bool jumped = m_last && m_last->efficiency_pct && m_last->offset_mv &&
                                std::fabs(*m_last->efficiency_pct - pct) >= number("diagnosis.efficiency_drop_pct") &&
                                std::fabs(other->legs.overall_pct - *m_last->efficiency_pct) <= number("diagnosis.reread_pct") &&
                                std::fabs(other->legs.offset_mv - *m_last->offset_mv) <= number("diagnosis.swap_near_mv");
            const bool gross = std::any_of(legs->pct.begin(), legs->pct.end(),
                                           [&](double p) { return p < 85.0 || p > m_profile.efficiency_high_warn_pct.value; });
            if (jumped || gross) {
                const auto& d = dips[other->dip];
                auto& q = ask(Kind::MistakenStandard,
                              fmt::format("{} would fit {} better than {}: {} %, not {} %. Read the label.", mv(d.mv),
                                          m_standards.words(other->standard), words(m_visit.readings[d.index]),
                                          fixed(other->legs.overall_pct), fixed(pct)),
                              d.index);
                q.suggestedStandard = other->standard;
                return true;
            }
        }
        return false;
    }

    std::string signText(const Dip& d) const
    {
        return fmt::format("{} in {}? {} standards read {}. Turn the sign, or read it again.", mv(d.mv), words(m_visit.readings[d.index]),
                           d.ph < 7.0 ? "Acid" : "Alkaline", d.ph < 7.0 ? "positive" : "negative");
    }

    void sign(const Dip& d, const Response& response)
    {
        constexpr double kFarFromNeutral = 1.0, kLeastShare = 0.5;
        if (std::fabs(d.ph - 7.0) < kFarFromNeutral || response.dead || std::fabs(d.mv) < kLeastShare * std::fabs(d.x))
            return;
        if (std::signbit(d.mv) != std::signbit(d.x))  // x is positive on the alkaline side, where readings are negative
            return;
        auto& q = ask(Kind::WrongSign, signText(d), d.index);
        q.suggestion = -d.mv;
    }

    void copied(Phase phase, const std::vector<Dip>& dips)
    {
        if (!m_last || dips.size() < 2 || m_last->used.size() != dips.size() || m_last->phase != phase)
            return;
        auto used = m_last->used;
        std::stable_sort(used.begin(), used.end(),
                         [](const UsedReading& a, const UsedReading& b) { return a.standardValue < b.standardValue; });
        for (std::size_t i = 0; i < dips.size(); ++i)
            if (!dips[i].tempKnown || used[i].standard != dips[i].standard || used[i].e_mv != dips[i].mv ||
                used[i].temp_c != dips[i].temp_c)
                return;
        ask(Kind::Copied, "The same millivolts and temperatures as the last time, to the digit. Read, or copied?", dips.front().index);
    }

    const Visit& m_visit;
    SensorKind m_kind;
    OrpExpectation m_orp;
    const PhaseFigures* m_last;
    const StandardsBook& m_standards;
    const RuleSet& m_rules;
    const LimitProfile& m_profile;
    std::vector<Question> m_questions;
};

}  // namespace

namespace {

constexpr std::string_view kKept = "kept: ";

}  // namespace

std::string keptNote(std::string_view question, std::string_view why)
{
    return fmt::format("{}{} ({})", kKept, question, why);
}

const PhaseFigures* stateToCompareWith(std::span<const VisitFigures> past)
{
    const PhaseFigures* last = nullptr;
    for (auto v = past.rbegin(); v != past.rend(); ++v) {
        const PhaseFigures* state = v->lastState();
        if (!state)
            continue;
        const bool odd = std::any_of(state->used.begin(), state->used.end(), [&](const UsedReading& used) {
            const Reading* r = v->visit ? readingAt(v->visit, used.index) : nullptr;
            return r && r->note && r->note->find(kKept) != std::string::npos;
        });
        if (!odd)
            return state;
        if (!last)
            last = state;
    }
    return last;
}

std::vector<Question> questionsAbout(const Visit& visit, SensorKind kind, std::string_view referenceFill, const PhaseFigures* last,
                                     const StandardsBook& standards, const RuleSet& rules, const LimitProfile& profile)
{
    return Asking(visit, kind, referenceFill, last, standards, rules, profile).all();
}

}  // namespace halfcell::core
