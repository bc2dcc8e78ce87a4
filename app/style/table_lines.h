#pragma once

class QTableView;

namespace halfcell::app {

/// A table that is read line by line: one line chosen at a time, nothing edited in its cells, no grid, no line numbers, and Tab
/// goes on to the next field instead of the next cell.
void standAsLines(QTableView& view);

}  // namespace halfcell::app
