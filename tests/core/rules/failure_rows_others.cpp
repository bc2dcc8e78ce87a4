#include "tests/core/rules/failure_rows.h"

namespace halfcell::core::test {

/// ORP, ISFET and antimony.
std::vector<Row> otherRows()
{
    using enum FindingCode;
    return {
        {"O1", MetalFilmed, false,
         [](Shop& s) {
             auto& v = redoxFound(s, 25, -30, 400);
             Shop::check(v).coating = 3.0;
         }},
        {"O2", MetalPoisoned, false,
         [](Shop& s) {
             auto& v = redoxFound(s, 90, 20, 200);
             Shop::check(v).hysteresis_mv = 60.0;
             Shop::check(v).coating = 0.0;
         }},
        {"O3", ElectrolyteDiluted, false, [](Shop& s) { redoxFound(s, -33, -34, 20); }},
        {"O4", WrongStandard, false,
         [](Shop& s) {
             s.model.kind = SensorKind::Orp;
             s.model.sensing = Sensing::Platinum;
             auto& v = s.visit(0);
             const double shift =
                 referencePotential("3M KCl", Celsius(25))->e.value() - referencePotential("1M KCl", Celsius(25))->e.value();
             Shop::read(v, Phase::AsFound, "zobell", zobell(25, shift));
             Shop::read(v, Phase::AsFound, "light", light(25, shift));
         }},
        {"O5", StaleStandard, false, [](Shop& s) { redoxFound(s, 2, -45, 20); }},
        {"O6", GroundLoop, false,
         [](Shop& s) {
             // Right in the beaker, off in the tank while the rectifier runs, and an earth wire moves it.
             s.point.application = "plating";
             auto& v = redoxFound(s, 2, -1, 20);
             Grab g;
             g.when = g.recorded = v.when;
             g.loop_mv = 345.0;
             g.grab_mv = 262.0;
             v.grabs.push_back(g);
             Shop::check(v).earth_wire = Comparison::Changes;
         }},
        {"O7", MetalPoisoned, false,
         [](Shop& s) {
             // Platinum in a cyanide stage: high, slow, and it remembers the last solution; bright.
             s.point.application = "plating";
             s.point.hazards = {"cyanide"};
             auto& v = redoxFound(s, 48, 34, 260);
             Shop::check(v).hysteresis_mv = 45.0;
             Shop::check(v).coating = 0.0;
         }},
        {"O8", ProcessDisagrees, true,
         [](Shop& s) {
             // Chlorinated water: the potential fell by 40 mV while the pH rose by 0.9; the standards are met.
             s.point.application = "pool";
             redox(s);
             auto& before = s.records.visits.back();
             Grab g;
             g.when = g.recorded = before.when;
             g.grab_ph = 7.2;
             g.loop_mv = 712.0;
             before.grabs.push_back(g);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "zobell", zobell(25, 1), 25, 120, 15);
             Shop::read(v, Phase::AsFound, "light", light(25, -1), 25, 120, 15);
             g.when = g.recorded = v.when;
             g.grab_ph = 8.1;
             g.loop_mv = 672.0;
             v.grabs.push_back(g);
         }},
        {"O9", OpenCircuit, false,
         [](Shop& s) {
             // A cracked seal behind the band: noise, and standards that fail now one way and now the other.
             auto& v = redoxFound(s, 60, -55, 60);
             Shop::read(v, Phase::AsFound, "zobell", zobell(25, 15), 25, 400, 60);
             v.readings.back().dip = 2;
             Shop::check(v).noise_mv = 28.0;
             Shop::check(v).coating = 0.0;
         }},
        {"O10", ShortCircuit, false,
         [](Shop& s) {
             redox(s);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "zobell", 0.5);
             Shop::read(v, Phase::AsFound, "light", 1.0);
         }},
        {"I1", GateWorn, true,
         [](Shop& s) {
             s.model.sensing = Sensing::Isfet;
             found(s, {.efficiency = 96, .offset = 120});
         }},
        {"I2", GateWorn, true,
         [](Shop& s) {
             s.model.sensing = Sensing::Isfet;
             found(s, {.efficiency = 86});
         }},
        {"I3", ElectrolyteDiluted, false,
         [](Shop& s) {
             s.model.sensing = Sensing::Isfet;
             for (int i = 0; i < 5; ++i)
                 Shop::state(s.visit(30.0 * i), Phase::AsLeft, {.efficiency = 97, .offset = -14.0 - 3.0 * i});
             Shop::state(s.visit(150), Phase::AsFound, {.efficiency = 96.5, .offset = -31});
         }},
        {"A1", MetalFilmed, true,
         [](Shop& s) {
             s.model.sensing = Sensing::Antimony;
             found(s, {.efficiency = 78, .offset = 10, .t90 = 150, .wait = 320});
         }},
        {"A2", MetalPoisoned, true,
         [](Shop& s) {
             s.model.sensing = Sensing::Antimony;
             auto& v = found(s, {.efficiency = 70, .offset = 10});
             Shop::act(v, ActionKey::PolishMetal);
             Shop::state(v, Phase::AsLeft, {.efficiency = 71, .offset = 9});
         }},
        {"A3", OutsideTable, true,
         [](Shop& s) {
             // Straight between pH 3 and 8, and bent beyond.
             s.model.sensing = Sensing::Antimony;
             auto& v = found(s, {.efficiency = 91, .offset = 10});
             Shop::read(v, Phase::AsFound, "ph10.01", mvFor("ph10.01", 62, 10));
         }},
    };
}

}  // namespace halfcell::core::test
