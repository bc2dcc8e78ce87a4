#pragma once

#include "core/simulator/visit_draft.h"

namespace halfcell::core::simulation {

/// Finds and mends an electrical or mechanical fault after odd readings: short and open test, spare cable, drying,
/// rewiring; a broken or hopeless sensor goes to scrap. `last` gets the figures after a cure. True when the sensor left
/// the point.
bool mendFault(Workshop& shop, Round& round, VisitDraft& draft, std::size_t point, const Observed& found, Observed& last);

/// Renews what the readings or the calendar ask for and the design allows: rehydration, electrolyte, bridge, thiourea,
/// regeneration. True when something was done that calls for new readings.
bool renewParts(Workshop& shop, Round& round, VisitDraft& draft, const Observed& found, const Observed& last, bool wasDry);

/// Writes down, in most cases, what a removal confirmed.
void confirmWear(VisitDraft& draft, RemovalReason reason, Generator& people);

/// A remark that something is awaited.
void remarkAwaiting(VisitDraft& draft, Generator& people);

}  // namespace halfcell::core::simulation
