#include "app/service/standing.h"

namespace halfcell::app {

std::vector<OpenBottle> bottlesOpenAt(const core::Plant& plant, const core::Instant& moment)
{
    std::vector<OpenBottle> open;
    for (const core::Lot& lot : plant.records().lots) {
        if (!lot.opened || moment < *lot.opened || (lot.discarded && !(moment < *lot.discarded)))
            continue;
        open.push_back({.lot = &lot, .expired = lot.expires && *lot.expires < moment});
    }
    return open;
}

std::vector<InstrumentStanding> instrumentsAt(const core::Plant& plant, const core::Instant& moment)
{
    std::vector<InstrumentStanding> all;
    for (const core::Equipment& e : plant.records().equipment)
        all.push_back({.equipment = &e, .overdue = e.due && *e.due < moment});
    return all;
}

}  // namespace halfcell::app
