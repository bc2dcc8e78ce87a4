#include "core/simulator/catalogue.h"

#include <array>
#include <string>

namespace halfcell::core::simulation {
namespace {

using enum ReferenceDesign;
using enum Sensing;
constexpr SensorKind kPh = SensorKind::Ph;
constexpr SensorKind kOrp = SensorKind::Orp;

constexpr std::array<ModelSpec, 17> kModels{{
    {"K7", "K7", kPh, DoubleGel, Bulb, "3M KCl", "12 mm thread", 330, 21},
    {"K7 flat", "K7", kPh, DoubleGel, Flat, "3M KCl", "12 mm thread", 365, 21},
    {"K7 hard", "K7", kPh, DoubleGel, Hardened, "3M KCl", "12 mm thread", 410, 28},
    {"K1", "K1", kPh, SingleGel, Bulb, "3M KCl", "flow cell", 140, 10},
    {"R4", "R4", kPh, DoubleRefillable, Bulb, "3M KCl", "12 mm thread", 390, 28},
    {"R6", "R6", kPh, LiquidRefillable, Bulb, "3M KCl", "steel flow cell", 440, 42},
    {"P9", "P9", kPh, PolymerOpen, Bulb, "3M KCl", "12 mm thread", 350, 21},
    {"L5", "L5", kPh, LargeJunction, Flat, "3.5M KCl", "dip tube", 375, 28},
    {"M2", "M2", kPh, DifferentialBridge, Bulb, "differential", "dip tube", 720, 42},
    {"M2 hard", "M2", kPh, DifferentialBridge, Hardened, "differential", "dip tube", 790, 42},
    {"F8", "F8", kPh, DoubleGel, HfResistant, "3M KCl", "12 mm thread", 460, 35},
    {"A3", "A3", kPh, DoubleRefillable, Antimony, "3M KCl", "dip tube", 310, 28},
    {"S3", "S3", kPh, DoubleGel, Isfet, "3M KCl", "12 mm thread", 690, 42},
    {"K7 redox", "K7", kOrp, DoubleGel, Platinum, "3M KCl", "12 mm thread", 290, 21},
    {"R4 gold", "R4", kOrp, DoubleRefillable, Gold, "3.5M KCl", "dip tube", 420, 35},
    {"M2 redox", "M2", kOrp, DifferentialBridge, Platinum, "differential", "dip tube", 680, 42},
    {"K1 redox", "K1", kOrp, SingleGel, Platinum, "sat KCl", "flow cell", 150, 10},
}};

}  // namespace

std::span<const ModelSpec> modelSpecs()
{
    return kModels;
}

std::size_t modelIndex(std::string_view model)
{
    for (std::size_t i = 0; i < kModels.size(); ++i)
        if (kModels[i].model == model)
            return i;
    return 0;
}

Model modelRecord(const ModelSpec& spec, const Instant& recorded)
{
    Model m;
    m.model = spec.model;
    m.kind = spec.kind;
    m.reference = spec.reference;
    m.sensing = spec.sensing;
    m.reference_fill = std::string(spec.fill);
    m.interchange = std::string(spec.interchange) + (spec.kind == SensorKind::Orp ? ", redox" : ", pH");
    m.price = spec.price;
    m.lead_time_days = spec.lead_time_days;
    m.recorded = recorded;
    return m;
}

}  // namespace halfcell::core::simulation
