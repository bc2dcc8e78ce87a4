#pragma once

#include "core/quantity/result.h"

#include <fmt/format.h>

#include <optional>
#include <span>
#include <string>
#include <string_view>

/// The closed word lists of the public tables. A key is what files and the command line carry (`double_gel`); screens
/// and paper say the words (`wordsOf`). Keys never change; new ones are added.
namespace halfcell::core {

/// One entry of a word list.
template <class E>
struct KeyEntry {
    E value;
    std::string_view key;
    std::string_view words;
};

/// Specialised per enumeration in keys.cpp: all entries in declaration order.
template <class E>
std::span<const KeyEntry<E>> keyEntries();

template <class E>
[[nodiscard]] std::string_view keyOf(E value)
{
    for (const auto& entry : keyEntries<E>())
        if (entry.value == value)
            return entry.key;
    return {};
}

/// Plain words for screens, speech and paper.
template <class E>
[[nodiscard]] std::string_view wordsOf(E value)
{
    for (const auto& entry : keyEntries<E>())
        if (entry.value == value)
            return entry.words;
    return {};
}

template <class E>
[[nodiscard]] std::optional<E> findKey(std::string_view key)
{
    for (const auto& entry : keyEntries<E>())
        if (entry.key == key)
            return entry.value;
    return std::nullopt;
}

/// Errc::BadInput with the list of allowed keys as remedy.
template <class E>
[[nodiscard]] Result<E> parseKey(std::string_view key)
{
    if (const auto found = findKey<E>(key))
        return *found;
    std::string list;
    for (const auto& entry : keyEntries<E>()) {
        if (!list.empty())
            list += ' ';
        list += entry.key;
    }
    return failure(Errc::BadInput, fmt::format("\"{}\" is not one of the allowed words", key.substr(0, 40)), "use one of: " + list);
}

/// What is measured.
enum class SensorKind { Ph, Orp };
/// How the reference is built.
enum class ReferenceDesign { SingleGel, DoubleGel, DoubleRefillable, LiquidRefillable, PolymerOpen, LargeJunction, DifferentialBridge };
/// The measuring half: glass form, solid state, or metal.
enum class Sensing { Bulb, Flat, Hardened, HfResistant, Isfet, Antimony, Platinum, Gold };
/// What the signal is used for.
enum class LoopClass { Indication, Control, Alarm, Interlock, Permit, Quality };
enum class GrabQuality { Clean, Dirty, Pure };
enum class VisitReason { Routine, Complaint, Alarm, AfterShutdown, AfterProductChange, FailedCheck, Audit, New };
enum class RemovalReason {
    Broken, Slope, Offset, Slow, Erratic, Junction, Poisoned, Wet, Cable, TemperatureElement, PreEmptive, Rotation, Unknown, Lost
};
/// When in a visit a reading was taken.
enum class Phase { AsFound, AfterClean, AsLeft };
enum class TemperatureSource { Measured, Carried, Sensor, Guessed, Absent };
enum class CoatingKind { Hard, Smear, Slippery, Slime };
enum class Part { Bridge, CellSolution, Electrolyte, ORing, Cable, Preamplifier };
enum class EquipmentKind { Meter, Thermometer };
enum class ActionKey {
    CleanDetergent, CleanAlcohol, CleanAcid, CleanEnzyme, CleanThiourea, CleanHypochlorite, ClearJunction, ScrapeJunction, Condition,
    Rehydrate, RefillReference, ReplaceBridge, RegenerateGlass, PolishMetal, DryConnector, Rewire, Standardise, Adjust, Replace, Scrap
};
/// Outcome of a comparison test (spare cable, second bottle, shorting plug, earth wire).
enum class Comparison { Same, Changes, NotPossible };
enum class HoldClosed { Auto, HandedToControlRoom };
/// Condition signal in the words of NAMUR NE 107.
enum class Signal { Normal, MaintenanceRequired, OutOfSpecification, FunctionCheck, Failure };
enum class Verdict {
    Leave, Recheck, Clean, Condition, Rehydrate, RefillReference, ReplaceBridge, RegenerateGlass, CheckWiring, CheckStandards, Replace,
    NotEnoughData
};
/// What a finding can say (CONTRACT: findings[].code).
enum class FindingCode {
    GlassBroken, GlassShunted, FilmScale, FilmGrease, FilmProtein, Biofilm, GlassAged, GlassEtched, GlassDry, AlkaliError, JunctionClogged,
    JunctionBlocked, ElectrolyteDiluted, ReferencePoisoned, CellContaminated, BridgeExhausted, ShortCircuit, OpenCircuit, LeadsReversed,
    TemperatureElement, GroundLoop, MetalFilmed, MetalPoisoned, NoResponse, WrongStandard, StaleStandard, TemperatureIgnored, ReadTooSoon,
    WrongSensor, EntryError, ProcessDisagrees, StandardExpired, Overdue, TemperatureMissing, OutsideTable, StandardsTooClose,
    TooFewReadings, GateWorn, Healthy
};
/// Kinds of due work (CONTRACT: tasks[].task).
enum class TaskKind {
    Verify, Clean, Check, Calibrate, Service, RefillReference, ReplaceBridge, Replace, Fault, StorageSolution, ShelfCheck, GrabCheck, Lot,
    Equipment
};

template <> std::span<const KeyEntry<SensorKind>> keyEntries();
template <> std::span<const KeyEntry<ReferenceDesign>> keyEntries();
template <> std::span<const KeyEntry<Sensing>> keyEntries();
template <> std::span<const KeyEntry<LoopClass>> keyEntries();
template <> std::span<const KeyEntry<GrabQuality>> keyEntries();
template <> std::span<const KeyEntry<VisitReason>> keyEntries();
template <> std::span<const KeyEntry<RemovalReason>> keyEntries();
template <> std::span<const KeyEntry<Phase>> keyEntries();
template <> std::span<const KeyEntry<TemperatureSource>> keyEntries();
template <> std::span<const KeyEntry<CoatingKind>> keyEntries();
template <> std::span<const KeyEntry<Part>> keyEntries();
template <> std::span<const KeyEntry<EquipmentKind>> keyEntries();
template <> std::span<const KeyEntry<ActionKey>> keyEntries();
template <> std::span<const KeyEntry<Comparison>> keyEntries();
template <> std::span<const KeyEntry<HoldClosed>> keyEntries();
template <> std::span<const KeyEntry<Signal>> keyEntries();
template <> std::span<const KeyEntry<Verdict>> keyEntries();
template <> std::span<const KeyEntry<FindingCode>> keyEntries();
template <> std::span<const KeyEntry<TaskKind>> keyEntries();

/// True for the pH designs whose reference is a buffered cell behind a renewable bridge.
[[nodiscard]] constexpr bool isDifferential(ReferenceDesign d) { return d == ReferenceDesign::DifferentialBridge; }
/// True where electrolyte can be topped up or changed.
[[nodiscard]] constexpr bool isRefillable(ReferenceDesign d)
{
    return d == ReferenceDesign::DoubleRefillable || d == ReferenceDesign::LiquidRefillable || d == ReferenceDesign::DifferentialBridge;
}
[[nodiscard]] constexpr bool isGlass(Sensing s)
{
    return s == Sensing::Bulb || s == Sensing::Flat || s == Sensing::Hardened || s == Sensing::HfResistant;
}
[[nodiscard]] constexpr bool isMetal(Sensing s) { return s == Sensing::Platinum || s == Sensing::Gold; }
/// Steps that remove a deposit or renew a part: readings after them are `after_clean`.
[[nodiscard]] bool cleansOrRenews(ActionKey a);

}  // namespace halfcell::core
