#include "core/fleet/keys.h"

#include "core/fleet/records.h"

namespace halfcell::core {

#define HALFCELL_KEYS(E, ...)                                   \
    template <>                                                 \
    std::span<const KeyEntry<E>> keyEntries<E>()                \
    {                                                           \
        using enum E;                                           \
        static constexpr KeyEntry<E> kEntries[] = {__VA_ARGS__}; \
        return kEntries;                                        \
    }

HALFCELL_KEYS(SensorKind, {Ph, "ph", "pH"}, {Orp, "orp", "ORP"})

HALFCELL_KEYS(ReferenceDesign, {SingleGel, "single_gel", "single-junction gel"}, {DoubleGel, "double_gel", "double-junction gel"},
              {DoubleRefillable, "double_refillable", "double-junction refillable"},
              {LiquidRefillable, "liquid_refillable", "liquid-filled refillable"},
              {PolymerOpen, "polymer_open", "polymer, open aperture"}, {LargeJunction, "large_junction", "large junction"},
              {DifferentialBridge, "differential_bridge", "differential with bridge"})

HALFCELL_KEYS(Sensing, {Bulb, "bulb", "bulb glass"}, {Flat, "flat", "flat glass"}, {Hardened, "hardened", "hardened glass"},
              {HfResistant, "hf_resistant", "HF-resistant glass"}, {Isfet, "isfet", "ISFET"}, {Antimony, "antimony", "antimony"},
              {Platinum, "platinum", "platinum"}, {Gold, "gold", "gold"})

HALFCELL_KEYS(LoopClass, {Indication, "indication", "indication"}, {Control, "control", "control loop"}, {Alarm, "alarm", "alarm"},
              {Interlock, "interlock", "interlock"}, {Permit, "permit", "permit"}, {Quality, "quality", "quality"})

HALFCELL_KEYS(GrabQuality, {Clean, "clean", "clean"}, {Dirty, "dirty", "dirty"}, {Pure, "pure", "pure water"})

HALFCELL_KEYS(VisitReason, {Routine, "routine", "routine"}, {Complaint, "complaint", "complaint"}, {Alarm, "alarm", "alarm"},
              {AfterShutdown, "after_shutdown", "after shutdown"}, {AfterProductChange, "after_product_change", "after product change"},
              {FailedCheck, "failed_check", "failed check"}, {Audit, "audit", "audit"}, {New, "new", "new sensor"})

HALFCELL_KEYS(RemovalReason, {Broken, "broken", "broken"}, {Slope, "slope", "low efficiency"}, {Offset, "offset", "offset"},
              {Slow, "slow", "slow"}, {Erratic, "erratic", "erratic"}, {Junction, "junction", "junction"},
              {Poisoned, "poisoned", "reference poisoned"}, {Wet, "wet", "leaked or wet"}, {Cable, "cable", "cable"},
              {TemperatureElement, "temperature_element", "temperature element"}, {PreEmptive, "pre_emptive", "replaced ahead of failure"},
              {Rotation, "rotation", "rotation"}, {Unknown, "unknown", "unknown"}, {Lost, "lost", "lost"})

HALFCELL_KEYS(Phase, {AsFound, "as_found", "as found"}, {AfterClean, "after_clean", "after cleaning"}, {AsLeft, "as_left", "as left"})

HALFCELL_KEYS(TemperatureSource, {Measured, "measured", "measured"}, {Carried, "carried", "carried"}, {Sensor, "sensor", "sensor's own"},
              {Guessed, "guessed", "guessed"}, {Absent, "absent", "absent"})

HALFCELL_KEYS(CoatingKind, {Hard, "hard", "hard, scaly"}, {Smear, "smear", "smears, greasy"}, {Slippery, "slippery", "slippery film"},
              {Slime, "slime", "slime"})

HALFCELL_KEYS(Part, {Bridge, "bridge", "salt bridge"}, {CellSolution, "cell_solution", "cell solution"},
              {Electrolyte, "electrolyte", "electrolyte"}, {ORing, "o_ring", "O-ring"}, {Cable, "cable", "cable"},
              {Preamplifier, "preamplifier", "preamplifier"})

HALFCELL_KEYS(EquipmentKind, {Meter, "meter", "meter"}, {Thermometer, "thermometer", "thermometer"})

HALFCELL_KEYS(ActionKey, {CleanDetergent, "clean_detergent", "clean with detergent"}, {CleanAlcohol, "clean_alcohol", "clean with alcohol"},
              {CleanAcid, "clean_acid", "clean with weak acid"}, {CleanEnzyme, "clean_enzyme", "clean with enzyme"},
              {CleanThiourea, "clean_thiourea", "clean with thiourea"}, {CleanHypochlorite, "clean_hypochlorite", "clean with hypochlorite"},
              {ClearJunction, "clear_junction", "clear the junction"}, {ScrapeJunction, "scrape_junction", "scrape the junction"},
              {Condition, "condition", "condition"}, {Rehydrate, "rehydrate", "rehydrate"},
              {RefillReference, "refill_reference", "refill the reference"},
              {ReplaceBridge, "replace_bridge", "replace the bridge with its cell solution"},
              {RegenerateGlass, "regenerate_glass", "regenerate the glass"}, {PolishMetal, "polish_metal", "polish the metal"},
              {DryConnector, "dry_connector", "dry the connector"}, {Rewire, "rewire", "rewire"}, {Standardise, "standardise", "standardise"},
              {Adjust, "adjust", "adjust"}, {Replace, "replace", "replace the sensor"}, {Scrap, "scrap", "scrap"})

HALFCELL_KEYS(Comparison, {Same, "same", "same"}, {Changes, "changes", "changes"}, {NotPossible, "not_possible", "not possible"})

HALFCELL_KEYS(HoldClosed, {Auto, "auto", "back in auto"},
              {HandedToControlRoom, "handed_to_control_room", "handed to the control room"})

HALFCELL_KEYS(Signal, {Normal, "normal", "normal"}, {MaintenanceRequired, "maintenance_required", "Maintenance required"},
              {OutOfSpecification, "out_of_specification", "Out of specification"}, {FunctionCheck, "function_check", "Function check"},
              {Failure, "failure", "Failure"})

HALFCELL_KEYS(Verdict, {Leave, "leave", "leave"}, {Recheck, "recheck", "read again"}, {Clean, "clean", "clean"},
              {Condition, "condition", "condition"}, {Rehydrate, "rehydrate", "rehydrate"},
              {RefillReference, "refill_reference", "refill reference"}, {ReplaceBridge, "replace_bridge", "replace bridge"},
              {RegenerateGlass, "regenerate_glass", "regenerate glass"}, {CheckWiring, "check_wiring", "check wiring"},
              {CheckStandards, "check_standards", "check standards"}, {Replace, "replace", "replace"},
              {NotEnoughData, "not_enough_data", "not enough data"})

HALFCELL_KEYS(
    FindingCode, {GlassBroken, "glass_broken", "Broken glass"}, {GlassShunted, "glass_shunted", "Shunted glass or wet connector"},
    {FilmScale, "film_scale", "Scale film on the glass"}, {FilmGrease, "film_grease", "Grease film on the glass"},
    {FilmProtein, "film_protein", "Protein film on the glass"}, {Biofilm, "biofilm", "Biofilm on the glass"},
    {GlassAged, "glass_aged", "Glass ageing"}, {GlassEtched, "glass_etched", "Etched or abraded glass"},
    {GlassDry, "glass_dry", "Dried glass"}, {AlkaliError, "alkali_error", "Alkali error"},
    {JunctionClogged, "junction_clogged", "Junction partly clogged"}, {JunctionBlocked, "junction_blocked", "Junction blocked or dry"},
    {ElectrolyteDiluted, "electrolyte_diluted", "Electrolyte diluted"},
    {ReferencePoisoned, "reference_poisoned", "Reference poisoned"},
    {CellContaminated, "cell_contaminated", "Reference cell solution contaminated"},
    {BridgeExhausted, "bridge_exhausted", "Salt bridge exhausted"}, {ShortCircuit, "short_circuit", "Short circuit"},
    {OpenCircuit, "open_circuit", "Open circuit"}, {LeadsReversed, "leads_reversed", "Leads reversed"},
    {TemperatureElement, "temperature_element", "Temperature element"}, {GroundLoop, "ground_loop", "Ground loop"},
    {MetalFilmed, "metal_filmed", "Filmed metal"}, {MetalPoisoned, "metal_poisoned", "Poisoned metal"},
    {NoResponse, "no_response", "No response"}, {WrongStandard, "wrong_standard", "Wrong standard"},
    {StaleStandard, "stale_standard", "Stale standard"}, {TemperatureIgnored, "temperature_ignored", "Temperature ignored"},
    {ReadTooSoon, "read_too_soon", "Read too soon"}, {WrongSensor, "wrong_sensor", "Another sensor than recorded"},
    {EntryError, "entry_error", "Entry error"}, {ProcessDisagrees, "process_disagrees", "Process and grab sample disagree"},
    {StandardExpired, "standard_expired", "Standard past its use"}, {Overdue, "overdue", "Overdue"},
    {TemperatureMissing, "temperature_missing", "No temperature"}, {OutsideTable, "outside_table", "Outside the standard's table"},
    {StandardsTooClose, "standards_too_close", "Standards too close together"}, {TooFewReadings, "too_few_readings", "Too few readings"},
    {GateWorn, "gate_worn", "Worn gate"}, {Healthy, "healthy", "In order"})

HALFCELL_KEYS(TaskKind, {Verify, "verify", "verify"}, {Clean, "clean", "clean"}, {Check, "check", "check"},
              {Calibrate, "calibrate", "calibrate"}, {Service, "service", "service"},
              {RefillReference, "refill_reference", "refill reference"}, {ReplaceBridge, "replace_bridge", "replace bridge"},
              {Replace, "replace", "replace"}, {Fault, "fault", "find the fault"},
              {StorageSolution, "storage_solution", "storage solution"}, {ShelfCheck, "shelf_check", "shelf check"},
              {GrabCheck, "grab_check", "grab check"}, {Lot, "lot", "bottle"}, {Equipment, "equipment", "equipment check"})

HALFCELL_KEYS(NoAnswer, {NotDone, "not_done", "not done"}, {NotApplicable, "not_applicable", "not applicable"},
              {NotPossible, "not_possible", "not possible"})

#undef HALFCELL_KEYS

bool cleansOrRenews(ActionKey a)
{
    switch (a) {
    case ActionKey::DryConnector:
    case ActionKey::Rewire:
    case ActionKey::Standardise:
    case ActionKey::Adjust:
    case ActionKey::Replace:
    case ActionKey::Scrap:
        return false;
    default:
        return true;
    }
}

}  // namespace halfcell::core
