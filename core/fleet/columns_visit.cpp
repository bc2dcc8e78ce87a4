#include "core/fleet/column_access.h"
#include "core/fleet/columns.h"

namespace halfcell::core {

#define HC_TABLE(RowType, ...)                               \
    template <>                                              \
    std::span<const Column<RowType>> columnsOf<RowType>()    \
    {                                                        \
        using Row = RowType;                                 \
        static const Column<Row> kColumns[] = {__VA_ARGS__}; \
        return kColumns;                                     \
    }

HC_TABLE(Visit, HC_REQUIRED(visit), HC_REQUIRED(when), HC_REQUIRED(serial), HC_OPTIONAL(tag), HC_OPTIONAL(person), HC_OPTIONAL(reason),
         HC_OPTIONAL(round), HC_OPTIONAL(manual_from), HC_OPTIONAL(auto_at), HC_OPTIONAL(cleaned_before), HC_OPTIONAL(confirmed_cause),
         HC_OPTIONAL(confirmed_how), HC_OPTIONAL(remark), HC_OPTIONAL(recorded))

HC_TABLE(Reading, HC_REQUIRED(when), HC_REQUIRED(phase), HC_REQUIRED(standard), HC_OPTIONAL(lot), HC_WITHIN(mv, -2000.0, 2000.0),
         HC_WITHIN(temp_degc, -20.0, 150.0), HC_OPTIONAL(temp_source), HC_WITHIN(wait_s, 0.0, 86400.0), HC_WITHIN(t90_s, 0.0, 86400.0),
         HC_OPTIONAL(settled), HC_OPTIONAL(meter), HC_OPTIONAL(thermometer), HC_OPTIONAL(dip), HC_WITHIN(shown_ph, -2.0, 16.0),
         HC_OPTIONAL(keyed), HC_OPTIONAL(why_missing), HC_OPTIONAL(note), HC_OPTIONAL(settle), HC_OPTIONAL(recorded))

HC_TABLE(Grab, HC_REQUIRED(when), HC_WITHIN(loop_ph, -2.0, 16.0), HC_WITHIN(grab_ph, -2.0, 16.0), HC_WITHIN(temp_degc, -20.0, 150.0),
         HC_WITHIN(loop_mv, -2000.0, 2000.0), HC_WITHIN(grab_mv, -2000.0, 2000.0), HC_OPTIONAL(grab_when), HC_OPTIONAL(recorded))

HC_TABLE(Check, HC_REQUIRED(when), HC_WITHIN(glass_mohm, 0.0, 1e6), HC_WITHIN(glass_temp_degc, -20.0, 150.0),
         HC_WITHIN(reference_kohm, 0.0, 1e6), HC_WITHIN(noise_mv, 0.0, 2000.0), HC_WITHIN(hysteresis_mv, 0.0, 2000.0),
         HC_WITHIN(dilution_ph, -2.0, 16.0), HC_WITHIN(stir_ph, -14.0, 14.0), HC_WITHIN(reread_pct, -200.0, 200.0),
         HC_OPTIONAL(second_bottle), HC_OPTIONAL(cable), HC_OPTIONAL(short_open), HC_OPTIONAL(earth_wire),
         HC_WITHIN(thermometer_off_k, -200.0, 200.0), HC_WITHIN(coating, 0.0, 4.0), HC_OPTIONAL(coating_kind),
         HC_WITHIN(dry_hours, 0.0, 100000.0), HC_WITHIN(minutes, 0.0, 1440.0), HC_OPTIONAL(recorded))

HC_TABLE(Action, HC_REQUIRED(when), HC_REQUIRED(step), HC_REQUIRED(action), HC_OPTIONAL(agent), HC_OPTIONAL(strength),
         HC_WITHIN(minutes, 0.0, 10080.0), HC_WITHIN(elapsed_minutes, 0.0, 100000.0), HC_OPTIONAL(part_lot), HC_OPTIONAL(note),
         HC_OPTIONAL(recorded))

namespace {

template <class Row>
Result<void> correctRow(Row& row, const Correction& correction)
{
    const Column<Row>* column = findColumn<Row>(correction.field);
    if (column == nullptr || correction.field == "visit" || correction.field == "recorded")
        return failure(Errc::NotFound, fmt::format("{} has no field \"{}\" that can be corrected", correction.table, correction.field),
                       "name a column of that table");
    std::string stood = correction.old_value;
    if (!stood.empty()) {
        Row scratch = row;
        if (auto read = column->set(scratch, stood); !read)
            return read;
        stood = column->get(scratch);
    }
    if (column->get(row) != stood)
        return failure(Errc::Conflict,
                       fmt::format("{} row {} field {} holds \"{}\", not \"{}\"", correction.table, correction.row, correction.field,
                                   column->get(row), correction.old_value),
                       "look at the row as it stands now and correct that");
    if (!correction.new_value.empty())
        return column->set(row, correction.new_value);
    if (column->clear == nullptr)
        return failure(Errc::BadInput, fmt::format("{} can't be left empty", correction.field), "give the right value");
    column->clear(row);
    return {};
}

template <class Row>
Result<void> correctRowOf(std::vector<Row>& rows, const Correction& correction)
{
    if (correction.row < 1 || static_cast<std::size_t>(correction.row) > rows.size())
        return failure(Errc::NotFound, fmt::format("visit {} has {} rows in {}, not {}", correction.visit, rows.size(), correction.table, correction.row),
                       "count the rows of the visit from 1");
    return correctRow(rows[static_cast<std::size_t>(correction.row) - 1], correction);
}

}  // namespace

Result<void> applyCorrection(Visit& visit, const Correction& correction)
{
    if (correction.table == "visits")
        return correctRow(visit, correction);
    if (correction.table == "readings")
        return correctRowOf(visit.readings, correction);
    if (correction.table == "grabs")
        return correctRowOf(visit.grabs, correction);
    if (correction.table == "checks")
        return correctRowOf(visit.checks, correction);
    if (correction.table == "actions")
        return correctRowOf(visit.actions, correction);
    return failure(Errc::NotFound, fmt::format("\"{}\" is not a table of a visit", correction.table),
                   "use visits, readings, grabs, checks or actions");
}

}  // namespace halfcell::core
