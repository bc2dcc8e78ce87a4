#pragma once

#include "core/fleet/keys.h"

#include <span>
#include <string_view>

/// The table behind plant_layout: the invented plant as drawn, one line for each site, area and measuring point.
namespace halfcell::core::simulation {

struct SiteRow {
    std::string_view name, note;
};

struct AreaRow {
    int site;
    int digit;                     ///< second digit of its tags
    std::string_view name;
    std::string_view permitArea;   ///< empty: no permit to work needed
    int phone;
    int weekday;                   ///< of the weekly round
    int person;                    ///< T1 is 0
    bool outdoors;
    std::string_view seasonFrom, seasonTo;
};

struct PointRow {
    int area;                      ///< index into areaRows()
    int number;                    ///< last two digits of the tag
    std::string_view description;
    std::string_view model;
    std::string_view application;
    LoopClass loopClass;
    double low, high;              ///< pH range; for ORP the potential against hydrogen, mV
    double temp;
    double tolerance;              ///< pH, or mV for ORP
    std::string_view hazards;
    std::string_view location;
    int floorDays = 0, condition = 0;
};

[[nodiscard]] std::span<const SiteRow> siteRows();
[[nodiscard]] std::span<const AreaRow> areaRows();
[[nodiscard]] std::span<const PointRow> pointRows();

}  // namespace halfcell::core::simulation
