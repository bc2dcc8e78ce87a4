#include "core/rules/plausibility_orp.h"

#include "core/electrochemistry/reference_electrode.h"
#include "core/rules/judging.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::judging {
namespace {

struct RedoxDip {
    std::size_t index;
    double read, expected;
    [[nodiscard]] double off() const { return std::fabs(read - expected); }
    [[nodiscard]] double offTurned() const { return std::fabs(-read - expected); }
};

std::string wordsOf(const Reading& r, const StandardsBook& standards)
{
    auto w = standards.words(r.standard);
    return w.empty() ? r.standard : w;
}

}  // namespace

OrpExpectation::OrpExpectation(const StandardsBook& standards, std::string_view fill, const PhaseFigures* last)
    : m_standards(standards), m_fill(fill)
{
    if (!last)
        return;
    m_offset_mv = last->offset_mv;
    if (fill != kDifferentialFill)
        return;
    double sum = 0.0, n = 0.0;
    for (const UsedReading& used : last->used)
        if (const auto value = standards.redox(used.standard, {}, Celsius(used.temp_c))) {
            sum += value->value - used.e_mv;
            n += 1.0;
        }
    if (n > 0.0)
        m_ownReference_mv = sum / n;
}

std::optional<double> OrpExpectation::of(const Reading& reading) const
{
    if (!reading.temp_degc.has_value())
        return std::nullopt;
    const Celsius t(*reading.temp_degc);
    const std::string lot = reading.lot ? *reading.lot : std::string();
    if (m_ownReference_mv) {
        const auto value = m_standards.redox(reading.standard, lot, t);
        return value ? std::optional(value->value - *m_ownReference_mv) : std::nullopt;
    }
    const auto expected = expectedPotential(m_standards, reading.standard, lot, m_fill, t);
    return expected ? std::optional(expected->e.value()) : std::nullopt;
}

std::optional<double> OrpExpectation::asLastLeft(const Reading& reading) const
{
    const auto expected = of(reading);
    if (!expected || m_ownReference_mv)
        return expected;
    return m_offset_mv ? std::optional(*expected + *m_offset_mv) : std::nullopt;
}

std::vector<Question> questionsTogetherOrp(const Visit& visit, Phase phase, const OrpExpectation& expectation,
                                           const StandardsBook& standards, double near)
{
    std::vector<RedoxDip> read;
    for (std::size_t i = 0; i < visit.readings.size(); ++i) {
        const auto& r = visit.readings[i];
        if (r.phase != phase || !r.mv)
            continue;
        if (const auto expected = expectation.of(r))
            read.push_back({i, *r.mv, *expected});
    }
    for (std::size_t a = 0; a < read.size(); ++a)
        for (std::size_t b = a + 1; b < read.size(); ++b) {
            const RedoxDip &x = read[a], &y = read[b];
            const Reading &rx = visit.readings[x.index], &ry = visit.readings[y.index];
            if (rx.standard == ry.standard || x.off() <= near || y.off() <= near)
                continue;
            if (std::fabs(x.read - y.expected) > near || std::fabs(y.read - x.expected) > near)
                continue;
            return {{Question::Kind::Swapped,
                     fmt::format("{} and {} fit if the beakers changed places: {} and {} are expected.", wordsOf(rx, standards),
                                 wordsOf(ry, standards), mv(std::round(x.expected)), mv(std::round(y.expected))),
                     y.index,
                     x.index,
                     {},
                     {}}};
        }
    const auto turned = [near](const RedoxDip& e) { return std::fabs(e.read) > near && e.off() > 2.0 * near && e.offTurned() <= near; };
    std::vector<Question> questions;
    if (read.size() > 1 && std::all_of(read.begin(), read.end(), turned))
        return questions;
    for (const RedoxDip& e : read)
        if (turned(e))
            questions.push_back({Question::Kind::WrongSign,
                                 fmt::format("{} in {}, where {} is expected. A sign lost?", mv(e.read),
                                             wordsOf(visit.readings[e.index], standards), mv(std::round(e.expected))),
                                 e.index,
                                 {},
                                 -e.read,
                                 {}});
    return questions;
}

}  // namespace halfcell::core::judging
