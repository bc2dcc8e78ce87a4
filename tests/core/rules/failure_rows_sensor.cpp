#include "tests/core/rules/failure_rows.h"

namespace halfcell::core::test {

/// Glass, reference and wiring.
std::vector<Row> sensorRows()
{
    using enum FindingCode;
    return {
        {"G1", GlassBroken, false, [](Shop& s) { glass(found(s, {.efficiency = 4, .offset = 20}), 0.8); }},
        {"G2", GlassShunted, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 55, .offset = 2});
             glass(v, 4.0);
             Shop::check(v).noise_mv = 0.8;
         }},
        {"G3", FilmScale, false,
         [](Shop& s) {
             s.point.application = "flotation";
             auto& v = found(s, {.efficiency = 93, .offset = -3, .t90 = 160, .wait = 330});
             Shop::check(v).coating = 3.0;
             Shop::check(v).coating_kind = CoatingKind::Hard;
         }},
        {"G4", FilmGrease, false,
         [](Shop& s) {
             s.point.application = "wastewater";
             auto& v = found(s, {.efficiency = 94, .offset = -3, .t90 = 150, .wait = 310});
             Shop::check(v).coating = 2.0;
             Shop::check(v).coating_kind = CoatingKind::Smear;
         }},
        {"G5", FilmProtein, false,
         [](Shop& s) {
             s.point.application = "food";
             auto& v = found(s, {.efficiency = 92, .offset = -3, .t90 = 150, .wait = 310});
             Shop::check(v).coating = 2.0;
             Shop::check(v).coating_kind = CoatingKind::Slippery;
         }},
        {"G6", Biofilm, false,
         [](Shop& s) {
             s.point.application = "cooling";
             auto& v = found(s, {.efficiency = 94, .offset = -3, .t90 = 400, .wait = 820});
             Shop::check(v).coating = 3.0;
             Shop::check(v).coating_kind = CoatingKind::Slime;
         }},
        {"G7", GlassAged, false,
         [](Shop& s) {
             s.placement.from = s.placement.recorded = at(-700);
             auto& v = found(s, {.efficiency = 84, .offset = -12, .t90 = 130, .wait = 300});
             Shop::check(v).coating = 0.0;
             firstGlass(s);
             glass(s.records.visits.back(), 420.0);
         }},
        {"G8", GlassAged, false,
         [](Shop& s) {
             s.point.application = "bleach";
             s.placement.from = s.placement.recorded = at(-150);
             auto& v = found(s, {.efficiency = 90, .offset = -8, .t90 = 600, .wait = 1300});
             Shop::check(v).coating = 0.0;
             Shop::check(v).dry_hours = 0.0;
         }},
        {"G9", GlassEtched, false,
         [](Shop& s) {
             s.point.application = "caustic";
             auto& v = found(s, {.efficiency = 87, .offset = -5, .t90 = 35});
             Shop::check(v).coating = 0.0;
             firstGlass(s);
             glass(s.records.visits.back(), 25.0);
         }},
        {"G10", GlassEtched, false,
         [](Shop& s) {
             s.point.application = "flotation";
             auto& v = found(s, {.efficiency = 86, .offset = -4, .t90 = 60, .wait = 150});
             Shop::check(v).coating = 0.0;
             Shop::check(v).noise_mv = 0.7;
             firstGlass(s);
             glass(s.records.visits.back(), 30.0);
         }},
        {"G11", GlassDry, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 82, .offset = 22, .t90 = 300, .wait = 620});
             Shop::check(v).dry_hours = 60.0;
         }},
        {"G12", AlkaliError, true,
         [](Shop& s) {
             s.point.ph_low = 11.5;
             s.point.ph_high = 12.5;
             grab(found(s, {}), 11.6, 12.1);
         }},
        {"G13", ProcessDisagrees, true, [](Shop& s) { grab(found(s, {}), 7.9, 7.5); }},
        {"R1", JunctionClogged, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 95, .offset = 6, .t90 = 60, .wait = 150});
             Shop::check(v).reference_kohm = 70.0;
             Shop::check(v).dilution_ph = 7.19;
             Shop::check(v).stir_ph = 0.12;
             grab(v, 7.9, 7.4);
         }},
        {"R2", JunctionBlocked, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 88, .offset = -32, .t90 = 120, .wait = 260});
             Shop::check(v).reference_kohm = 400.0;
             Shop::check(v).noise_mv = 12.0;
         }},
        {"R3", ElectrolyteDiluted, false,
         [](Shop& s) {
             for (int i = 0; i < 5; ++i)
                 Shop::state(s.visit(30.0 * i), Phase::AsLeft, {.efficiency = 97, .offset = -12.0 - 3.0 * i});
             Shop::state(s.visit(150), Phase::AsFound, {.efficiency = 96.5, .offset = -29});
         }},
        {"R4", ReferencePoisoned, false,
         [](Shop& s) {
             s.point.hazards = {"sulfide"};
             s.point.application = "plating";
             for (int i = 0; i < 5; ++i)
                 Shop::state(s.visit(30.0 * i), Phase::AsLeft, {.efficiency = 97, .offset = 2.0 + 6.0 * i});
             Shop::state(s.visit(150), Phase::AsFound, {.efficiency = 96.5, .offset = 34});
         }},
        {"R5", ReferencePoisoned, false,
         [](Shop& s) {
             s.point.application = "plating";
             s.model.reference = ReferenceDesign::SingleGel;
             found(s, {.efficiency = 95, .offset = 110});
         }},
        {"R6", CellContaminated, false,
         [](Shop& s) {
             s.model.reference = ReferenceDesign::DifferentialBridge;
             found(s, {.efficiency = 83, .offset = 33});
         }},
        {"R7", BridgeExhausted, false,
         [](Shop& s) {
             s.model.reference = ReferenceDesign::DifferentialBridge;
             auto& v = found(s, {.efficiency = 93, .offset = 4, .t90 = 110, .wait = 230});
             Shop::check(v).reference_kohm = 90.0;
             Shop::check(v).noise_mv = 4.0;
             Shop::check(v).coating = 0.0;
         }},
        {"R8", JunctionBlocked, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 90, .offset = 28, .t90 = 40});
             Shop::check(v).noise_mv = 15.0;
             Shop::check(v).reference_kohm = 250.0;
         }},
        {"R9", ElectrolyteDiluted, false,
         [](Shop& s) {
             for (int i = 0; i < 5; ++i)
                 Shop::state(s.visit(30.0 * i), Phase::AsLeft, {.efficiency = 97, .offset = -8.0 - 7.0 * i});
             Shop::state(s.visit(150), Phase::AsFound, {.efficiency = 96, .offset = -44});
         }},
        {"R10", ElectrolyteDiluted, false,
         [](Shop& s) {
             for (int i = 0; i < 4; ++i)
                 Shop::state(s.visit(30.0 * i), Phase::AsLeft, {.efficiency = 97, .offset = -12.0 - 6.0 * i});
             Shop::state(s.visit(120), Phase::AsFound, {.efficiency = 96, .offset = -36});
         }},
        {"R11", ProcessDisagrees, true, [](Shop& s) { grab(found(s, {}), 6.6, 7.0); }},
        {"W1", ShortCircuit, false, [](Shop& s) { found(s, {.efficiency = 0.2, .offset = 0}); }},
        {"W2", OpenCircuit, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 40, .offset = 180});
             Shop::check(v).noise_mv = 90.0;
         }},
        {"W3", OpenCircuit, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = -30, .offset = -260});
             Shop::check(v).noise_mv = 60.0;
             Shop::check(v).reference_kohm = 2000.0;
         }},
        {"W4", LeadsReversed, false, [](Shop& s) { found(s, {.efficiency = -97, .offset = 5}); }},
        {"W5", GlassShunted, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 62, .offset = 1});
             glass(v, 6.0);
             Shop::check(v).cable = Comparison::Changes;
         }},
        {"W6", TemperatureElement, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 96});
             Shop::check(v).thermometer_off_k = 14.0;
         }},
        {"W7", OpenCircuit, false,
         [](Shop& s) {
             s.wellBefore(4);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "ph7.00", 900);
             Shop::read(v, Phase::AsFound, "ph4.01", 900);
         }},
        {"W8", GroundLoop, false,
         [](Shop& s) {
             auto& v = found(s, {});
             Shop::check(v).earth_wire = Comparison::Changes;
             grab(v, 8.1, 7.4);
         }},
        {"W9", ReadTooSoon, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 86, .offset = 2, .t90 = 40, .wait = 35});
             Shop::check(v).reread_pct = 9.0;
         }},
        {"W10", WrongSensor, true,
         [](Shop& s) {
             s.placement.to = at(110);
             Placement moved = s.placement;
             moved.place = "AE-1207";
             moved.from = moved.recorded = at(110);
             moved.to.reset();
             Point other = s.point;
             other.tag = "AE-1207";
             s.records.points.push_back(other);
             s.records.placements.push_back(moved);
             s.wellBefore(4);
             auto& v = s.visit(125);
             v.tag = "AE-1207";
             Shop::state(v, Phase::AsFound, {.efficiency = 88, .offset = 33});
         }},
    };
}

}  // namespace halfcell::core::test
