#include "core/review/review_parts.h"

#include "core/upkeep/risk.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::review {
namespace {

/// Lower edges of A, B, C in per cent.
constexpr std::array<double, 3> kEdges{95.0, 90.0, 85.0};

void certainly(StateNow& state, WearClass c)
{
    state.chance.fill(0.0);
    state.chance[static_cast<std::size_t>(c)] = 1.0;
}

void classesOf(StateNow& state, double pct, double u)
{
    double above = 0.0;  // chance of lying above the edge before
    for (std::size_t i = 0; i < kEdges.size(); ++i) {
        const double over = u > 0.0 ? 1.0 - normalCdf((kEdges[i] - pct) / u) : (pct >= kEdges[i] ? 1.0 : 0.0);
        state.chance[i] = over - above;
        above = over;
    }
    state.chance[3] = 1.0 - above;
}

WearClass classOfOffset(double offset, double maintenance, double use)
{
    // Half the limit is as good as new, the limit itself the end of B; beyond what may be used it is out (our choice).
    const double size = std::abs(offset);
    if (size <= 0.5 * maintenance)
        return WearClass::A;
    if (size <= maintenance)
        return WearClass::B;
    return std::isfinite(use) && size <= use ? WearClass::C : WearClass::D;
}

}  // namespace

WearClass StateNow::likeliest() const
{
    return static_cast<WearClass>(std::ranges::max_element(chance) - chance.begin());
}

StateNow stateNow(const CaseInput& in)
{
    StateNow state;
    const Assessment& a = in.assessment;
    if (!a.figures || !a.measured) {
        state.unknown = "never measured";
        return state;
    }
    if (a.signal == Signal::Failure) {
        certainly(state, WearClass::X);
        return state;
    }
    const PhaseFigures& f = *a.figures;
    const LimitProfile& limits = in.rules.profileFor(in.history.model, in.standing.point);
    if (in.kind == SensorKind::Orp) {
        if (!f.offset_mv) {
            state.unknown = "no offset in the last visit";
            return state;
        }
        WearClass c = classOfOffset(*f.offset_mv, limits.orp_offset_maintenance_mv.value, limits.orp_offset_use_mv.value);
        if (f.span_pct) {
            const double span = *f.span_pct;
            const WearClass bySpan = span >= 95.0                                    ? WearClass::A
                                     : span >= limits.orp_span_maintenance_pct.value ? WearClass::B
                                     : span >= limits.orp_span_use_pct.value         ? WearClass::C
                                                                                     : WearClass::D;
            c = std::max(c, bySpan);
        }
        certainly(state, c);
        return state;
    }
    if (!f.efficiency_pct) {
        state.unknown = "no efficiency in the last visit";
        return state;
    }
    if (*f.efficiency_pct > limits.efficiency_high_warn_pct.value) {
        state.unknown = "the last efficiency is too high to be true: check standards and temperature first";
        return state;
    }
    const bool outOfLimits = (f.offset_mv && std::abs(*f.offset_mv) > limits.offset_maintenance_mv.value) ||
                             (f.t90_s && *f.t90_s > limits.t90_maintenance_s.value);
    if (outOfLimits)
        certainly(state, WearClass::D);
    else
        classesOf(state, *f.efficiency_pct, f.u_efficiency_pct.value_or(0.0));
    return state;
}

namespace {

/// Chance that the action of the verdict cures what was found first (our choice, the middle of common practice).
double cureChance(Verdict verdict, FindingCode code)
{
    using enum FindingCode;
    const auto oneOf = [code](std::initializer_list<FindingCode> codes) { return std::ranges::find(codes, code) != codes.end(); };
    switch (verdict) {
    case Verdict::Clean:
        if (oneOf({FilmScale, FilmGrease, FilmProtein, Biofilm, MetalFilmed}))
            return 0.9;
        return code == JunctionClogged ? 0.65 : 0.5;
    case Verdict::Condition:
    case Verdict::Rehydrate: return code == GlassDry ? 0.75 : oneOf({JunctionBlocked, JunctionClogged}) ? 0.35 : 0.5;
    case Verdict::RefillReference:
        if (code == ElectrolyteDiluted)
            return 0.95;
        return code == CellContaminated ? 0.85 : code == JunctionBlocked ? 0.7 : code == ReferencePoisoned ? 0.35 : 0.5;
    case Verdict::ReplaceBridge:
        return code == BridgeExhausted ? 0.95 : code == CellContaminated ? 0.9 : code == JunctionBlocked ? 0.6 : 0.5;
    case Verdict::RegenerateGlass: return 0.35;
    default: return 0.0;
    }
}

}  // namespace

