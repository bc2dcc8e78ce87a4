#include "db/stores/table_store.h"

namespace halfcell::db {

template class TableStore<core::Hold>;
template class TableStore<HoldEnd>;
template class TableStore<core::Legacy>;
template class TableStore<VisitRow>;
template class TableStore<VisitHead>;
template class TableStore<ShopName>;
template class TableStore<RuleSetRow>;
template class TableStore<RuleAdoptionRow>;
template class TableStore<MergeRow>;
template class TableStore<MergeVariant>;
template class TableStore<ClashSettlement>;

}  // namespace halfcell::db
