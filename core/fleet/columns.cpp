#include "core/fleet/columns.h"

#include "core/fleet/column_access.h"

namespace halfcell::core {

namespace cells {

Result<void> assign(std::vector<std::string>& field, std::string_view cell)
{
    field.clear();
    while (!cell.empty()) {
        const std::size_t end = cell.find(';');
        std::string_view item = cell.substr(0, end);
        cell = end == std::string_view::npos ? std::string_view() : cell.substr(end + 1);
        while (!item.empty() && item.front() == ' ')
            item.remove_prefix(1);
        while (!item.empty() && item.back() == ' ')
            item.remove_suffix(1);
        if (!item.empty())
            field.emplace_back(item);
    }
    return {};
}

std::string text(const std::vector<std::string>& field)
{
    std::string joined;
    for (const auto& item : field) {
        if (!joined.empty())
            joined += ';';
        joined += item;
    }
    return joined;
}

Result<void> assign(std::vector<SettlePoint>& field, std::string_view cell)
{
    constexpr double kLongest = 86400.0, kMost = 2000.0;  // the bounds of wait_s and mv
    std::vector<SettlePoint> read;
    while (!cell.empty()) {
        const std::size_t end = cell.find(';');
        const std::string_view item = cell.substr(0, end);
        cell = end == std::string_view::npos ? std::string_view() : cell.substr(end + 1);
        const std::size_t colon = item.find(':');
        const auto seconds = colon == std::string_view::npos ? Result<double>(std::unexpected(Error{})) : parseNumber(item.substr(0, colon));
        const auto mv = colon == std::string_view::npos ? Result<double>(std::unexpected(Error{})) : parseNumber(item.substr(colon + 1));
        if (!seconds || !mv)
            return failure(Errc::BadInput, fmt::format("\"{}\" is no reading of a settle series", item.substr(0, 40)),
                           "write seconds:mV, each after a semicolon: 0:-3.1;10:95.4");
        if (*seconds < 0.0 || *seconds > kLongest || *mv < -kMost || *mv > kMost || (!read.empty() && *seconds <= read.back().seconds))
            return failure(Errc::BadInput, fmt::format("\"{}\": seconds of a settle series start at 0 and ascend, mV lie within 2000", item),
                           "check the times and the millivolts");
        read.push_back({*seconds, *mv});
    }
    field = std::move(read);
    return {};
}

std::string text(const std::vector<SettlePoint>& field)
{
    std::string joined;
    for (const auto& p : field) {
        if (!joined.empty())
            joined += ';';
        joined += formatNumber(p.seconds) + ':' + formatNumber(p.mv);
    }
    return joined;
}

}  // namespace cells

#define HC_TABLE(RowType, ...)                                   \
    template <>                                                  \
    std::span<const Column<RowType>> columnsOf<RowType>()        \
    {                                                            \
        using Row = RowType;                                     \
        static const Column<Row> kColumns[] = {__VA_ARGS__};     \
        return kColumns;                                         \
    }

HC_TABLE(Site, HC_REQUIRED(site), HC_OPTIONAL(note), HC_OPTIONAL(recorded))

HC_TABLE(Point, HC_REQUIRED(tag), HC_REQUIRED(site), HC_OPTIONAL(area), HC_OPTIONAL(description), HC_OPTIONAL(application),
         HC_OPTIONAL(loop_class), HC_WITHIN(ph_low, -2.0, 16.0), HC_WITHIN(ph_high, -2.0, 16.0), HC_WITHIN(temp_degc, -20.0, 150.0),
         HC_WITHIN(tolerance_ph, 0.0, 7.0), HC_WITHIN(tolerance_mv, 0.0, 1000.0), HC_OPTIONAL(hazards), HC_OPTIONAL(location),
         HC_OPTIONAL(phone), HC_WITHIN(consequence_per_week, 0.0, 1e9), HC_OPTIONAL(permit_area), HC_OPTIONAL(walk_order),
         HC_WITHIN(walk_minutes, 0.0, 1440.0), HC_WITHIN(legal_floor_days, 0.0, 36500.0), HC_OPTIONAL(legal_clause),
         HC_OPTIONAL(grab_quality), HC_OPTIONAL(season_from), HC_OPTIONAL(season_to), HC_OPTIONAL(recorded))

HC_TABLE(Model, HC_REQUIRED(model), HC_REQUIRED(kind), HC_OPTIONAL(reference), HC_OPTIONAL(sensing), HC_OPTIONAL(reference_fill),
         HC_OPTIONAL(interchange), HC_WITHIN(price, 0.0, 1e7), HC_WITHIN(lead_time_days, 0.0, 3650.0), HC_OPTIONAL(recorded))

HC_TABLE(Sensor, HC_REQUIRED(serial), HC_REQUIRED(model), HC_OPTIONAL(bought), HC_OPTIONAL(opened), HC_OPTIONAL(first_wet),
         HC_OPTIONAL(shelf_expires), HC_OPTIONAL(production_lot), HC_WITHIN(price, 0.0, 1e7), HC_OPTIONAL(note), HC_OPTIONAL(recorded))

HC_TABLE(Placement, HC_REQUIRED(serial), HC_REQUIRED(place), HC_REQUIRED(from), HC_OPTIONAL(to), HC_OPTIONAL(reason_removed),
         HC_OPTIONAL(from_latest), HC_OPTIONAL(pre_emptive), HC_WITHIN(entry_age_days, 0.0, 36500.0), HC_WITHIN(wet_days, 0.0, 36500.0),
         HC_WITHIN(hot_cycles, 0.0, 1e6), HC_OPTIONAL(recorded))

HC_TABLE(PartRecord, HC_REQUIRED(serial), HC_REQUIRED(part), HC_REQUIRED(from), HC_OPTIONAL(to), HC_OPTIONAL(lot), HC_OPTIONAL(recorded))

HC_TABLE(Lot, HC_REQUIRED(lot), HC_REQUIRED(standard), HC_OPTIONAL(received), HC_OPTIONAL(opened), HC_OPTIONAL(expires),
         HC_OPTIONAL(discarded), HC_WITHIN(certified_ph, -2.0, 16.0), HC_WITHIN(certified_mv, -2000.0, 2000.0), HC_WITHIN(u_ph, 0.0, 1.0),
         HC_WITHIN(u_mv, 0.0, 100.0), HC_OPTIONAL(note), HC_OPTIONAL(recorded))

HC_TABLE(StandardRow, HC_REQUIRED(standard), HC_REQUIRED_WITHIN(temp_degc, -20.0, 150.0), HC_WITHIN(ph, -2.0, 16.0),
         HC_WITHIN(mv, -2000.0, 2000.0), HC_WITHIN(u, 0.0, 100.0), HC_OPTIONAL(recorded))

HC_TABLE(Equipment, HC_REQUIRED(equipment), HC_REQUIRED(kind), HC_OPTIONAL(checked), HC_OPTIONAL(error), HC_OPTIONAL(due),
         HC_OPTIONAL(note), HC_OPTIONAL(recorded))

HC_TABLE(Person, HC_REQUIRED(person), HC_OPTIONAL(skills), HC_OPTIONAL(days), HC_WITHIN(minutes_per_day, 0.0, 1440.0), HC_OPTIONAL(from),
         HC_OPTIONAL(to), HC_OPTIONAL(recorded))

HC_TABLE(Legacy, HC_REQUIRED(serial), HC_REQUIRED(when), HC_REQUIRED(phase), HC_WITHIN(efficiency_pct, -200.0, 200.0),
         HC_WITHIN(offset_mv, -2000.0, 2000.0), HC_WITHIN(t90_s, 0.0, 86400.0), HC_OPTIONAL(person), HC_OPTIONAL(note),
         HC_OPTIONAL(recorded))

HC_TABLE(Hold, HC_REQUIRED(point), HC_REQUIRED(from), HC_REQUIRED(person), HC_OPTIONAL(to), HC_OPTIONAL(closed_by),
         HC_OPTIONAL(closed_how), HC_OPTIONAL(note), HC_OPTIONAL(recorded))

HC_TABLE(Correction, HC_REQUIRED(visit), HC_REQUIRED(table), HC_REQUIRED(row), HC_REQUIRED(field), Column<Row>{"old", false, &cells::set<Row, &Row::old_value>, &cells::get<Row, &Row::old_value>, &cells::clear<Row, &Row::old_value>},
         Column<Row>{"new", false, &cells::set<Row, &Row::new_value>, &cells::get<Row, &Row::new_value>, &cells::clear<Row, &Row::new_value>}, HC_REQUIRED(recorded), HC_REQUIRED(person), HC_REQUIRED(why))

}  // namespace halfcell::core
