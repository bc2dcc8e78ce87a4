#pragma once

#include "core/simulator/people_and_lots.h"
#include "core/simulator/plant_layout.h"
#include "core/simulator/simulate.h"
#include "core/simulator/state.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The simulated shop in motion: its sensors with their hidden lives, where they are, what is on order, and the records it
/// has written so far.
namespace halfcell::core::simulation {

/// A slow change that is to reach a target on a day (so that the plant ends with sick sensors of every kind).
struct Drift {
    enum class What { Age, Chloride, Clog, Poison, Metal } what = What::Age;
    std::int64_t from = 0, to = 0;
    double start = 0, target = 0;
    bool begun = false;
};

/// A sensor: its record and its life.
struct Probe {
    std::string serial;
    std::size_t model = 0;
    Traits traits;
    State state;
    Surroundings surroundings;
    std::int64_t evolvedTo = 0, bought = 0;
    int physicalPoint = -1;             ///< where it really hangs; -1 elsewhere
    std::string place;                  ///< as recorded
    std::optional<std::size_t> placement;  ///< open row in the records
    std::int64_t lastClean = 0, lastCalibration = 0, lastGrab = 0, lastRefill = 0, lastBridge = 0;
    int badCalibrations = 0;            ///< successive, after cleaning
    std::optional<double> storedOffset, storedEfficiency;   ///< in the analyser
    std::optional<double> baselineOffset, baselineResponse;
    bool otherFill = false;             ///< an ORP sensor filled otherwise than its model says
    bool kept = false;                  ///< not to be replaced or cured: waiting for parts or approval
    std::vector<Drift> drifts;
    std::int64_t benchDay = 0;          ///< next touch on the bench
    std::optional<RemovalReason> removedFor;
    bool scrapped = false;
};

/// A delivery to come.
struct Order {
    std::int64_t day = 0;
    std::size_t model = 0;
};

class Workshop {
public:
    explicit Workshop(const SimulationSettings& settings);

    SimulationSettings settings;
    std::int64_t startDay = 0, untilDay = 0;
    Generator plan, technical, people, clerical, stock;   ///< separate streams: one does not disturb another
    Staff staff;
    LotShelf lots;
    Layout layout;
    std::vector<double> siteAge, siteFilm;
    std::vector<Probe> probes;
    std::vector<int> recordedAt, physicallyAt;            ///< by point: probe index, -1 empty
    std::vector<Order> orders;
    std::optional<std::size_t> leaveEmpty;                ///< a point no spare is fitted to any more
    SimulatedPlant out;

    [[nodiscard]] const ModelSpec& modelOf(const Probe& probe) const { return modelSpecs()[probe.model]; }
    [[nodiscard]] bool isOrp(const Probe& probe) const { return modelOf(probe).kind == SensorKind::Orp; }

    /// Adds a sensor bought on a day; its record is complete but it is nowhere yet.
    std::size_t buy(std::size_t model, std::int64_t day);
    /// Closes its present placement at `when` (with a reason if it leaves a point) and opens the next.
    void place(std::size_t probe, std::string_view place, const Instant& when, std::optional<RemovalReason> reason = std::nullopt);
    /// Physically fits a sensor to a point and records it there.
    void fit(std::size_t probe, std::size_t point, const Instant& when);
    /// Takes the sensor recorded at a point away (to `place`).
    void take(std::size_t point, std::string_view place, const Instant& when, RemovalReason reason);
    /// Scraps it and orders the same again.
    void scrap(std::size_t probe, const Instant& when, std::optional<RemovalReason> reason);
    /// A ready spare for a point's holder: the same model if there is one, else one that fits; -1 if none.
    [[nodiscard]] int readySpare(std::size_t point) const;
    void surround(Probe& probe, std::size_t point) const;
    /// Lets time pass for one sensor up to a day; sudden faults are drawn on the way when it is in the process.
    void evolveTo(std::size_t probe, std::int64_t day);
    /// Next free key of a visit: `2026-03-02-AE-3107-1`.
    std::string visitKey(std::int64_t day, std::string_view place);
    void noteFault(std::string_view visit, std::string_view serial, std::string_view code);
    /// Records a part; closes the open one of the same kind.
    void newPart(const Probe& probe, Part part, const Instant& when, Text lot);
    [[nodiscard]] bool inSeason(const PointPlan& point, std::int64_t day) const;

private:
    void fillWithHistory();
    void stockShelf();
    std::map<std::string, int> m_keys;
    std::map<std::string, int> m_serials;
};

}  // namespace halfcell::core::simulation
