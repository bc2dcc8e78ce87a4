#include "tests/support/records/wrong_bottle.h"

#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/standards.h"

#include <fmt/format.h>

#include <string_view>

namespace halfcell::test {

using namespace core;

namespace {

constexpr double kTemperature = 21.0;

std::string tagOf(int sensor)
{
    return fmt::format("AE-120{}", sensor);
}

}  // namespace

std::string roundSerial(int sensor)
{
    return fmt::format("K7-100{}", sensor);
}

Records roundShop(const Instant& from)
{
    Records shop;
    Site site;
    site.site = "Saltmarsh";
    site.recorded = from;
    shop.sites.push_back(site);
    Model model;
    model.model = "K7";
    model.reference = ReferenceDesign::DoubleGel;
    model.sensing = Sensing::Bulb;
    model.recorded = from;
    shop.models.push_back(model);
    for (int i = 0; i < kRoundSensors; ++i) {
        Point point;
        point.tag = tagOf(i);
        point.site = site.site;
        point.application = "wastewater";
        point.loop_class = LoopClass::Indication;
        point.ph_low = 6.5;
        point.ph_high = 9.5;
        point.recorded = from;
        shop.points.push_back(point);
        Sensor sensor;
        sensor.serial = roundSerial(i);
        sensor.model = model.model;
        sensor.recorded = from;
        shop.sensors.push_back(sensor);
        Placement placement;
        placement.serial = sensor.serial;
        placement.place = point.tag;
        placement.from = placement.recorded = from;
        shop.placements.push_back(placement);
    }
    return shop;
}

double roundMv(int sensor, const char* bottle)
{
    const double ph = StandardsBook::shipped().ph(bottle, {}, Celsius(kTemperature))->value;
    return sensor - (0.97 + 0.003 * sensor) * nernstSlope(Celsius(kTemperature))->value() * (ph - 7.0);
}

Visit roundVisit(int sensor, const Instant& when, Phase phase, const char* inTheBeaker)
{
    Visit v;
    v.when = v.recorded = when;
    v.visit = fmt::format("{}/{}", roundSerial(sensor), formatInstant(when));
    v.serial = roundSerial(sensor);
    v.tag = tagOf(sensor);
    v.person = "T1";
    for (const char* standard : {"ph7.00", "ph4.01"}) {
        Reading r;
        r.when = r.recorded = when;
        r.phase = phase;
        r.standard = standard;
        r.mv = roundMv(sensor, std::string_view(standard) == "ph7.00" ? inTheBeaker : standard);
        r.temp_degc = kTemperature;
        r.temp_source = TemperatureSource::Measured;
        r.wait_s = 120.0;
        v.readings.push_back(std::move(r));
    }
    return v;
}

}  // namespace halfcell::test