std::optional<Cure> cureNow(const CaseInput& in, const StateNow& state)
{
    const Assessment& a = in.assessment;
    const FindingCode code = a.findings.empty() ? FindingCode::Healthy : a.findings.front().code;
    Cure cure;
    cure.chance = cureChance(a.verdict, code);
    if (cure.chance <= 0.0 || !state.unknown.empty() || !a.figures || state.likeliest() == WearClass::X)
        return std::nullopt;
    StateNow clean;
    if (in.kind == SensorKind::Orp) {
        // A cured redox sensor is good, seldom as new (our choice).
        certainly(clean, WearClass::B);
    } else if (a.phase == Phase::AsFound && in.trend) {
        const TrendForecast now = in.trend->at(static_cast<double>(in.plant.asOf().utcSeconds) / 86400.0);
        classesOf(clean, std::max(now.mean, a.figures->efficiency_pct.value_or(now.mean)), now.sd);
    } else if (a.figures->efficiency_pct) {
        double efficiency = *a.figures->efficiency_pct;
        if (a.phase == Phase::AsFound)
            for (const VisitFigures& visit : in.figures)
                for (const Phase phase : {Phase::AfterClean, Phase::AsLeft})
                    if (const PhaseFigures* f = visit.phase(phase); f && f->efficiency_pct && visit.when < *a.measured)
                        efficiency = std::max(*f->efficiency_pct, *a.figures->efficiency_pct);
        classesOf(clean, efficiency, a.figures->u_efficiency_pct.value_or(0.0));
    } else {
        return std::nullopt;
    }
    for (std::size_t c = 0; c < kWearClasses; ++c)
        cure.serviced[c] = cure.chance * clean.chance[c] + (1.0 - cure.chance) * state.chance[c];
    cure.words = std::string(wordsOf(a.verdict)) + (a.findings.empty() ? std::string() : ": " + a.findings.front().title);
    return cure;
}

bool suits(const Model& other, const Model& own, const Point* point)
{
    if (other.kind != own.kind || !other.sensing || !own.sensing)
        return false;
    const auto hazard = [&](std::string_view word) { return point && std::ranges::find(point->hazards, word) != point->hazards.end(); };
    const Sensing to = *other.sensing, from = *own.sensing;
    if (own.kind == SensorKind::Orp)
        return hazard("cyanide") ? to == Sensing::Gold : to == from || to == Sensing::Platinum;
    if (hazard("fluoride"))
        return to == Sensing::HfResistant || to == Sensing::Antimony;
    const bool plainGlass = to == Sensing::Bulb || to == Sensing::Flat || to == Sensing::Hardened;
    return to == from || (plainGlass && isGlass(from));
}

std::size_t servicesDone(const SensorHistory& history, std::span<const VisitFigures> figures, double offsetLimit_mv)
{
    using enum ActionKey;
    std::size_t count = 0;
    double efficiency = 100.0, offset = 0.0;
    const auto restores = [](const Action& action) {
        return action.action == RefillReference || action.action == ReplaceBridge || action.action == RegenerateGlass ||
               action.action == Rehydrate || action.action == ClearJunction || action.action == PolishMetal;
    };
    const bool orp = history.model && history.model->kind == SensorKind::Orp;
    for (const VisitFigures& visit : figures) {
        const auto take = [&](const PhaseFigures* f) {
            if (f && f->efficiency_pct)
                efficiency = *f->efficiency_pct;
            if (f && f->offset_mv)
                offset = *f->offset_mv;
        };
        take(visit.phase(Phase::AsFound));
        if (visit.visit && (orp ? std::abs(offset) > offsetLimit_mv : efficiency < kEdges[0]) &&
            std::ranges::any_of(visit.visit->actions, restores))
            ++count;
        take(visit.lastState());
    }
    return count;
}

