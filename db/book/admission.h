#pragma once

#include "core/electrochemistry/standards.h"
#include "core/fleet/records.h"
#include "core/quantity/result.h"
#include "db/book/known_keys.h"
#include "db/stores/plant_store.h"
#include "db/stores/visit_store.h"

#include <string>
#include <vector>

namespace halfcell::db {

/// What becomes of one row that is offered to the book.
struct RowVerdict {
    enum class Kind { New, Same, Refused };
    Kind kind = Kind::New;
    core::Error error;    ///< of a refused row: `field`, `detail`, `remedy`

    [[nodiscard]] bool refused() const { return kind == Kind::Refused; }
};

/// A visit as it will stand, and which of its rows are new.
struct VisitPlan {
    VisitRow visit;
    VisitParts parts;
    bool known = false;                 ///< the book has this visit already
    RowVerdict head;
    std::vector<RowVerdict> readings, grabs, checks, actions;   ///< parallel to the rows offered

    [[nodiscard]] bool anyNew() const;
    [[nodiscard]] const core::Error* firstError() const;
};

/// The rules by which rows come into a book, the same for what is typed, logged and imported: references must be known,
/// a row that is there already must be equal. Reads only. What an import is about to add is made known by `know`.
/// One thread with its connection; `begin` at the start of every transaction.
class Admission {
public:
    Admission(Connection& connection, PlantStore& plant, VisitStore& visits);

    void begin();

    [[nodiscard]] RowVerdict admit(core::Site& row);
    [[nodiscard]] RowVerdict admit(core::Point& row);
    [[nodiscard]] RowVerdict admit(core::Model& row);
    [[nodiscard]] RowVerdict admit(core::Sensor& row);
    [[nodiscard]] RowVerdict admit(core::Placement& row);
    [[nodiscard]] RowVerdict admit(core::PartRecord& row);
    [[nodiscard]] RowVerdict admit(core::Lot& row);
    [[nodiscard]] RowVerdict admit(core::StandardRow& row);
    [[nodiscard]] RowVerdict admit(core::Equipment& row);
    [[nodiscard]] RowVerdict admit(core::Person& row);
    [[nodiscard]] RowVerdict admit(core::Hold& row);
    [[nodiscard]] RowVerdict admit(core::Legacy& row);

    void know(const core::Site& row) { m_sites.add(row.site); }
    void know(const core::Point& row) { m_points.add(row.tag); }
    void know(const core::Model& row) { m_models.add(row.model); }
    void know(const core::Sensor& row) { m_sensors.add(row.serial); }
    void know(const core::Placement& row) { m_placements.add(row); }
    void know(const core::StandardRow& row) { m_standards.add(row.standard); }
    void know(const core::PartRecord&) {}
    void know(const core::Lot&) {}
    void know(const core::Equipment&) {}
    void know(const core::Person&) {}
    void know(const core::Hold&) {}
    void know(const core::Legacy&) {}

    /// Decides on a visit and each of its rows. `offered.stated`: its own row is among what is offered. An empty tag is filled
    /// from the placement at that time; dips, steps and times must be filled in by the caller.
    [[nodiscard]] VisitPlan plan(VisitRow offered);

    [[nodiscard]] bool knowsSensor(std::string_view serial) { return m_sensors.has(serial); }
    [[nodiscard]] bool knowsPoint(std::string_view tag) { return m_points.has(tag); }
    [[nodiscard]] bool knowsPlace(std::string_view place);

private:
    core::Result<void> checkSensor(std::string_view serial);
    core::Result<void> checkStandard(std::string_view standard);
    core::Result<void> checkHead(const core::Visit& visit);
    core::Result<void> checkRow(const core::Reading& row);
    core::Result<void> checkRow(const core::Grab& row);
    core::Result<void> checkRow(const core::Check& row);
    core::Result<void> checkRow(const core::Action& row);
    template <class Row, class SameRow>
    void planRows(std::vector<Row>& offered, std::vector<Row>& kept, std::vector<RowVerdict>& verdicts, SameRow same, std::string_view what,
                  const char* keyField);
    void planHead(const VisitRow& offered, VisitPlan& plan);

    PlantStore& m_plant;
    VisitStore& m_visits;
    KnownKeys m_sites, m_points, m_models, m_sensors, m_standards;
    PlacementLookup m_placements;
};

/// Dips that are not numbered (0) are counted in the order of the rows, per phase and standard.
void numberDips(std::vector<core::Reading>& readings);

}  // namespace halfcell::db
