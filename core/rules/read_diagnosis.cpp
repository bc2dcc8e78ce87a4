#include "core/diagnosis/tables.h"
#include "core/rules/rule_set_data.h"
#include "core/rules/toml_read.h"

#include <algorithm>

/// The rule data of the diagnosis: causes, likelihoods, priors, round and cures.
namespace halfcell::core {

namespace {

using diagnosis::AdviceTables;
using diagnosis::Cause;
using diagnosis::Cure;
using diagnosis::Duty;
using diagnosis::DutyFactors;
using diagnosis::Network;
using diagnosis::Observable;
using diagnosis::PriorTables;
using diagnosis::RoundTables;

std::vector<double> numbersIn(RuleReader& read, const Place& in, std::string_view key, bool required)
{
    std::vector<double> list;
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node) {
        if (required && in)
            read.fail(in.at(key), fmt::format("\"{}\" is missing", key), fmt::format("add {} = [ ... ]", key));
        return list;
    }
    const auto* array = node->as_array();
    for (std::size_t i = 0; array && i < array->size(); ++i) {
        const auto value = (*array)[i].value<double>();
        if (!value) {
            array = nullptr;
            break;
        }
        list.push_back(*value);
    }
    if (!array)
        read.fail(in.at(key), "a list of numbers is expected here", fmt::format("write {} = [1, 2, 3]", key));
    return list;
}

void readCauses(RuleReader& read, const Place& in, const char* which, Network& network)
{
    for (const auto& at : read.tables(in, which)) {
        read.only(at, {"key", "words", "code", "weight", "shared", "severity"});
        Cause c;
        c.key = read.text(at, "key", true);
        c.words = read.text(at, "words", true);
        c.code = read.word<FindingCode>(at, "code", false);
        c.shared = read.truth(at, "shared", false);
        c.weight = read.number(at, "weight", !c.shared);
        c.severity = read.number(at, "severity", true);
        if (network.cause(c.key))
            read.fail(at.path, fmt::format("the cause {} stands here twice", c.key), "take one out");
        network.causes.push_back(std::move(c));
    }
    if (!read.failed() && !network.cause("healthy"))
        read.fail(in.at(which), "the cause \"healthy\" is missing", "add it");
}

void readObservables(RuleReader& read, const Place& root, const char* which, Network& network)
{
    const auto all = read.table(root, which, true);
    if (!all)
        return;
    for (const auto& [key, node] : *all.table) {
        const auto at = read.table(all, key.str(), true);
        if (!at || read.failed())
            return;
        read.only(at, {"words", "unit", "group", "bands", "edges", "edge_belongs", "test", "percent"});
        Observable o;
        o.key = std::string(key.str());
        o.words = read.text(at, "words", true);
        o.unit = read.text(at, "unit", false);
        o.group = read.text(at, "group", false);
        o.bands = read.words(at, "bands");
        o.edges = numbersIn(read, at, "edges", false);
        const auto belongs = read.text(at, "edge_belongs", false, "above");
        if (belongs != "above" && belongs != "below")
            read.fail(at.at("edge_belongs"), fmt::format("\"{}\" is not above or below", belongs), "write above or below");
        o.edgeBelow = belongs == "below";
        if (const auto test = read.table(at, "test", false)) {
            read.only(test, {"key", "minutes", "splits"});
            o.test = Observable::Test{read.text(test, "key", true), read.number(test, "minutes", true), read.text(test, "splits", true)};
        }
        const auto percent = read.table(at, "percent", true);
        if (!percent)
            return;
        for (const auto& [cause, line] : *percent.table)
            if (!network.cause(cause.str()))
                read.fail(percent.at(cause.str()), fmt::format("\"{}\" is no cause", std::string(cause.str())),
                          "use a key of [diagnosis.causes]");
        for (const auto& cause : network.causes) {
            auto line = numbersIn(read, percent, cause.key, true);
            for (double& p : line)
                p /= 100.0;
            o.likelihood.push_back(std::move(line));
        }
        network.observables.push_back(std::move(o));
    }
}

void readCures(RuleReader& read, const Place& in, const char* which, const Network& network, AdviceTables& advice)
{
    for (const auto& at : read.tables(in, which)) {
        read.only(at, {"key", "words", "actions", "verdict", "minutes", "parts", "at_sensor_price", "cures"});
        Cure c;
        c.key = read.text(at, "key", true);
        c.words = read.text(at, "words", true);
        const auto actions = read.words(at, "actions");
        read.checkWords<ActionKey>(actions, at.at("actions"));
        for (const auto& word : actions)
            if (const auto action = findKey<ActionKey>(word))
                c.actions.push_back(*action);
        c.verdict = read.word<Verdict>(at, "verdict", true).value_or(Verdict::Recheck);
        c.minutes = read.number(at, "minutes", true);
        c.atSensorPrice = read.truth(at, "at_sensor_price", false);
        c.parts = read.number(at, "parts", !c.atSensorPrice);
        c.cures.assign(network.causes.size(), 0.0);
        if (const auto list = read.table(at, "cures", true))
            for (const auto& [cause, node] : *list.table) {
                const auto m = network.cause(cause.str());
                if (!m) {
                    read.fail(list.at(cause.str()), fmt::format("\"{}\" is no cause", std::string(cause.str())),
                              "use a key of [diagnosis.causes]");
                    return;
                }
                c.cures[*m] = read.number(list, cause.str(), true);
            }
        advice.cures.push_back(std::move(c));
    }
}

void readPrior(RuleReader& read, const Place& in, PriorTables& prior)
{
    prior.complaintFactor = read.number(in, "complaint_factor", true);
    prior.refillableFactor = read.number(in, "refillable_factor", true);
    prior.etchingFactor = read.number(in, "etching_factor", true);
    prior.mildGlass = read.number(in, "mild_glass", true);
    prior.mildGlassFactor = read.number(in, "mild_glass_factor", true);
    prior.confirmedWeight = read.number(in, "confirmed_weight", true);
    prior.unknownAgeShare = read.number(in, "unknown_age_share", true);
    prior.cleanedFactor = read.number(in, "cleaned_factor", true);
    prior.soakedFactor = read.number(in, "soaked_factor", true);
    prior.wrongMetalFactor = read.number(in, "wrong_metal_factor", false, prior.wrongMetalFactor);
    const auto duties = read.table(in, "duty", true);
    for (const auto& [key, node] : *(duties ? duties.table : in.table)) {
        const auto at = read.table(duties, key.str(), true);
        if (!at || read.failed())
            return;
        read.only(at, {"film", "clog", "chloride", "poison_months", "breakage", "glass", "clean_weeks", "life_months", "etches"});
        Duty d;
        d.film = read.number(at, "film", true);
        d.clog = read.number(at, "clog", true);
        d.chloride = read.number(at, "chloride", true);
        if (at.table->contains("poison_months"))
            d.poisonMonths = read.number(at, "poison_months", true);
        d.breakage = read.number(at, "breakage", true);
        d.glass = read.number(at, "glass", true);
        d.cleanWeeks = read.number(at, "clean_weeks", true);
        d.lifeMonths = read.number(at, "life_months", true);
        d.etches = read.truth(at, "etches", false);
        prior.duties.emplace(std::string(key.str()), d);
    }
    const auto designs = read.table(in, "design", true);
    for (const auto& [key, node] : *(designs ? designs.table : in.table)) {
        const auto at = read.table(designs, key.str(), true);
        if (!at || read.failed())
            return;
        const std::string word(key.str());
        if (!findKey<ReferenceDesign>(word) && !findKey<Sensing>(word))
            read.fail(at.path, fmt::format("\"{}\" is no design", word), "use a key of models.csv");
        read.only(at, {"film", "clog", "chloride", "poison", "breakage", "glass"});
        prior.designs.emplace(word, DutyFactors{read.number(at, "film", false, 1.0), read.number(at, "clog", false, 1.0),
                                                read.number(at, "chloride", false, 1.0), read.number(at, "poison", false, 1.0),
                                                read.number(at, "breakage", false, 1.0), read.number(at, "glass", false, 1.0)});
    }
}

void readRound(RuleReader& read, const Place& in, RoundTables& round)
{
    const auto at = read.table(in, "round", true);
    if (!at)
        return;
    read.only(at, {"prior", "own", "fault", "gross", "temper", "prompt_above", "alike_errors", "alike_least", "alike_share", "carry_over",
                   "wrong_standard", "stale_standard", "temperature_ignored"});
    if (const auto prior = read.table(at, "prior", true)) {
        read.only(prior, {"none", "wrong_standard", "stale_standard", "temperature_ignored"});
        round.prior = {read.number(prior, "none", true), read.number(prior, "wrong_standard", true),
                       read.number(prior, "stale_standard", true), read.number(prior, "temperature_ignored", true)};
    }
    if (const auto own = read.table(at, "own", true)) {
        round.share = read.number(own, "share", true);
        round.sd_pct = read.number(own, "spread_pct", true);
        round.sd_mv = read.number(own, "spread_mv", true);
        round.sdLegs_pct = read.number(own, "spread_legs_pct", false, round.sdLegs_pct);
    }
    if (const auto fault = read.table(at, "fault", true)) {
        round.ownShare = read.number(fault, "share", true);
        round.own_pct = read.number(fault, "at_pct", true);
        round.ownSd_pct = read.number(fault, "spread_pct", true);
        round.ownSd_mv = read.number(fault, "spread_mv", true);
        round.ownSdLegs_pct = read.number(fault, "spread_legs_pct", false, round.ownSdLegs_pct);
    }
    if (const auto gross = read.table(at, "gross", true)) {
        round.grossShare = read.number(gross, "share", true);
        round.gross_pct = read.number(gross, "at_pct", true);
        round.grossSd_pct = read.number(gross, "spread_pct", true);
        round.grossSd_mv = read.number(gross, "spread_mv", true);
        round.grossSdLegs_pct = read.number(gross, "spread_legs_pct", false, round.grossSdLegs_pct);
    }
    round.temper = read.number(at, "temper", true);
    round.promptAbove = read.number(at, "prompt_above", true);
    round.alikeSe = read.number(at, "alike_errors", true);
    const double least = read.number(at, "alike_least", true);
    if (!read.failed() && !(least >= 2.0 && least <= 1000.0))
        read.fail(at.at("alike_least"), "alike needs two sensors or more", "give a whole number from 2");
    round.alikeLeast = static_cast<std::size_t>(std::clamp(least, 2.0, 1000.0));
    round.alikeShare = read.number(at, "alike_share", true);
    if (const auto carry = read.table(at, "carry_over", false)) {
        read.only(carry, {"chance", "pct", "least", "words"});
        round.carryPrior = read.number(carry, "chance", true);
        round.carryPct = numbersIn(read, carry, "pct", true);
        round.carryLeast = static_cast<std::size_t>(std::clamp(read.number(carry, "least", true), 0.0, 1000.0));
        round.carryWords = read.text(carry, "words", true);
    }
    const char* names[] = {"wrong_standard", "stale_standard", "temperature_ignored"};
    for (std::size_t c = 0; c < round.shifts.size(); ++c)
        for (const auto& shift : read.tables(at, names[c])) {
            read.only(shift, {"pct", "mv", "words"});
            round.shifts[c].push_back({read.number(shift, "pct", true), read.number(shift, "mv", true), read.text(shift, "words", true)});
        }
}

}  // namespace

