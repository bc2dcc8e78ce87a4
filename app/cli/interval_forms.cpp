#include "app/cli/interval_forms.h"

#include "app/cli/text_forms.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ostream>
#include <string>

namespace halfcell::app {

using namespace core;

namespace {

double roundedDays(double weeks)
{
    return std::round(weeks * 7.0 * 10.0) / 10.0;
}

std::string groupWords(const BookProposal& p)
{
    std::string words = p.application.empty() ? std::string("any other use") : p.application;
    std::ranges::replace(words, '_', ' ');
    if (!p.design.empty()) {
        std::string design = p.design;
        std::ranges::replace(design, '_', ' ');
        words += ", " + design;
    }
    return words;
}

}  // namespace

nlohmann::ordered_json intervalsJson(std::span<const BookProposal> proposals)
{
    using Json = nlohmann::ordered_json;
    Json list = Json::array();
    for (const BookProposal& p : proposals) {
        Json evidence = Json::array();
        for (const IntervalCount& c : p.proposal.evidence)
            evidence.push_back(
                {{"weeks", c.weeks}, {"in", std::round(c.in * 1000.0) / 1000.0}, {"out", std::round(c.out * 1000.0) / 1000.0}});
        const auto& fit = p.proposal.fit;
        list.push_back({{"task", "calibrate"},
                        {"application", p.application.empty() ? Json() : Json(p.application)},
                        {"design", p.design.empty() ? Json() : Json(p.design)},
                        {"loop_class", p.loopClass},
                        {"sensors", p.sensors},
                        {"results", p.results},
                        {"left_out", p.leftOut},
                        {"without_as_found", p.withoutFound},
                        {"target", p.target},
                        {"current_days", p.current_days},
                        {"proposed_days", p.proposed_days},
                        {"way", proposalWayKey(p.proposal.way)},
                        {"legal_days", p.legal_days ? Json(*p.legal_days) : Json()},
                        {"lower_days", fit ? Json(roundedDays(fit->lower)) : Json()},
                        {"upper_days", fit && fit->upper ? Json(roundedDays(*fit->upper)) : Json()},
                        {"why", p.proposal.why},
                        {"source", p.source},
                        {"evidence", std::move(evidence)}});
    }
    Json answer;
    answer["intervals"] = std::move(list);
    const std::string rules = ruleTextOf(proposals);
    answer["interval_rules"] = rules.empty() ? Json() : Json(rules);
    return answer;
}

void writeIntervals(std::ostream& out, std::span<const BookProposal> proposals)
{
    if (proposals.empty())
        return;
    out << "\nHow often to calibrate, by what was found (proposals; nothing changes until a rule set that says so is adopted)\n";
    std::size_t stay = 0, few = 0;
    for (const BookProposal& p : proposals) {
        if (p.proposed_days == p.current_days) {
            ++(p.proposal.way == ProposalWay::Abstain ? few : stay);
            continue;
        }
        double in = 0.0, sum = 0.0;
        for (const IntervalCount& c : p.proposal.evidence) {
            in += c.in;
            sum += c.in + c.out;
        }
        writeWrapped(out,
                     fmt::format("{}: {:.0f} -> {:.0f} days. {:.0f} of {:.0f} as-found results in tolerance; {}.", groupWords(p),
                                 p.current_days, p.proposed_days, in, sum, p.proposal.why),
                     2, 4);
    }
    out << fmt::format("  {} stay as they are, {} have too few results.\n", stay, few);
    if (const std::string rules = ruleTextOf(proposals); !rules.empty())
        out << "  To adopt what you approve, put its lines into a rule set (then `rules trial FILE`, `rules adopt FILE`):\n\n" << rules;
}

}  // namespace halfcell::app
