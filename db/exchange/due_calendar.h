#pragma once

#include "core/quantity/instant.h"
#include "core/upkeep/due.h"

#include <span>
#include <string>

namespace halfcell::db {

/// How work stands in a calendar: as a task (VTODO), which is what it is, or as a whole-day event (VEVENT) on the day it is due, for
/// calendars that show no tasks.
enum class CalendarKind { Tasks, Events };

/// Due work as an iCalendar object (RFC 5545), UTF-8 with CRLF. A task begins on the day it is due and is to be done by its latest
/// day. Its UID is made of what is to be done and to what, so exporting again updates an entry rather than doubling it; DTSTAMP and
/// SEQUENCE are those of `asOf`, so the same book gives the same bytes.
[[nodiscard]] std::string dueCalendar(std::span<const core::DueTask> tasks, const core::Instant& asOf, CalendarKind kind);

}  // namespace halfcell::db
