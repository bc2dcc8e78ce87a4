#pragma once

#include "core/outlook/trend.h"
#include "core/review/chain.h"
#include "core/review/knapsack.h"
#include "core/review/review.h"
#include "core/upkeep/last_done.h"

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

/// The parts of `reviewFleet`. Internal to core/review.
namespace halfcell::core::review {

/// What is known of one sensor in service.
struct CaseInput {
    const Plant& plant;
    const SensorHistory& history;
    const Assessment& assessment;
    std::span<const VisitFigures> figures;
    const RuleSet& rules;
    Standing standing = {};
    SensorKind kind = SensorKind::Ph;
    std::string application = {};            ///< "*" if not recorded
    std::string loopClass = {};              ///< key or "unknown"
    double ageMonths = 0.0;
    std::size_t cleanFits = 0;
    std::size_t groupLives = 0;              ///< ended lives of the same reference design in the same application
    std::size_t services = 0;                ///< restoring services done
    std::optional<Trend> trend = {};
};

/// The classes a sensor may be in now, with their chances; empty reason if they are known.
struct StateNow {
    std::array<double, kWearClasses> chance{};
    std::string unknown;                     ///< why it is not known
    [[nodiscard]] WearClass likeliest() const;
};
[[nodiscard]] StateNow stateNow(const CaseInput& input);
/// What the cure of the verdict would bring: with its chance the class of the clean sensor, else the class of now.
struct Cure {
    std::array<double, kWearClasses> serviced{};
    double chance = 0.0;
    std::string words;                       ///< "clean: film_scale"
};
/// Absent where the verdict names no cure or the state is not known.
[[nodiscard]] std::optional<Cure> cureNow(const CaseInput& input, const StateNow& state);
/// Visits that restored the sensor: refill, bridge, regeneration, rehydration, junction or polish after a reading below class A
/// (ORP: beyond `offsetLimit_mv`). Routine refills of a sound sensor do not count.
[[nodiscard]] std::size_t servicesDone(const SensorHistory& history, std::span<const VisitFigures> figures, double offsetLimit_mv);
/// True if a model measures what this point needs: glass for glass; fluoride asks for glass or metal that stands it, and nothing
/// else does; antimony, ISFET and the metals of ORP are not exchanged for each other (cyanide asks for gold).
[[nodiscard]] bool suits(const Model& other, const Model& own, const Point* point);
[[nodiscard]] std::size_t cleanFits(std::span<const VisitFigures> figures, SensorKind kind);

/// A figure of the rule set with its source; added to the assumptions once.
[[nodiscard]] double assume(const RuleSet& rules, std::string_view key, std::string what, std::string unit, std::vector<Assumption>& list);

/// Wear of a design against the life table, which is that of a double junction with a bulb.
[[nodiscard]] double designWear(const Model* model, const Point* point, const RuleSet& rules);
/// The wear multiplier of the application: expected life of the chain at 1 over the usual life there.
[[nodiscard]] double applicationWear(const ChainSettings& settings, const LifeMonths& life);
/// Draws of the wear multiplier (before `base`), weighted by what this sensor has shown.
[[nodiscard]] std::vector<WearDraw> wearDraws(const CaseInput& input, const ChainSettings& settings, const StateNow& state, double base);

/// The settings of the rule set, losses scaled to the consequence of the point.
[[nodiscard]] ChainSettings chainSettings(const CaseInput& input, std::vector<Assumption>& assumptions);

/// A case with the numbers behind its ranking.
struct Judged {
    ReviewCase shown;
    double saving = 0.0;                     ///< of the best option against running on
    std::vector<SpendingItem> spending;
    std::vector<OptionKind> spendingOption;  ///< of each item
    bool replaceNow = false;
};
[[nodiscard]] Judged judge(const CaseInput& input);

[[nodiscard]] std::vector<SpareType> spareTypes(const Plant& plant, std::span<const Assessment> assessments, const RuleSet& rules,
                                                std::span<const std::string> replacedNow);
[[nodiscard]] FleetFigures fleetFigures(const Plant& plant, std::span<const std::vector<VisitFigures>> figures);

}  // namespace halfcell::core::review
