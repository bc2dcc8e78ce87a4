#pragma once

#include "core/fleet/keys.h"
#include "core/quantity/instant.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

/// The records of a shop as they are written down: one plain struct per row of the public tables (CONTRACT section 2),
/// the field names being those of the columns. Nothing here is computed. Numbers carry the column's unit; nothing is
/// ever a sentinel: absence is std::optional, and "not done / not applicable / not possible" is an answer of its own.
/// Ownership: plain values, freely copied; immutable once shared between threads.
namespace halfcell::core {

/// Why there is no value although somebody was asked for it.
enum class NoAnswer { NotDone, NotApplicable, NotPossible };
template <> std::span<const KeyEntry<NoAnswer>> keyEntries();

/// An optional measured value: a value, an answer why there is none, or nothing recorded at all.
template <class T>
struct Answered {
    std::optional<T> value;
    std::optional<NoAnswer> why;

    Answered() = default;
    Answered(T v) : value(v) {}  // NOLINT(google-explicit-constructor): reads as the value it is
    Answered(NoAnswer n) : why(n) {}  // NOLINT(google-explicit-constructor)
    [[nodiscard]] bool has_value() const { return value.has_value(); }
    [[nodiscard]] bool blank() const { return !value && !why; }
    [[nodiscard]] const T& operator*() const { return *value; }
    bool operator==(const Answered&) const = default;
};

using Text = std::optional<std::string>;

struct Site {
    std::string site;
    Text note;
    Instant recorded;
    bool operator==(const Site&) const = default;
};

/// A measuring point in the process.
struct Point {
    std::string tag;
    std::string site;
    Text area;
    Text description;
    Text application;            ///< a key of the application tables, or any other text (general defaults)
    std::optional<LoopClass> loop_class;
    std::optional<double> ph_low, ph_high;   ///< process range
    std::optional<double> temp_degc;         ///< process temperature
    std::optional<double> tolerance_ph, tolerance_mv;
    std::vector<std::string> hazards;        ///< keys of the hazards list or any text
    Text location, phone;
    std::optional<double> consequence_per_week;  ///< money lost per week out of tolerance
    Text permit_area;
    std::optional<double> walk_order, walk_minutes;
    std::optional<double> legal_floor_days;
    Text legal_clause;
    std::optional<GrabQuality> grab_quality;
    Text season_from, season_to;             ///< MM-DD or a date
    Instant recorded;
    bool operator==(const Point&) const = default;
};

struct Model {
    std::string model;
    SensorKind kind = SensorKind::Ph;
    std::optional<ReferenceDesign> reference;
    std::optional<Sensing> sensing;
    Text reference_fill;          ///< `1M KCl`, `3M KCl`, `3.5M KCl`, `sat KCl`, `differential`
    Text interchange;
    std::optional<double> price, lead_time_days;
    Instant recorded;
    bool operator==(const Model&) const = default;
};

/// One serial number.
struct Sensor {
    std::string serial;
    std::string model;
    std::optional<Instant> bought, opened, first_wet, shelf_expires;
    Text production_lot;
    std::optional<double> price;
    Text note;
    Instant recorded;
    bool operator==(const Sensor&) const = default;
};

/// Places that are not measuring points.
inline constexpr std::string_view kShelf = "shelf", kSoak = "soak", kBench = "bench", kQuarantine = "quarantine", kScrap = "scrap";

/// A sensor was at a place from..to (open while `to` is absent).
struct Placement {
    std::string serial;
    std::string place;  ///< a tag, or one of the places above
    Instant from;
    std::optional<Instant> to;
    std::optional<RemovalReason> reason_removed;
    std::optional<Instant> from_latest;   ///< found swapped: moved between `from` and this
    std::optional<bool> pre_emptive;
    std::optional<double> entry_age_days, wet_days, hot_cycles;
    Instant recorded;
    bool operator==(const Placement&) const = default;
};

struct PartRecord {
    std::string serial;
    Part part = Part::Bridge;
    Instant from;
    std::optional<Instant> to;
    Text lot;
    Instant recorded;
    bool operator==(const PartRecord&) const = default;
};

/// A bottle lot of a standard.
struct Lot {
    std::string lot;
    std::string standard;
    std::optional<Instant> received, opened, expires, discarded;
    std::optional<double> certified_ph, certified_mv, u_ph, u_mv;  ///< u: standard uncertainties (half of U, k = 2)
    Text note;
    Instant recorded;
    bool operator==(const Lot&) const = default;
};

/// One row of a shop-defined standard's own table.
struct StandardRow {
    std::string standard;
    double temp_degc = 25.0;
    std::optional<double> ph, mv;   ///< one of the two; mv on the hydrogen scale
    std::optional<double> u;
    Instant recorded;
    bool operator==(const StandardRow&) const = default;
};

struct Equipment {
    std::string equipment;
    EquipmentKind kind = EquipmentKind::Meter;
    std::optional<Instant> checked;
    std::optional<double> error;    ///< mV for a meter, K for a thermometer
    std::optional<Instant> due;
    Text note;
    Instant recorded;
    bool operator==(const Equipment&) const = default;
};

struct Person {
    std::string person;
    std::vector<std::string> skills;
    std::vector<std::string> days;           ///< mon tue wed thu fri sat sun
    std::optional<double> minutes_per_day;   ///< shift length
    std::optional<Instant> from, to;
    Instant recorded;
    bool operator==(const Person&) const = default;
};

/// One reading of a settle series: seconds since the sensor went into the standard, and what it read then.
struct SettlePoint {
    double seconds = 0.0;
    double mv = 0.0;
    bool operator==(const SettlePoint&) const = default;
};

/// Millivolts in a standard. `dip` counts the dips of one standard within a phase, from 1.
struct Reading {
    Instant when;
    Phase phase = Phase::AsFound;
    std::string standard;
    Text lot;
    std::optional<double> mv;                ///< empty only beside why_missing
    Answered<double> temp_degc;
    std::optional<TemperatureSource> temp_source;
    Answered<double> wait_s, t90_s;
    std::optional<bool> settled;
    Text meter, thermometer;
    int dip = 1;
    Answered<double> shown_ph;
    std::optional<bool> keyed;
    Text why_missing, note;
    std::vector<SettlePoint> settle;         ///< how it settled, times ascending; empty: not noted
    Instant recorded;
    bool operator==(const Reading&) const = default;
};

/// Comparison of the loop with a grab sample.
struct Grab {
    Instant when;
    Answered<double> loop_ph, grab_ph, temp_degc, loop_mv, grab_mv;
    std::optional<Instant> grab_when;
    Instant recorded;
    bool operator==(const Grab&) const = default;
};

/// Tests other than readings in standards.
struct Check {
    Instant when;
    Answered<double> glass_mohm, glass_temp_degc, reference_kohm, noise_mv;
    Answered<double> hysteresis_mv;  ///< the first standard once more less at first
    Answered<double> dilution_ph;    ///< what the diluted standard reads
    Answered<double> stir_ph;        ///< stirred less still
    Answered<double> reread_pct;     ///< efficiency gained when read three minutes later
    std::optional<Comparison> second_bottle, cable, short_open, earth_wire;
    Answered<double> thermometer_off_k;
    Answered<double> coating;     ///< 0 (clean) to 4
    std::optional<CoatingKind> coating_kind;
    Answered<double> dry_hours, minutes;
    Instant recorded;
    bool operator==(const Check&) const = default;
};

/// One step that was done.
struct Action {
    Instant when;
    int step = 1;                 ///< order within the visit, from 1
    ActionKey action = ActionKey::CleanDetergent;
    Text agent, strength;
    Answered<double> minutes, elapsed_minutes;
    Text part_lot, note;
    Instant recorded;
    bool operator==(const Action&) const = default;
};

/// One attendance at one sensor.
struct Visit {
    std::string visit;            ///< the caller's key, else a UUIDv7
    Instant when;
    std::string serial;
    Text tag;                     ///< filled from the placement when it was empty
    Text person;
    std::optional<VisitReason> reason;
    Text round;
    std::optional<Instant> manual_from, auto_at;
    std::optional<bool> cleaned_before;
    Text confirmed_cause, confirmed_how, remark;
    Instant recorded;
    std::vector<Reading> readings;  ///< in phase order as written
    std::vector<Grab> grabs;        ///< at most one
    std::vector<Check> checks;      ///< at most one
    std::vector<Action> actions;    ///< by step
    bool operator==(const Visit&) const = default;
};

/// A record that holds only computed figures (no millivolts); marked as such for ever.
struct Legacy {
    std::string serial;
    Instant when;
    Phase phase = Phase::AsFound;
    std::optional<double> efficiency_pct, offset_mv, t90_s;
    Text person, note;
    Instant recorded;
    bool operator==(const Legacy&) const = default;
};

/// A loop put in manual or hold.
struct Hold {
    std::string point;            ///< tag of the point or of the loop
    Instant from;
    Text person;
    std::optional<Instant> to;
    Text closed_by;
    std::optional<HoldClosed> closed_how;
    Text note;
    Instant recorded;
    bool operator==(const Hold&) const = default;
};

/// A correction names the row it supersedes by visit, table and place, and the field; old and new are the cell texts.
/// Tables: visits, readings, grabs, checks, actions. `row` counts from 1 within the visit.
struct Correction {
    std::string visit;
    std::string table;
    int row = 1;
    std::string field;
    std::string old_value, new_value;
    Instant recorded;
    std::string person;
    std::string why;
    bool operator==(const Correction&) const = default;
};

/// Everything a book holds, as first written (corrections beside it), each vector in the book's canonical order.
struct Records {
    std::vector<Site> sites;
    std::vector<Point> points;
    std::vector<Model> models;
    std::vector<Sensor> sensors;
    std::vector<Placement> placements;
    std::vector<PartRecord> parts;
    std::vector<Lot> lots;
    std::vector<StandardRow> standards;
    std::vector<Equipment> equipment;
    std::vector<Person> people;
    std::vector<Visit> visits;
    std::vector<Legacy> legacy;
    std::vector<Hold> holds;
    std::vector<Correction> corrections;
    bool operator==(const Records&) const = default;
};

}  // namespace halfcell::core
