#include "core/simulator/plant_rows.h"

#include <array>

namespace halfcell::core::simulation {
namespace {

using enum LoopClass;

constexpr std::array<SiteRow, 4> kSites{{
    {"Upper Wexmoor Waterworks", "soft upland water; control room ext. 110"},
    {"Saltmarsh Reclamation Plant", "sea air, lanes outdoors; control room ext. 130"},
    {"Cinder Lane Plating Shop", "chrome and cyanide lines kept apart; control room ext. 117"},
    {"Lantern Street Baths", "open to the public from 07:00; plant room key at the desk"},
}};

constexpr std::array<AreaRow, 18> kAreas{{
    {0, 1, "Raw water", "", 111, 1, 0, false, "", ""},
    {0, 2, "Filters", "", 112, 2, 0, false, "", ""},
    {0, 3, "Disinfection", "chlorine building", 113, 3, 0, false, "", ""},
    {0, 4, "Boiler house", "", 114, 4, 0, false, "", ""},
    {0, 5, "Final water", "", 115, 4, 0, false, "", ""},
    {1, 1, "Inlet works", "inlet works", 131, 1, 1, true, "", ""},
    {1, 2, "Aeration lanes", "", 132, 2, 1, true, "", ""},
    {1, 3, "Sludge digestion", "digester gas zone", 133, 3, 1, true, "", ""},
    {1, 4, "Final effluent", "", 134, 4, 1, true, "", ""},
    {1, 5, "Power house cooling", "", 135, 1, 3, false, "", ""},
    {1, 6, "Odour scrubbers", "scrubber bund", 136, 2, 3, true, "", ""},
    {2, 1, "Neutralisation", "", 117, 1, 2, false, "", ""},
    {2, 2, "Chrome line", "chrome line", 118, 2, 2, false, "", ""},
    {2, 3, "Cyanide destruction", "cyanide room", 119, 3, 2, false, "", ""},
    {2, 4, "Rinse recovery", "", 120, 4, 2, false, "", ""},
    {3, 1, "Main pool", "", 151, 4, 3, false, "", ""},
    {3, 2, "Learner pool and spa", "", 151, 4, 3, false, "", ""},
    {3, 3, "Splash pad", "", 152, 3, 3, true, "05-01", "09-30"},
}};

constexpr std::array<PointRow, 90> kPoints{{
    // Upper Wexmoor Waterworks
    {0, 1, "Raw main A", "K7", "drinking_water", Indication, 6.6, 7.6, 11, .20, "", "valve house, lower floor"},
    {0, 2, "Raw main B", "K7", "drinking_water", Indication, 6.6, 7.6, 11, .20, "", "valve house, lower floor"},
    {0, 3, "After coagulant", "R4", "drinking_water", Control, 6.0, 6.8, 11, .10, "acid", "dosing gallery, bay 2"},
    {0, 4, "Flash mixer", "P9", "drinking_water", Control, 6.0, 6.8, 11, .10, "acid", "on the mixer bridge"},
    {0, 5, "Raw water redox", "K7 redox", "drinking_water", Indication, 380, 460, 11, 25, "", "valve house, lower floor"},
    {1, 1, "Filter bank 1 outlet", "K7", "drinking_water", Indication, 7.2, 8.2, 12, .20, "", "gallery, pillar 3"},
    {1, 2, "Filter bank 2 outlet", "K7", "drinking_water", Indication, 7.2, 8.2, 12, .20, "", "gallery, pillar 7"},
    {1, 3, "Filter bank 3 outlet", "K7 flat", "drinking_water", Indication, 7.2, 8.2, 12, .20, "", "gallery, pillar 11"},
    {1, 4, "Washwater to river", "K7", "drinking_water", Permit, 6.5, 8.5, 12, .10, "", "outfall hut, key 14", 182, 4},
    {1, 5, "Lime dosing, east", "L5", "drinking_water", Control, 8.2, 9.4, 12, .15, "caustic", "lime house, platform"},
    {1, 6, "Lime dosing, west", "L5", "drinking_water", Control, 8.2, 9.4, 12, .15, "caustic", "lime house, platform"},
    {1, 7, "Combined filtrate", "R4", "drinking_water", Quality, 7.4, 8.4, 12, .10, "", "gallery, end wall"},
    {1, 8, "Washwater tank redox", "K7 redox", "drinking_water", Indication, 420, 520, 12, 25, "", "tank roof, ladder"},
    {2, 1, "Contact tank inlet", "K7", "drinking_water", Control, 7.0, 7.8, 12, .10, "hypochlorite", "chlorine building, north"},
    {2, 2, "Contact tank inlet redox", "K7 redox", "drinking_water", Control, 640, 760, 12, 20, "hypochlorite", "chlorine building, north"},
    {2, 3, "Contact tank outlet redox", "K7 redox", "drinking_water", Alarm, 620, 740, 12, 20, "hypochlorite", "chlorine building, south"},
    {2, 4, "Contact tank outlet", "K7", "drinking_water", Alarm, 7.0, 7.8, 12, .10, "hypochlorite", "chlorine building, south"},
    {2, 5, "Dechlorination redox", "R4 gold", "drinking_water", Control, 380, 520, 12, 20, "", "sulfite kiosk"},
    {2, 6, "Pre-ammoniation", "K7", "drinking_water", Indication, 7.2, 8.0, 12, .20, "", "kiosk 2"},
    {2, 7, "Service reservoir inlet redox", "K1 redox", "drinking_water", Quality, 600, 720, 12, 20, "", "reservoir, cabin"},
    {3, 1, "Condensate return", "R6", "pure_water", Alarm, 8.6, 9.4, 26, .10, "hot;pressure", "sample rack, cooler 1"},
    {3, 2, "Boiler feed", "R6", "pure_water", Control, 8.8, 9.6, 26, .10, "hot;pressure", "sample rack, cooler 2"},
    {3, 3, "Demineralised water", "R6", "pure_water", Quality, 6.4, 7.4, 22, .10, "", "sample rack, cooler 3"},
    {4, 1, "Final water main", "R4", "drinking_water", Permit, 7.2, 8.6, 13, .10, "", "final water kiosk", 182, 6},
    {4, 2, "Clear well", "K7", "drinking_water", Quality, 7.2, 8.6, 13, .10, "confined", "clear well, under the grating"},
    {4, 3, "Final water redox", "K7 redox", "drinking_water", Quality, 600, 720, 13, 20, "hypochlorite", "final water kiosk"},
    {4, 4, "Lime correction", "S3", "drinking_water", Control, 7.8, 8.6, 13, .15, "caustic", "final water kiosk"},
    // Saltmarsh Reclamation Plant
    {5, 1, "Inlet channel", "M2", "wastewater", Alarm, 6.4, 8.4, 15, .20, "sulfide", "channel, hand winch"},
    {5, 2, "Tanker reception", "M2", "wastewater", Interlock, 5.5, 9.0, 16, .20, "sulfide", "reception bay, pit cover"},
    {5, 3, "Trunk sewer redox", "M2 redox", "wastewater", Indication, 80, 240, 15, 25, "sulfide", "channel, hand winch"},
    {5, 4, "Primary tank 1", "K7 flat", "wastewater", Indication, 6.6, 7.8, 16, .20, "", "walkway, post 4"},
    {5, 5, "Primary tank redox", "K7 redox", "wastewater", Indication, 100, 260, 16, 25, "sulfide", "walkway, post 4"},
    {5, 6, "Septage balance", "K7", "wastewater", Control, 6.2, 7.8, 17, .20, "sulfide", "balance tank roof"},
    {6, 1, "Lane 1 head", "L5", "wastewater", Control, 6.6, 7.6, 17, .20, "", "lane 1, bridge"},
    {6, 2, "Lane 1 redox", "K7 redox", "wastewater", Control, 150, 320, 17, 25, "", "lane 1, bridge"},
    {6, 3, "Lane 2 head", "L5", "wastewater", Control, 6.6, 7.6, 17, .20, "", "lane 2, bridge"},
    {6, 4, "Lane 2 redox", "K7 redox", "wastewater", Control, 150, 320, 17, 25, "", "lane 2, bridge"},
    {6, 5, "Lane 3 head", "M2", "wastewater", Control, 6.6, 7.6, 17, .20, "", "lane 3, bridge"},
    {6, 6, "Lane 3 redox", "M2 redox", "wastewater", Control, 150, 320, 17, 25, "", "lane 3, bridge"},
    {6, 7, "Lane 4 head", "K7 flat", "wastewater", Control, 6.6, 7.6, 17, .20, "", "lane 4, bridge"},
    {6, 8, "Lane 4 tail", "K7", "wastewater", Indication, 6.4, 7.4, 17, .20, "", "lane 4, far end"},
    {6, 9, "Return sludge", "P9", "wastewater", Quality, 6.4, 7.4, 17, .20, "", "pump hall, riser"},
    {7, 1, "Digester 1", "P9", "wastewater", Alarm, 6.8, 7.8, 35, .20, "sulfide;confined", "digester 1, gas zone"},
    {7, 2, "Digester 2", "M2", "wastewater", Alarm, 6.8, 7.8, 35, .20, "sulfide;confined", "digester 2, gas zone"},
    {7, 3, "Centrate", "K7", "wastewater", Indication, 7.2, 8.2, 28, .20, "sulfide", "press house, trough"},
    {7, 4, "Struvite reactor", "K7 hard", "wastewater", Control, 8.0, 9.0, 30, .15, "caustic", "press house, platform"},
    {7, 5, "Centrate redox", "M2 redox", "wastewater", Indication, 60, 200, 28, 25, "sulfide", "press house, trough"},
    {8, 1, "Outfall, duty", "K7", "wastewater", Permit, 6.5, 8.5, 16, .10, "", "outfall kiosk", 91, 2},
    {8, 2, "Outfall, standby", "M2", "wastewater", Permit, 6.5, 8.5, 16, .10, "", "outfall kiosk", 91, 2},
    {8, 3, "Dechlorination redox", "R4 gold", "wastewater", Permit, 300, 460, 16, 20, "", "sulfite kiosk", 91, 3},
    {8, 4, "Reuse main", "K7", "wastewater", Quality, 6.8, 8.0, 17, .15, "", "reuse pump house"},
    {8, 5, "Disinfection redox", "K7 redox", "wastewater", Control, 560, 700, 16, 20, "hypochlorite", "contact tank, gate 2"},
    {9, 1, "Cooling tower 1", "K7", "cooling", Control, 7.6, 8.8, 31, .20, "hot", "tower 1, side stream"},
    {9, 2, "Cooling tower 2", "K7", "cooling", Control, 7.6, 8.8, 31, .20, "hot", "tower 2, side stream"},
    {9, 3, "Biocide redox", "K7 redox", "cooling", Control, 480, 620, 31, 25, "hypochlorite", "tower 1, side stream"},
    {10, 1, "Caustic stage", "M2 hard", "scrubber", Control, 9.6, 11.0, 34, .20, "caustic", "bund, lower deck"},
    {10, 2, "Hypochlorite stage redox", "R4 gold", "scrubber", Control, 560, 700, 32, 25, "hypochlorite", "bund, upper deck"},
    {10, 3, "Acid stage", "P9", "scrubber", Control, 2.6, 4.0, 33, .20, "acid", "bund, lower deck"},
    // Cinder Lane Plating Shop
    {11, 1, "Sump", "L5", "caustic", Indication, 7.0, 10.0, 26, .20, "acid;caustic", "yard, grating"},
    {11, 2, "Neutralisation tank 1, acid side", "K7", "plating", Control, 2.4, 4.4, 28, .20, "acid", "tank 1, ladder"},
    {11, 4, "Neutralisation tank 1", "M2", "caustic", Control, 8.4, 9.6, 30, .20, "caustic", "tank 1, ladder"},
    {11, 6, "Polishing tank", "K7", "plating", Indication, 8.0, 9.4, 26, .20, "", "tank hall, east wall"},
    {11, 7, "Neutralisation tank 2", "K7", "caustic", Control, 9.2, 10.6, 35, .20, "caustic;cyanide", "tank 2, ladder"},
    {11, 9, "Thickener", "K7", "caustic", Control, 8.6, 10.2, 30, .20, "caustic", "thickener bridge"},
    {11, 10, "Final neutralisation", "M2", "plating", Permit, 6.5, 9.0, 25, .15, "", "monitoring hut", 91, 9},
    {11, 11, "Caustic day tank drain", "K7 hard", "caustic", Alarm, 10.6, 12.2, 34, .30, "caustic", "bund, east"},
    {12, 1, "Chrome rinse 1", "R4", "plating", Indication, 3.4, 5.4, 24, .20, "acid", "line, station 12"},
    {12, 2, "Chrome reduction", "R4", "plating", Control, 2.2, 2.8, 27, .15, "acid", "reduction tank, platform"},
    {12, 3, "Chrome reduction redox", "R4 gold", "plating", Control, 440, 560, 27, 20, "acid", "reduction tank, platform"},
    {12, 4, "Chrome reduction redox, second tank", "R4 gold", "plating", Control, 440, 560, 27, 20, "acid", "second tank, platform"},
    {12, 5, "Fluoride etch rinse", "F8", "plating", Control, 3.0, 4.6, 24, .20, "acid;fluoride", "line, station 17"},
    {12, 6, "Fluoride drain", "A3", "plating", Indication, 4.0, 6.0, 24, .30, "acid;fluoride", "floor channel, cover 5"},
    {12, 7, "Chrome rinse 2", "K7", "plating", Indication, 4.0, 6.0, 24, .20, "acid", "line, station 14"},
    {13, 1, "Cyanide stage 1", "M2", "plating", Interlock, 10.2, 11.2, 24, .15, "cyanide;hypochlorite;caustic", "cyanide room, tank 1"},
    {13, 2, "Cyanide stage 1 redox", "R4 gold", "plating", Interlock, 520, 660, 24, 20, "cyanide;hypochlorite", "cyanide room, tank 1"},
    {13, 3, "Cyanide stage 2", "M2", "plating", Control, 8.0, 9.0, 24, .15, "cyanide;hypochlorite", "cyanide room, tank 2"},
    {13, 4, "Cyanide stage 2 redox", "R4 gold", "plating", Interlock, 740, 880, 24, 20, "cyanide;hypochlorite", "cyanide room, tank 2"},
    {13, 5, "Cyanide rinse redox", "K7 redox", "plating", Alarm, 240, 420, 23, 25, "cyanide", "line, station 22"},
    {13, 6, "Cyanide collecting tank", "R4", "plating", Alarm, 10.4, 11.6, 23, .20, "cyanide;caustic", "cyanide room, pit"},
    {14, 1, "Recovery evaporator", "K7 hard", "plating", Control, 4.6, 6.0, 46, .20, "hot", "evaporator deck"},
    {14, 2, "Recovered water", "K7", "plating", Quality, 6.2, 7.8, 26, .20, "", "recovery hall"},
    {14, 3, "Ion exchange outlet", "S3", "plating", Quality, 5.8, 7.4, 24, .20, "", "recovery hall"},
    // Lantern Street Baths
    {15, 1, "Main pool", "K1", "pool", Control, 7.0, 7.6, 28, .10, "hypochlorite", "plant room, panel 1"},
    {15, 2, "Main pool redox", "K1 redox", "pool", Control, 680, 780, 28, 20, "hypochlorite", "plant room, panel 1"},
    {15, 3, "Balance tank", "K7", "pool", Indication, 7.0, 7.8, 27, .20, "confined", "balance tank, hatch"},
    {16, 1, "Learner pool", "K1", "pool", Control, 7.0, 7.6, 31, .10, "hypochlorite", "plant room, panel 2"},
    {16, 2, "Learner pool redox", "K1 redox", "pool", Control, 680, 780, 31, 20, "hypochlorite", "plant room, panel 2"},
    {16, 3, "Spa redox", "K1 redox", "pool", Control, 680, 800, 35, 20, "hypochlorite", "plant room, panel 3"},
    {17, 1, "Splash pad", "K1", "pool", Control, 7.0, 7.6, 24, .10, "hypochlorite", "kiosk, key 3"},
    {17, 2, "Splash pad redox", "K1 redox", "pool", Control, 660, 780, 24, 20, "hypochlorite", "kiosk, key 3"},
}};

}  // namespace

std::span<const SiteRow> siteRows()
{
    return kSites;
}

std::span<const AreaRow> areaRows()
{
    return kAreas;
}

std::span<const PointRow> pointRows()
{
    return kPoints;
}

}  // namespace halfcell::core::simulation
