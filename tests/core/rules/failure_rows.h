#pragma once

#include "tests/core/rules/shop.h"

#include <functional>

/// One case per row of the common failure tables (pH glass G, reference R, wiring W, causes that imitate a sensor CC, ORP O,
/// ISFET I, antimony A): its signature goes in, its code comes out. Signatures are common practice.
namespace halfcell::core::test {

struct Row {
    const char* id;
    FindingCode code;
    bool byRule;  ///< a code that has no likelihoods for this sensor: raised with its reason
    std::function<void(Shop&)> signature;
};

[[nodiscard]] std::vector<Row> sensorRows();    ///< G, R, W
[[nodiscard]] std::vector<Row> imitatorRows();  ///< CC
[[nodiscard]] std::vector<Row> otherRows();     ///< O, I, A

inline Visit& found(Shop& shop, const State& s)
{
    shop.wellBefore(4);
    auto& v = shop.visit(125);
    Shop::state(v, Phase::AsFound, s);
    return v;
}

inline void glass(Visit& v, double mohm)
{
    Shop::check(v).glass_mohm = mohm;
    Shop::check(v).glass_temp_degc = 25.0;
}

/// A first glass resistance to compare with.
inline void firstGlass(Shop& shop)
{
    auto& v = shop.records.visits.front();
    glass(v, 120.0);
}

inline void grab(Visit& v, double loop, double sample)
{
    Grab g;
    g.when = g.recorded = v.when;
    g.loop_ph = loop;
    g.grab_ph = sample;
    v.grabs.push_back(g);
}

inline double zobell(double temp, double off)
{
    return expectedPotential(StandardsBook::shipped(), "zobell", {}, "3M KCl", Celsius(temp))->e.value() + off;
}

inline double light(double temp, double off)
{
    return expectedPotential(StandardsBook::shipped(), "light", {}, "3M KCl", Celsius(temp))->e.value() + off;
}

inline void redox(Shop& shop)
{
    shop.model.kind = SensorKind::Orp;
    shop.model.sensing = Sensing::Platinum;
    for (int i = 0; i < 3; ++i) {
        auto& v = shop.visit(30.0 * i);
        Shop::read(v, Phase::AsLeft, "zobell", zobell(25, 0.2 * i), 25, 120, 15);
        Shop::read(v, Phase::AsLeft, "light", light(25, 0.3 * i), 25, 120, 15);
    }
}

inline Visit& redoxFound(Shop& shop, double first, double second, double settle)
{
    redox(shop);
    auto& v = shop.visit(125);
    Shop::read(v, Phase::AsFound, "zobell", zobell(25, first), 25, 400, settle);
    Shop::read(v, Phase::AsFound, "light", light(25, second), 25, 400, settle);
    return v;
}

/// Another sensor of the shop's model beside it at a point of its own, well until now; its visit on that day.
inline Visit& neighbour(Shop& shop, int i, double day)
{
    const auto serial = "K7-100" + std::to_string(i), tag = "AE-130" + std::to_string(i);
    auto point = shop.point;
    point.tag = tag;
    shop.records.points.push_back(point);
    auto sensor = shop.sensor;
    sensor.serial = serial;
    shop.records.sensors.push_back(sensor);
    auto placement = shop.placement;
    placement.serial = serial;
    placement.place = tag;
    shop.records.placements.push_back(placement);
    const auto attend = [&](double on) -> Visit& {
        auto& v = shop.visit(on);
        v.visit = serial + "-" + std::to_string(shop.records.visits.size());
        v.serial = serial;
        v.tag = tag;
        return v;
    };
    for (int month = 0; month < 3; ++month)
        Shop::state(attend(30.0 * month + 0.01 * (i + 1)), Phase::AsLeft, {.efficiency = 97.0, .offset = 1.0 * i + 0.2 * month});
    return attend(day);
}

}  // namespace halfcell::core::test
