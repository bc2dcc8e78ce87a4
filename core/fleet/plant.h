#pragma once

#include "core/fleet/records.h"

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// A correction that was applied, with the value that stood before.
struct AppliedCorrection {
    std::string visit, table, field, old_value, new_value, person, why;
    int row = 1;
    Instant recorded;
};

/// One sensor with everything known about it, oldest first. Pointers reach into the Plant that made it.
struct SensorHistory {
    const Sensor* sensor = nullptr;
    const Model* model = nullptr;
    std::vector<const Placement*> placements;   ///< by `from`
    std::vector<const PartRecord*> parts;       ///< by `from`
    std::vector<const Visit*> visits;           ///< by `when`, then key; corrections applied
    std::vector<const Legacy*> legacy;          ///< by `when`

    /// The placement in force at a time, or the open one; nullptr if none. If two overlap, the later `from` counts.
    [[nodiscard]] const Placement* placementAt(const Instant& t) const;
};

/// The shop as it was known at a moment: rows written or measured later are left out, corrections written by then are
/// applied, and everything is indexed. A row counts from the later of its `when`/`from` and its `recorded`.
/// Immutable after construction; shared freely between threads. Not copyable (it hands out pointers into itself).
class Plant {
public:
    /// Builds the view of `records` at `asOf`. A correction that no longer fits its row is left out and listed in
    /// `unfitting()`.
    static Plant asKnown(Records records, const Instant& asOf);

    Plant(Plant&&) noexcept = default;
    Plant& operator=(Plant&&) noexcept = default;
    Plant(const Plant&) = delete;
    Plant& operator=(const Plant&) = delete;

    [[nodiscard]] const Records& records() const { return m_records; }   ///< filtered and corrected
    [[nodiscard]] const Instant& asOf() const { return m_asOf; }
    [[nodiscard]] const Site* site(std::string_view key) const;
    [[nodiscard]] const Point* point(std::string_view tag) const;
    [[nodiscard]] const Model* model(std::string_view key) const;
    [[nodiscard]] const Sensor* sensor(std::string_view serial) const;
    [[nodiscard]] const Lot* lot(std::string_view key) const;
    [[nodiscard]] const SensorHistory* history(std::string_view serial) const;
    /// All sensors, by serial.
    [[nodiscard]] std::span<const SensorHistory> histories() const { return m_histories; }
    /// The sensor placed at a tag at the view's moment; nullptr if the point is empty. Two: the later one.
    [[nodiscard]] const SensorHistory* sensorAt(std::string_view tag) const;
    [[nodiscard]] std::span<const AppliedCorrection> applied() const { return m_applied; }
    [[nodiscard]] std::span<const Correction> unfitting() const { return m_unfitting; }

private:
    Plant() = default;
    void index();

    Records m_records;
    Instant m_asOf;
    std::vector<SensorHistory> m_histories;
    std::vector<AppliedCorrection> m_applied;
    std::vector<Correction> m_unfitting;
    std::map<std::string, std::size_t, std::less<>> m_sites, m_points, m_models, m_sensors, m_lots, m_historyOf;
};

}  // namespace halfcell::core
