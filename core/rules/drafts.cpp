#include "core/rules/judging.h"

#include <algorithm>

/// Findings in the making: one per code, with what speaks for and against it.
namespace halfcell::core::judging {

Draft& Findings::add(FindingCode code, int weight, bool drives, Verdict verdict, std::vector<ActionKey> cures)
{
    std::erase_if(cures, [&](ActionKey a) { return !m_case.allowed(a); });
    if (auto* there = find(code)) {
        if (weight > there->weight || (drives && !there->drives)) {
            there->verdict = verdict;
            there->cures = std::move(cures);
        }
        there->weight = std::max(there->weight, weight);
        there->drives = there->drives || drives;
        return *there;
    }
    Draft d;
    d.finding.code = code;
    d.finding.title = wordsOf(code);
    d.drives = drives;
    d.weight = weight;
    d.verdict = verdict;
    d.cures = std::move(cures);
    m_drafts.push_back(std::move(d));
    return m_drafts.back();
}

bool Findings::has(FindingCode code) const
{
    return std::any_of(m_drafts.begin(), m_drafts.end(), [&](const Draft& d) { return d.finding.code == code; });
}

Draft* Findings::find(FindingCode code)
{
    for (auto& d : m_drafts)
        if (d.finding.code == code)
            return &d;
    return nullptr;
}

namespace {
void say(Draft& d, Because::Side side, std::string text)
{
    const Because b{side, std::move(text)};
    if (std::find(d.finding.because.begin(), d.finding.because.end(), b) == d.finding.because.end())
        d.finding.because.push_back(b);
}
}  // namespace

void speaksFor(Draft& d, std::string text)
{
    say(d, Because::Side::For, std::move(text));
}
void speaksAgainst(Draft& d, std::string text)
{
    say(d, Because::Side::Against, std::move(text));
}
void notMeasured(Draft& d, std::string text)
{
    say(d, Because::Side::NotMeasured, std::move(text));
}
void notPossible(Draft& d, std::string text)
{
    say(d, Because::Side::NotPossible, std::move(text));
}

}  // namespace halfcell::core::judging
