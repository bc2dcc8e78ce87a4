#pragma once

#include "core/fleet/records.h"
#include "core/simulator/generator.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

/// Who works in the simulated shop, with what, and which bottles are open.
namespace halfcell::core::simulation {

/// A technician's ways. Shares are probabilities per phase or visit.
struct Habit {
    std::string person;
    std::string meter, thermometer;  ///< usually carried
    double patience = 1;           ///< multiplier on the waiting time
    double offsetMv = 0;           ///< reads this much high
    double slopePct = 0;           ///< reads spans this much long
    double foundMissing = 0.3;     ///< as-found not taken
    double cleansFirst = 0.2;      ///< wipes before the as-found reading
    double temperatureMissing = 0.15;
    double temperatureGuessed = 0.15;
    double notesResponse = 0.8, notesWait = 0.9, notesLot = 0.85, notesCoating = 0.6, remarks = 0.4;
    double paperNextDay = 0.08;
    bool wholeDegrees = false;
    double responseStep = 1;       ///< t90 rounded to this, s
    std::int64_t from = 0;         ///< first working day
    std::vector<int> days;         ///< ISO weekdays worked
};

struct Meter {
    std::string key;
    double zeroMv = 0;             ///< error nobody knows
    double resolution = 1;         ///< mV
};
struct Thermometer {
    std::string key;
    double error = 0;              ///< K, beyond what the check found
};

struct Staff {
    std::vector<Habit> technicians;
    std::vector<Meter> meters;
    std::vector<Thermometer> thermometers;
    std::vector<Person> people;
    std::vector<Equipment> equipment;

    [[nodiscard]] const Meter& meter(std::string_view key) const;
    [[nodiscard]] const Thermometer& thermometer(std::string_view key) const;
};
[[nodiscard]] Staff hireStaff(std::int64_t startDay, std::int64_t untilDay, Generator& random);

/// One bottle lot as it really is.
struct Bottle {
    std::string lot;
    std::string standard;
    std::int64_t opened = 0, discarded = 0;
    double error = 0;              ///< pH (or mV) of this lot beyond its label
    double perDay = 0;             ///< change per day once opened
};

/// The shop's bottles over the years, with gaps in which single-use sachets are used (their lots are not written down).
class LotShelf {
public:
    LotShelf(std::int64_t startDay, std::int64_t untilDay, Generator& random);
    /// The bottle of a standard in use on a day; nullptr: sachet or made up the same day.
    [[nodiscard]] const Bottle* inUse(std::string_view standard, std::int64_t day) const;
    [[nodiscard]] const std::vector<Lot>& records() const { return m_records; }
    /// The bottle of pH 10 that is kept in use far too long, and the day it is at its worst.
    [[nodiscard]] std::int64_t deadBottleDay() const { return m_deadDay; }

private:
    struct Plan;
    void fill(const Plan& plan, std::int64_t startDay, std::int64_t untilDay, Generator& random);
    std::vector<Bottle> m_bottles;
    std::vector<Lot> m_records;
    std::int64_t m_deadDay = 0;
};

}  // namespace halfcell::core::simulation