std::size_t cleanFits(std::span<const VisitFigures> figures, SensorKind kind)
{
    std::size_t count = 0;
    for (const VisitFigures& visit : figures)
        for (const Phase phase : {Phase::AsLeft, Phase::AfterClean})
            if (const PhaseFigures* f = visit.phase(phase);
                f && (kind == SensorKind::Ph ? f->efficiency_pct.has_value() : f->offset_mv.has_value())) {
                ++count;
                break;
            }
    return count;
}

double assume(const RuleSet& rules, std::string_view key, std::string what, std::string unit, std::vector<Assumption>& list)
{
    const Limit number = rules.number(key);
    // What a number of the rule set stands for is said once: then the set itself is its source.
    std::string source = number.source;
    if (!unit.empty() && source.starts_with(unit + ": "))
        source.erase(0, unit.size() + 2);
    if (source.empty() || what.find(source) != std::string::npos)
        source = "rule set " + rules.id();
    list.push_back({std::move(what), number.value, std::move(unit), std::move(source), number.sourceClass == SourceClass::Assumed,
                    number.sourceClass});
    return number.value;
}

double designWear(const Model* model, const Point* point, const RuleSet& rules)
{
    if (!model)
        return 1.0;
    const std::string application = point && point->application ? *point->application : std::string();
    const auto hazard = [&](std::string_view word) { return point && std::ranges::find(point->hazards, word) != point->hazards.end(); };
    double wear = 1.0;
    if (model->reference)
        switch (*model->reference) {
        // Our choice, after common practice on how long references last: less than proportional, since glass ends many lives.
        case ReferenceDesign::SingleGel: wear = 1.4; break;
        case ReferenceDesign::DoubleGel: wear = 1.0; break;
        case ReferenceDesign::DoubleRefillable: wear = 0.85; break;
        case ReferenceDesign::LiquidRefillable: wear = 0.8; break;
        case ReferenceDesign::LargeJunction: wear = 0.9; break;
        case ReferenceDesign::PolymerOpen: wear = application == "pure_water" ? 1.3 : 0.85; break;
        case ReferenceDesign::DifferentialBridge: {
            const double better = rules.number("review.design_factor").value;
            wear = better > 0.0 ? better : 0.7;
            break;
        }
        }
    if (model->sensing) {
        if (*model->sensing == Sensing::Hardened && (application == "caustic" || application == "bleach" || hazard("hot")))
            wear *= 0.75;
        if (*model->sensing == Sensing::Flat && application == "wastewater")
            wear *= 0.9;
        if (isGlass(*model->sensing) && hazard("fluoride"))
            wear *= *model->sensing == Sensing::HfResistant ? 1.0 : 3.0;
    }
    return wear;
}

double applicationWear(const ChainSettings& settings, const LifeMonths& life)
{
    if (life.usual <= 0.0)
        return 1.0;
    const auto cycle = renewalCycle(settings, ChainDesign{});
    if (!cycle)
        return 1.0;
    return (cycle->months[0] + cycle->months[1] + cycle->months[2]) / life.usual;
}

