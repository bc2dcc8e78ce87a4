#include "db/stores/child_store.h"

namespace halfcell::db {

template class ChildStore<core::Reading>;
template class ChildStore<core::Grab>;
template class ChildStore<core::Check>;
template class ChildStore<core::Action>;
template class ChildStore<core::Correction>;

}  // namespace halfcell::db