void readDiagnosis(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    // A set stored before there was a diagnosis has no tables for it; it takes the shipped ones.
    if (!root.table->contains("diagnosis") && !root.table->contains("observable") && !root.table->contains("orp_observable"))
        return;
    const auto at = read.table(root, "diagnosis", true);
    if (!at)
        return;
    read.only(at, {"shared_weight",
                   "exponent",
                   "fold_below",
                   "abstain_below",
                   "complaint_factor",
                   "refillable_factor",
                   "etching_factor",
                   "mild_glass",
                   "mild_glass_factor",
                   "confirmed_weight",
                   "unknown_age_share",
                   "cleaned_factor",
                   "soaked_factor",
                   "wrong_metal_factor",
                   "causes",
                   "duty",
                   "design",
                   "round",
                   "cure",
                   "orp_cure"});
    auto tables = std::make_shared<diagnosis::Tables>();
    const auto causes = read.table(at, "causes", true);
    if (!causes)
        return;
    read.only(causes, {"ph", "orp"});
    readCauses(read, causes, "ph", tables->ph.network);
    readCauses(read, causes, "orp", tables->orp.network);
    if (!read.failed())
        readObservables(read, root, "observable", tables->ph.network);
    if (!read.failed())
        readObservables(read, root, "orp_observable", tables->orp.network);
    for (auto* kind : {&tables->ph, &tables->orp}) {
        kind->network.sharing = read.number(at, "shared_weight", true);
        kind->network.exponent = read.number(at, "exponent", true);
        kind->advice.foldBelow = read.number(at, "fold_below", true);
        kind->advice.abstainBelow = read.number(at, "abstain_below", true);
    }
    if (!read.failed())
        readCures(read, at, "cure", tables->ph.network, tables->ph.advice);
    if (!read.failed())
        readCures(read, at, "orp_cure", tables->orp.network, tables->orp.advice);
    if (!read.failed())
        readPrior(read, at, tables->prior);
    if (!read.failed())
        readRound(read, at, tables->round);
    if (read.failed())
        return;
    if (const auto holds = diagnosis::consistent(*tables); !holds) {
        read.fail(holds.error().field, holds.error().detail, holds.error().remedy);
        return;
    }
    data.diagnosisTables = std::move(tables);
}

}  // namespace halfcell::core
