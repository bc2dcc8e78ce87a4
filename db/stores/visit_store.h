#pragma once

#include "db/stores/child_store.h"

namespace halfcell::db {

/// Which of the rows of a visit are new: the rows at these places (from 0) of each vector, all of them by default.
struct VisitParts {
    bool own = true;                                               ///< the visits row itself
    bool head = false;                                             ///< the visit's own row after its readings
    std::size_t readings = 0, grabs = 0, checks = 0, actions = 0;  ///< first new place
};

/// Visits with their readings, grabs, checks and actions. The rows stay as first written; corrections stand beside them.
class VisitStore {
public:
    /// `standing`: which content of a row counts where merged books differ.
    explicit VisitStore(Connection& connection, const StandingRows& standing);

    /// Canonical text of the parts of a visit that are new, for the hash of their one journal entry.
    void appendContent(std::string& out, const VisitRow& visit, const VisitParts& parts);
    void insert(const VisitRow& visit, const VisitParts& parts, std::int64_t entry);

    /// Whole; nullopt if there is none.
    std::optional<VisitRow> find(std::string_view visit);
    /// The same from the visit's several contents: its own entry as it counts (`own`, if given, instead), then the rows
    /// that were added later by place. The slow way, for visits that merged books differ in.
    std::optional<VisitRow> assembled(std::string_view visit, const std::string* own = nullptr);
    /// The text of the visit's own entry as its tables hold it (the visits row and the rows written with it); empty if there
    /// is no such visit.
    std::string ownContent(std::string_view visit);
    [[nodiscard]] bool known(std::string_view visit);
    /// Everything, by time and key. `asOf`: own rows recorded later are left out.
    std::vector<core::Visit> loadAll(const std::optional<core::Instant>& asOf);
    /// The visits first written for a sensor, by time and key.
    std::vector<core::Visit> ofSensor(std::string_view serial, const std::optional<core::Instant>& asOf);
    /// Visits first written for a moment between two, without what was read in them, by sensor and time.
    std::vector<VisitRow> headsBetween(const core::Instant& from, const core::Instant& to);
    /// The keys of a sensor's last visits up to a moment, newest first.
    std::vector<std::string> lastVisits(std::string_view serial, const core::Instant& until, std::size_t most);
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

    /// All readings by sensor: the sensors in the order they were first visited, the readings of each by visit key and place. Two
    /// scans in the order of keys and a merge; an ordered join costs several times as much.
    [[nodiscard]] std::vector<std::pair<std::string, std::vector<core::Reading>>> readingsBySensor();

    // --- corrections ---
    /// By the time they were recorded, which is the order they are applied in; see canonicalOrder.
    std::vector<core::Correction> allCorrections();
    std::vector<core::Correction> correctionsOf(std::string_view visit);
    /// Those of a sensor's visits, and those that moved a visit to it.
    std::vector<core::Correction> correctionsOfSensor(std::string_view serial);
    void appendContent(std::string& out, std::int64_t seq, const core::Correction& correction);
    void insert(std::int64_t seq, const core::Correction& correction, std::int64_t entry);
    /// How many corrections a visit has.
    [[nodiscard]] std::int64_t correctionCount(std::string_view visit);
    /// Visits that a correction gave to this sensor.
    std::vector<std::string> movedTo(std::string_view serial);

private:
    void applyOwnRow(VisitRow& visit, const std::optional<core::Instant>& asOf);
    std::vector<VisitRow> heads(const std::string& where, const SlotList& uses, const std::string& order);

    Connection& m_connection;
    const StandingRows& m_standing;
    TableStore<VisitRow> m_visits;
    TableStore<VisitHead> m_heads;
    ChildStore<core::Reading> m_readings;
    ChildStore<core::Grab> m_grabs;
    ChildStore<core::Check> m_checks;
    ChildStore<core::Action> m_actions;
    ChildStore<core::Correction> m_corrections;
    RowSlots<VisitRow> m_in, m_out;
    Slot m_key{Slot::Kind::Text};
    Slot m_count{Slot::Kind::Integer};
    std::unique_ptr<Statement> m_known, m_ofSensor;
};

/// Puts corrections into the order in which they count: by the moment they were recorded; of one moment by what they
/// concern, and those of one field so that each finds what the one before it left. The order follows from the corrections
/// alone, so that merged books agree.
void canonicalOrder(std::vector<core::Correction>& corrections);

}  // namespace halfcell::db
