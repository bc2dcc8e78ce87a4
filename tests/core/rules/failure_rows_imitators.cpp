#include "tests/core/rules/failure_rows.h"

namespace halfcell::core::test {

/// What imitates a bad sensor.
std::vector<Row> imitatorRows()
{
    using enum FindingCode;
    const std::vector<std::string> three{"ph7.00", "ph4.01", "ph10.01"};
    return {
        {"CC1", WrongStandard, false,
         [](Shop& s) {
             s.wellBefore(4);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "ph7.00", mvFor("ph6.86", 97, 0.4));
             Shop::read(v, Phase::AsFound, "ph4.01", mvFor("ph4.01", 97, 0.4));
         }},
        {"CC2", WrongStandard, false,
         [](Shop& s) {
             s.wellBefore(4);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "ph6.86", mvFor("ph7.00", 98, 0.4));
             Shop::read(v, Phase::AsFound, "ph4.01", mvFor("ph4.01", 98, 0.4));
         }},
        {"CC3", WrongStandard, false,
         [](Shop& s) {
             s.wellBefore(4);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "ph7.00", mvFor("ph7.00", 98, 0.4));
             Shop::read(v, Phase::AsFound, "ph9.18", mvFor("ph10.01", 98, 0.4));
         }},
        {"CC4", StaleStandard, false,
         [three](Shop& s) {
             s.wellBefore(4, {.standards = three});
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "ph7.00", mvFor("ph7.00", 97, 0));
             Shop::read(v, Phase::AsFound, "ph4.01", mvFor("ph4.01", 97, 0));
             Shop::read(v, Phase::AsFound, "ph10.01", mvFor("ph10.01", 90, 0));
             Shop::check(v).second_bottle = Comparison::Changes;
         }},
        {"CC5", TemperatureIgnored, false,
         [](Shop& s) {
             s.wellBefore(4);
             auto& v = s.visit(125);
             for (const char* standard : {"ph7.00", "ph4.01"}) {
                 Shop::read(v, Phase::AsFound, standard, mvFor(standard, 93, 0, 5.0), 25.0);
                 v.readings.back().temp_source = TemperatureSource::Guessed;
             }
         }},
        {"CC6", TemperatureIgnored, false,
         [](Shop& s) {
             // The meter knows 5 degC for the slope; the values typed are those of the labels.
             s.wellBefore(4);
             auto& v = s.visit(125);
             Shop::read(v, Phase::AsFound, "value:7.00", mvFor("ph7.00", 99.5, 0.4, 5.0), 5.0);
             Shop::read(v, Phase::AsFound, "value:10.01", mvFor("ph10.01", 99.5, 0.4, 5.0), 5.0);
         }},
        {"CC7", StaleStandard, false,
         [](Shop& s) {
             // Five sensors in one pour: the first is right, each a little lower than the one before; the last is judged.
             for (int i = 0; i < 4; ++i) {
                 auto& v = neighbour(s, i, 125 + 0.01 * i);
                 v.round = "W18";
                 Shop::state(v, Phase::AsFound, {.efficiency = 97.0 - 2.4 * i, .offset = 1.0 * i});
             }
             s.wellBefore(4);
             auto& v = s.visit(125.05);
             v.round = "W18";
             Shop::state(v, Phase::AsFound, {.efficiency = 97.0 - 2.4 * 4, .offset = 0.5});
         }},
        {"CC8", ReadTooSoon, false, [](Shop& s) { found(s, {.efficiency = 84, .offset = 1, .t90 = 45, .wait = 38}); }},
        {"CC9", NoResponse, true, [](Shop& s) { found(s, {.efficiency = 6, .offset = 30}); }},
        {"CC10", OpenCircuit, false,
         [](Shop& s) {
             auto& v = found(s, {.efficiency = 30, .offset = 120});
             Shop::check(v).noise_mv = 40.0;
         }},
        {"CC11", GroundLoop, false,
         [](Shop& s) {
             auto& v = found(s, {});
             Shop::check(v).earth_wire = Comparison::Changes;
         }},
        {"CC12", ProcessDisagrees, true, [](Shop& s) { grab(found(s, {}), 7.3, 7.0); }},
        {"CC13", ProcessDisagrees, true,
         [](Shop& s) {
             // Two sensors in one medium have aged alike: they agree with each other and not with the sample.
             s.point.application = "cooling";
             auto& twin = neighbour(s, 0, 125.02);
             Shop::state(twin, Phase::AsFound, {.efficiency = 84, .offset = -27});
             grab(twin, 8.62, 8.21);
             auto& v = found(s, {.efficiency = 83, .offset = -26});
             grab(v, 8.60, 8.20);
         }},
    };
}

}  // namespace halfcell::core::test
