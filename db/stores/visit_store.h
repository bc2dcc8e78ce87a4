#pragma once

#include "db/stores/child_store.h"

namespace halfcell::db {

/// Which of the rows of a visit are new: the rows at these places (from 0) of each vector, all of them by default.
struct VisitParts {
    bool own = true;        ///< the visits row itself
    bool head = false;      ///< the visit's own row after its readings
    std::size_t readings = 0, grabs = 0, checks = 0, actions = 0;   ///< first new place
};

/// Visits with their readings, grabs, checks and actions. The rows stay as first written; corrections stand beside them.
class VisitStore {
public:
    explicit VisitStore(Connection& connection);

    /// Canonical text of the parts of a visit that are new, for the hash of their one journal entry.
    void appendContent(std::string& out, const VisitRow& visit, const VisitParts& parts);
    void insert(const VisitRow& visit, const VisitParts& parts, std::int64_t entry);

    /// Whole; nullopt if there is none.
    std::optional<VisitRow> find(std::string_view visit);
    [[nodiscard]] bool known(std::string_view visit);
    /// Everything, by time and key. `asOf`: own rows recorded later are left out.
    std::vector<core::Visit> loadAll(const std::optional<core::Instant>& asOf);
    /// The visits first written for a sensor, by time and key.
    std::vector<core::Visit> ofSensor(std::string_view serial, const std::optional<core::Instant>& asOf);
    /// A visit's readings only, for one sensor, in the order of time.
    template <class Take>
    void readingsOfSensor(std::string_view serial, Take&& take)
    {
        m_readings.ofSensor(serial, std::forward<Take>(take));
    }
    template <class Take>
    void allReadings(Take&& take)
    {
        m_readings.scan(std::forward<Take>(take));
    }

    // --- corrections ---
    std::vector<core::Correction> allCorrections();
    std::vector<core::Correction> correctionsOf(std::string_view visit);
    /// Those of a sensor's visits, and those that moved a visit to it.
    std::vector<core::Correction> correctionsOfSensor(std::string_view serial);
    void appendContent(std::string& out, std::int64_t seq, const core::Correction& correction);
    void insert(std::int64_t seq, const core::Correction& correction, std::int64_t entry);
    /// Visits that a correction gave to this sensor.
    std::vector<std::string> movedTo(std::string_view serial);

private:
    std::vector<VisitRow> heads(const std::string& where, const SlotList& uses, const std::string& order);

    Connection& m_connection;
    TableStore<VisitRow> m_visits;
    TableStore<VisitHead> m_heads;
    ChildStore<core::Reading> m_readings;
    ChildStore<core::Grab> m_grabs;
    ChildStore<core::Check> m_checks;
    ChildStore<core::Action> m_actions;
    ChildStore<core::Correction> m_corrections;
    RowSlots<VisitRow> m_out;
    Slot m_key{Slot::Kind::Text};
    Slot m_count{Slot::Kind::Integer};
    std::unique_ptr<Statement> m_known, m_ofSensor;
};

}  // namespace halfcell::db
