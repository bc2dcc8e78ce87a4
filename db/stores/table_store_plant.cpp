#include "db/stores/table_store.h"

namespace halfcell::db {

template class TableStore<core::Site>;
template class TableStore<core::Point>;
template class TableStore<core::Model>;
template class TableStore<core::Sensor>;
template class TableStore<core::Placement>;
template class TableStore<PlacementEnd>;
template class TableStore<core::PartRecord>;
template class TableStore<PartEnd>;
template class TableStore<core::Lot>;
template class TableStore<LotEvent>;
template class TableStore<core::StandardRow>;
template class TableStore<core::Equipment>;
template class TableStore<core::Person>;

}  // namespace halfcell::db
