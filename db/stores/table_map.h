#pragma once

#include "db/stores/own_rows.h"
#include "db/stores/row_slots.h"

/// Every record table: its name, its word in the journal, what makes two rows the same row, its canonical order, its
/// fields. The columns are those of resources/sql.
namespace halfcell::db {

template <>
struct TableMap<core::Site> {
    using Row = core::Site;
    static constexpr std::string_view kTable = "sites", kWhat = "site", kKeys = "site", kOrder = "site";
    static constexpr auto fields()
    {
        return std::tuple(Field{"site", &Row::site}, Field{"note", &Row::note}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Point> {
    using Row = core::Point;
    static constexpr std::string_view kTable = "points", kWhat = "point", kKeys = "tag", kOrder = "tag";
    static constexpr auto fields()
    {
        return std::tuple(Field{"tag", &Row::tag}, Field{"site", &Row::site}, Field{"area", &Row::area}, Field{"description",
                          &Row::description}, Field{"application", &Row::application}, Field{"loop_class", &Row::loop_class},
                          Field{"ph_low", &Row::ph_low}, Field{"ph_high", &Row::ph_high}, Field{"temp_degc", &Row::temp_degc},
                          Field{"tolerance_ph", &Row::tolerance_ph}, Field{"tolerance_mv", &Row::tolerance_mv}, Field{"hazards",
                          &Row::hazards}, Field{"location", &Row::location}, Field{"phone", &Row::phone}, Field{"consequence_per_week",
                          &Row::consequence_per_week}, Field{"permit_area", &Row::permit_area}, Field{"walk_order", &Row::walk_order},
                          Field{"walk_minutes", &Row::walk_minutes}, Field{"legal_floor_days", &Row::legal_floor_days},
                          Field{"legal_clause", &Row::legal_clause}, Field{"grab_quality", &Row::grab_quality}, Field{"season_from",
                          &Row::season_from}, Field{"season_to", &Row::season_to}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Model> {
    using Row = core::Model;
    static constexpr std::string_view kTable = "models", kWhat = "model", kKeys = "model", kOrder = "model";
    static constexpr auto fields()
    {
        return std::tuple(Field{"model", &Row::model}, Field{"kind", &Row::kind}, Field{"reference", &Row::reference}, Field{"sensing",
                          &Row::sensing}, Field{"reference_fill", &Row::reference_fill}, Field{"interchange", &Row::interchange},
                          Field{"price", &Row::price}, Field{"lead_time_days", &Row::lead_time_days}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Sensor> {
    using Row = core::Sensor;
    static constexpr std::string_view kTable = "sensors", kWhat = "sensor", kKeys = "serial", kOrder = "serial";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"model", &Row::model}, Field{"bought", &Row::bought}, Field{"opened",
                          &Row::opened}, Field{"first_wet", &Row::first_wet}, Field{"shelf_expires", &Row::shelf_expires},
                          Field{"production_lot", &Row::production_lot}, Field{"price", &Row::price}, Field{"note", &Row::note},
                          Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Placement> {
    using Row = core::Placement;
    static constexpr std::string_view kTable = "placements", kWhat = "placement", kKeys = "serial from_s place", kOrder = "serial, from_s, place";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"place", &Row::place}, Field{"from", &Row::from}, Field{"to", &Row::to},
                          Field{"reason_removed", &Row::reason_removed}, Field{"from_latest", &Row::from_latest}, Field{"pre_emptive",
                          &Row::pre_emptive}, Field{"entry_age_days", &Row::entry_age_days}, Field{"wet_days", &Row::wet_days},
                          Field{"hot_cycles", &Row::hot_cycles}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<PlacementEnd> {
    using Row = PlacementEnd;
    static constexpr std::string_view kTable = "placement_ends", kWhat = "placement_end", kKeys = "serial from_s place", kOrder = "serial, from_s, place";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"place", &Row::place}, Field{"from", &Row::from}, Field{"to", &Row::to},
                          Field{"reason_removed", &Row::reason_removed}, Field{"pre_emptive", &Row::pre_emptive}, Field{"person",
                          &Row::person}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::PartRecord> {
    using Row = core::PartRecord;
    static constexpr std::string_view kTable = "parts", kWhat = "part", kKeys = "serial part from_s", kOrder = "serial, part, from_s";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"part", &Row::part}, Field{"from", &Row::from}, Field{"to", &Row::to},
                          Field{"lot", &Row::lot}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<PartEnd> {
    using Row = PartEnd;
    static constexpr std::string_view kTable = "part_ends", kWhat = "part_end", kKeys = "serial part from_s", kOrder = "serial, part, from_s";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"part", &Row::part}, Field{"from", &Row::from}, Field{"to", &Row::to},
                          Field{"person", &Row::person}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Lot> {
    using Row = core::Lot;
    static constexpr std::string_view kTable = "lots", kWhat = "lot", kKeys = "lot", kOrder = "lot";
    static constexpr auto fields()
    {
        return std::tuple(Field{"lot", &Row::lot}, Field{"standard", &Row::standard}, Field{"received", &Row::received}, Field{"opened",
                          &Row::opened}, Field{"expires", &Row::expires}, Field{"discarded", &Row::discarded}, Field{"certified_ph",
                          &Row::certified_ph}, Field{"certified_mv", &Row::certified_mv}, Field{"u_ph", &Row::u_ph}, Field{"u_mv",
                          &Row::u_mv}, Field{"note", &Row::note}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<LotEvent> {
    using Row = LotEvent;
    static constexpr std::string_view kTable = "lot_events", kWhat = "lot_event", kKeys = "lot event", kOrder = "lot, event";
    static constexpr auto fields()
    {
        return std::tuple(Field{"lot", &Row::lot}, Field{"event", &Row::event}, Field{"time", &Row::time}, Field{"person", &Row::person},
                          Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::StandardRow> {
    using Row = core::StandardRow;
    static constexpr std::string_view kTable = "standards", kWhat = "standard", kKeys = "standard temp_degc", kOrder = "standard, temp_degc";
    static constexpr auto fields()
    {
        return std::tuple(Field{"standard", &Row::standard}, Field{"temp_degc", &Row::temp_degc}, Field{"ph", &Row::ph}, Field{"mv",
                          &Row::mv}, Field{"u", &Row::u}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Equipment> {
    using Row = core::Equipment;
    static constexpr std::string_view kTable = "equipment", kWhat = "equipment", kKeys = "equipment", kOrder = "equipment";
    static constexpr auto fields()
    {
        return std::tuple(Field{"equipment", &Row::equipment}, Field{"kind", &Row::kind}, Field{"checked", &Row::checked}, Field{"error",
                          &Row::error}, Field{"due", &Row::due}, Field{"note", &Row::note}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Person> {
    using Row = core::Person;
    static constexpr std::string_view kTable = "people", kWhat = "person", kKeys = "person", kOrder = "person";
    static constexpr auto fields()
    {
        return std::tuple(Field{"person", &Row::person}, Field{"skills", &Row::skills}, Field{"days", &Row::days},
                          Field{"minutes_per_day", &Row::minutes_per_day}, Field{"from", &Row::from}, Field{"to", &Row::to},
                          Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Hold> {
    using Row = core::Hold;
    static constexpr std::string_view kTable = "holds", kWhat = "hold", kKeys = "point from_s", kOrder = "point, from_s";
    static constexpr auto fields()
    {
        return std::tuple(Field{"point", &Row::point}, Field{"from", &Row::from}, Field{"person", &Row::person}, Field{"to", &Row::to},
                          Field{"closed_by", &Row::closed_by}, Field{"closed_how", &Row::closed_how}, Field{"note", &Row::note},
                          Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<HoldEnd> {
    using Row = HoldEnd;
    static constexpr std::string_view kTable = "hold_ends", kWhat = "hold_end", kKeys = "point from_s", kOrder = "point, from_s";
    static constexpr auto fields()
    {
        return std::tuple(Field{"point", &Row::point}, Field{"from", &Row::from}, Field{"to", &Row::to}, Field{"closed_by",
                          &Row::closed_by}, Field{"closed_how", &Row::closed_how}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Legacy> {
    using Row = core::Legacy;
    static constexpr std::string_view kTable = "legacy", kWhat = "legacy", kKeys = "serial when_s phase", kOrder = "serial, when_s, phase";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"when", &Row::when}, Field{"phase", &Row::phase}, Field{"efficiency_pct",
                          &Row::efficiency_pct}, Field{"offset_mv", &Row::offset_mv}, Field{"t90_s", &Row::t90_s}, Field{"person",
                          &Row::person}, Field{"note", &Row::note}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<VisitRow> {
    using Row = VisitRow;
    static constexpr std::string_view kTable = "visits", kWhat = "visit", kKeys = "visit", kOrder = "visit";
    static constexpr auto fields()
    {
        return std::tuple(Field{"visit", &Row::visit}, Field{"when", &Row::when}, Field{"serial", &Row::serial}, Field{"tag", &Row::tag},
                          Field{"person", &Row::person}, Field{"reason", &Row::reason}, Field{"round", &Row::round}, Field{"manual_from",
                          &Row::manual_from}, Field{"auto_at", &Row::auto_at}, Field{"cleaned_before", &Row::cleaned_before},
                          Field{"confirmed_cause", &Row::confirmed_cause}, Field{"confirmed_how", &Row::confirmed_how}, Field{"remark",
                          &Row::remark}, Field{"stated", &Row::stated}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<VisitHead> {
    using Row = VisitHead;
    static constexpr std::string_view kTable = "visit_heads", kWhat = "visit_head", kKeys = "visit", kOrder = "visit";
    static constexpr auto fields()
    {
        return std::tuple(Field{"visit", &Row::visit}, Field{"when", &Row::when}, Field{"serial", &Row::serial}, Field{"tag", &Row::tag},
                          Field{"person", &Row::person}, Field{"reason", &Row::reason}, Field{"round", &Row::round}, Field{"manual_from",
                          &Row::manual_from}, Field{"auto_at", &Row::auto_at}, Field{"cleaned_before", &Row::cleaned_before},
                          Field{"confirmed_cause", &Row::confirmed_cause}, Field{"confirmed_how", &Row::confirmed_how}, Field{"remark",
                          &Row::remark}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Reading> {
    using Row = core::Reading;
    static constexpr std::string_view kTable = "readings", kWhat = "readings", kKeys = "", kOrder = "visit, seq";
    static constexpr auto fields()
    {
        return std::tuple(Field{"when", &Row::when}, Field{"phase", &Row::phase}, Field{"standard", &Row::standard}, Field{"lot",
                          &Row::lot}, Field{"mv", &Row::mv}, Field{"temp_degc", &Row::temp_degc}, Field{"temp_source", &Row::temp_source},
                          Field{"wait_s", &Row::wait_s}, Field{"t90_s", &Row::t90_s}, Field{"settled", &Row::settled}, Field{"meter",
                          &Row::meter}, Field{"thermometer", &Row::thermometer}, Field{"dip", &Row::dip}, Field{"shown_ph",
                          &Row::shown_ph}, Field{"keyed", &Row::keyed}, Field{"why_missing", &Row::why_missing}, Field{"note",
                          &Row::note}, Field{"settle", &Row::settle}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Grab> {
    using Row = core::Grab;
    static constexpr std::string_view kTable = "grabs", kWhat = "grabs", kKeys = "", kOrder = "visit, seq";
    static constexpr auto fields()
    {
        return std::tuple(Field{"when", &Row::when}, Field{"loop_ph", &Row::loop_ph}, Field{"grab_ph", &Row::grab_ph}, Field{"temp_degc",
                          &Row::temp_degc}, Field{"loop_mv", &Row::loop_mv}, Field{"grab_mv", &Row::grab_mv}, Field{"grab_when",
                          &Row::grab_when}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Check> {
    using Row = core::Check;
    static constexpr std::string_view kTable = "checks", kWhat = "checks", kKeys = "", kOrder = "visit, seq";
    static constexpr auto fields()
    {
        return std::tuple(Field{"when", &Row::when}, Field{"glass_mohm", &Row::glass_mohm}, Field{"glass_temp_degc",
                          &Row::glass_temp_degc}, Field{"reference_kohm", &Row::reference_kohm}, Field{"noise_mv", &Row::noise_mv},
                          Field{"hysteresis_mv", &Row::hysteresis_mv}, Field{"dilution_ph", &Row::dilution_ph}, Field{"stir_ph",
                          &Row::stir_ph}, Field{"reread_pct", &Row::reread_pct}, Field{"second_bottle", &Row::second_bottle},
                          Field{"cable", &Row::cable}, Field{"short_open", &Row::short_open}, Field{"earth_wire", &Row::earth_wire},
                          Field{"thermometer_off_k", &Row::thermometer_off_k}, Field{"coating", &Row::coating}, Field{"coating_kind",
                          &Row::coating_kind}, Field{"dry_hours", &Row::dry_hours}, Field{"minutes", &Row::minutes}, Field{"recorded",
                          &Row::recorded});
    }
};

template <>
struct TableMap<core::Action> {
    using Row = core::Action;
    static constexpr std::string_view kTable = "actions", kWhat = "actions", kKeys = "", kOrder = "visit, seq";
    static constexpr auto fields()
    {
        return std::tuple(Field{"when", &Row::when}, Field{"step", &Row::step}, Field{"action", &Row::action}, Field{"agent",
                          &Row::agent}, Field{"strength", &Row::strength}, Field{"minutes", &Row::minutes}, Field{"elapsed_minutes",
                          &Row::elapsed_minutes}, Field{"part_lot", &Row::part_lot}, Field{"note", &Row::note}, Field{"recorded",
                          &Row::recorded});
    }
};

template <>
struct TableMap<ShopName> {
    using Row = ShopName;
    static constexpr std::string_view kTable = "shop_names", kWhat = "shop_name", kKeys = "entry", kOrder = "entry";
    static constexpr auto fields()
    {
        return std::tuple(Field{"shop", &Row::shop}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<RuleSetRow> {
    using Row = RuleSetRow;
    static constexpr std::string_view kTable = "rule_sets", kWhat = "rule_set", kKeys = "id", kOrder = "id";
    static constexpr auto fields()
    {
        return std::tuple(Field{"id", &Row::id}, Field{"text", &Row::text}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<RuleAdoptionRow> {
    using Row = RuleAdoptionRow;
    static constexpr std::string_view kTable = "rule_adoptions", kWhat = "rule_adoption", kKeys = "entry", kOrder = "entry";
    static constexpr auto fields()
    {
        return std::tuple(Field{"id", &Row::id}, Field{"adopted", &Row::adopted}, Field{"person", &Row::person}, Field{"why", &Row::why},
                          Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<core::Correction> {
    using Row = core::Correction;
    static constexpr std::string_view kTable = "corrections", kWhat = "correction", kKeys = "", kOrder = "visit, seq";
    static constexpr auto fields()
    {
        // visit is a key column; old and new are words of SQL.
        return std::tuple(Field{"table_name", &Row::table}, Field{"row_number", &Row::row}, Field{"field", &Row::field},
                          Field{"old_value", &Row::old_value}, Field{"new_value", &Row::new_value}, Field{"person", &Row::person},
                          Field{"why", &Row::why}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<MergeRow> {
    using Row = MergeRow;
    static constexpr std::string_view kTable = "merges", kWhat = "merge", kKeys = "entry", kOrder = "entry";
    static constexpr auto fields()
    {
        return std::tuple(Field{"book", &Row::book}, Field{"merged", &Row::merged}, Field{"taken", &Row::taken}, Field{"unchanged",
                          &Row::unchanged}, Field{"clashes", &Row::clashes}, Field{"person", &Row::person}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<MergeVariant> {
    using Row = MergeVariant;
    static constexpr std::string_view kTable = "merge_variants", kWhat = "variant", kKeys = "clash digest", kOrder = "clash, digest";
    static constexpr auto fields()
    {
        return std::tuple(Field{"clash", &Row::clash}, Field{"digest", &Row::digest}, Field{"row_key", &Row::rowKey}, Field{"content",
                          &Row::content}, Field{"found", &Row::found}, Field{"recorded", &Row::recorded});
    }
};

template <>
struct TableMap<ClashSettlement> {
    using Row = ClashSettlement;
    static constexpr std::string_view kTable = "clash_settlements", kWhat = "settlement", kKeys = "clash entry", kOrder = "clash, entry";
    static constexpr auto fields()
    {
        return std::tuple(Field{"clash", &Row::clash}, Field{"seen", &Row::seen}, Field{"content", &Row::content}, Field{"person", &Row::person},
                          Field{"why", &Row::why}, Field{"recorded", &Row::recorded});
    }
};

}  // namespace halfcell::db