std::vector<WearDraw> wearDraws(const CaseInput& in, const ChainSettings& settings, const StateNow& state, double base)
{
    // Fixed draws in place of random ones: a spread of two to one both ways (our choice), the same for every sensor.
    std::vector<WearDraw> draws{{0.5, 0.10}, {0.75, 0.25}, {1.0, 0.30}, {1.5, 0.25}, {2.0, 0.10}};
    double total = 0.0;
    for (WearDraw& draw : draws) {
        const double wear = draw.wear * base;
        double likelihood = 1.0;
        if (in.trend && in.kind == SensorKind::Ph) {
            // Three classes of five per cent are lost over the life of the chain: a per cent a month at a multiplier of 1.
            constexpr double kPerMonth = 1.0, kModelSd = 0.5;
            const double seen = in.trend->slopePerDay * kDaysPerMonth, u = in.trend->u_slopePerDay * kDaysPerMonth;
            const double z2 = (seen + kPerMonth * wear) * (seen + kPerMonth * wear) / (u * u + kModelSd * kModelSd);
            likelihood = std::exp(-0.5 * std::min(z2, 60.0));
        } else if (in.services == 0 && in.ageMonths >= 1.0 && state.unknown.empty() && state.chance[4] < 0.5) {
            // How likely the class of now is after so many months without service.
            std::array<double, kWearClasses> p{1.0, 0.0, 0.0, 0.0, 0.0};
            const int months = static_cast<int>(std::min(in.ageMonths, 240.0));
            for (int m = 0; m < months; ++m) {
                std::array<double, kWearClasses> next{};
                for (std::size_t c = 0; c + 1 < kWearClasses; ++c) {
                    const auto to = afterMonth(settings, static_cast<WearClass>(c), wear);
                    for (std::size_t k = 0; k < kWearClasses; ++k)
                        next[k] += p[c] * to[k];
                }
                next[4] = 0.0;  // it is alive
                p = next;
            }
            const double alive = p[0] + p[1] + p[2] + p[3];
            likelihood = 0.0;
            for (std::size_t c = 0; c + 1 < kWearClasses; ++c)
                likelihood += state.chance[c] * (alive > 0.0 ? p[c] / alive : 0.0);
            likelihood = std::max(likelihood, 1e-6);
        }
        draw.weight *= likelihood;
        total += draw.weight;
    }
    for (WearDraw& draw : draws) {
        draw.wear *= base;
        draw.weight /= total;
    }
    return draws;
}

ChainSettings chainSettings(const CaseInput& in, std::vector<Assumption>& list)
{
    ChainSettings s;
    const auto number = [&](const char* key, double& field) {
        if (const Limit n = in.rules.number(key); n.source != "not set")
            field = n.value;
    };
    number("review.rate_a", s.rate[0]);
    number("review.rate_b", s.rate[1]);
    number("review.rate_c", s.rate[2]);
    number("review.hazard", s.hazard);
    number("review.loss_a", s.loss[0]);
    number("review.loss_b", s.loss[1]);
    number("review.loss_c", s.loss[2]);
    number("review.loss_d", s.loss[3]);
    number("review.loss_x", s.loss[4]);
    number("review.service", s.service);
    number("review.fitting", s.fitting);
    number("review.call_out", s.callOut);
    number("review.service_b_to_a", s.bToA);
    number("review.service_c_to_a", s.cToA);
    number("review.service_c_to_b", s.cToB);
    number("review.service_d_to_b", s.dToB);
    number("review.service_d_to_c", s.dToC);
    number("review.service_again", s.again);
    number("review.discount_month", s.discount);
    double horizon = s.horizonMonths;
    number("review.horizon_months", horizon);
    s.horizonMonths = std::max(1, static_cast<int>(std::lround(horizon)));

    const Point* point = in.standing.point;
    double consequence = 0.0;
    if (point && point->consequence_per_week) {
        consequence = *point->consequence_per_week;
        list.push_back({"consequence out of tolerance", consequence, "a week", "point record", false, SourceClass::Record});
    } else {
        consequence =
            assume(in.rules, "consequence." + in.loopClass, "consequence out of tolerance, class " + in.loopClass, "a week", list);
    }
    double reference = 50.0;
    number("review.loss_consequence", reference);
    const double scale = reference > 0.0 ? consequence / reference : 1.0;
    for (double& loss : s.loss)
        loss *= scale;
    static_cast<void>(assume(in.rules, "review.service", "a service visit", "", list));
    static_cast<void>(assume(in.rules, "review.fitting", "putting a new sensor in", "", list));
    static_cast<void>(assume(in.rules, "review.call_out", "call-out for a dead sensor between rounds", "", list));
    static_cast<void>(assume(in.rules, "review.hazard", "chance of sudden failure", "a month", list));
    return s;
}

}  // namespace halfcell::core::review
