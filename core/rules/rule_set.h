#pragma once

#include "core/calibration/figures.h"
#include "core/diagnosis/tables.h"
#include "core/fleet/keys.h"
#include "core/quantity/result.h"
#include "core/working/working.h"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// A limit with where it comes from.
struct Limit {
    double value = 0.0;
    std::string source;  ///< "common practice", "USGS A6.4", ...
    SourceClass sourceClass = SourceClass::CommonPractice;
};

/// The limits that hold for a sensor: one profile. Keys of the TOML file are the member names.
struct LimitProfile {
    std::string name;                  ///< default, process, agency
    Limit efficiency_new_pct;          ///< accept a new sensor from
    Limit efficiency_maintenance_pct;  ///< below: maintenance required
    Limit efficiency_use_pct;          ///< below: out of specification
    Limit efficiency_high_warn_pct;    ///< above: maintenance required (an error, never a very good sensor)
    Limit efficiency_high_refuse_pct;  ///< above: out of specification
    Limit offset_maintenance_mv;       ///< absolute
    Limit offset_use_mv;               ///< absolute; out of specification beyond (infinite where the profile has none)
    Limit t90_maintenance_s;
    Limit least_wait_s;  ///< least wait before a reading is taken
    Limit wait_per_t90;  ///< and this many times the last t90
    Limit legs_differ_pct;
    Limit orp_offset_maintenance_mv, orp_offset_use_mv;
    Limit orp_span_maintenance_pct, orp_span_use_pct, orp_span_failure_pct;
    Limit reference_kohm, glass_low_mohm, glass_high_mohm;  ///< at 25 degC
};

/// Which profile holds where: model first, else loop class, else site, else `default`.
struct ProfileAssignment {
    std::string model, loop_class, site;  ///< exactly one is set
    std::string profile;
};

/// Open life of a standard once opened, days, by standard key; `shelf` of sensors etc. live in the task rules.
struct StandardLife {
    std::string standard;
    double opened_days = 90;
    std::string source;
};

/// One line of the interval tables: application x task.
struct TaskRule {
    std::string application;  ///< "*" = any
    std::string design;       ///< reference or sensing key, or "*"
    TaskKind task = TaskKind::Check;
    double interval_days = 0;
    std::string source;
    SourceClass sourceClass = SourceClass::CommonPractice;
};

/// What a design allows: yes, limited (with a note) or no (with the reason).
struct DesignAllows {
    enum class Offer { Yes, Limited, No };
    Offer offer = Offer::Yes;
    std::string why;
};

/// What one sensor takes of something.
struct Consumable {
    std::string item;
    double amount = 0;
    std::string unit;  ///< mL, L, piece
};

/// One action of the catalogue.
struct ActionRule {
    ActionKey action = ActionKey::CleanDetergent;
    char letter = ' ';
    std::string name;
    double minutes = 0, elapsed_minutes = 0;
    std::vector<std::string> consumables;  ///< in words: "hydrochloric acid 5 %, 50 mL"
    std::vector<std::string> renews;       ///< parts, by key; of a differential sensor `renews_differential` if given
    std::vector<std::string> cautions;     ///< caution keys
    std::string source;
    std::string how;                 ///< the step in short
    std::string agent, strength;     ///< the default recipe
    std::vector<std::string> holds;  ///< what of it a caution looks for: acid, acid_buffer, alkali, hypochlorite, ...
    std::vector<Consumable> amounts;
    std::vector<std::string> renews_differential;
    SourceClass sourceClass = SourceClass::CommonPractice;
};

/// A caution shown where an action is chosen; an interlock asks a question that must be answered.
struct Caution {
    std::string key;
    std::string text;
    std::string question;  ///< empty: no answer needed
    std::string title;
    std::string level;  ///< danger, warning, notice
};

/// How long sensors last in an application, months until replacement for any cause.
struct LifeMonths {
    double shortest = 0, usual = 0, longest = 0;
    std::string source;
    SourceClass sourceClass = SourceClass::Memory;
};

/// The rule set: everything a shop may change, as data. Loaded from TOML, stored in the book by version. Immutable once
/// loaded; any thread.
class RuleSet {
public:
    /// The shipped rule set (embedded TOML files of resources/rules).
    static const RuleSet& shipped();
    /// Reads a rule set. Errors name line, field and remedy; inconsistent sets are refused by field ("use (85) must lie
    /// below maintenance (80)"). A text whose [rules] has `base = "shipped"` needs only what it changes; `text()` is then
    /// the whole set, so that a stored set does not depend on the program that reads it.
    static Result<RuleSet> parse(std::string_view toml);

    [[nodiscard]] std::string id() const;  ///< "default@1"
    [[nodiscard]] const std::string& text() const { return m_text; }
    [[nodiscard]] const LimitProfile& profile(std::string_view name) const;  ///< default if unknown
    [[nodiscard]] const LimitProfile& profileFor(const Model* model, const Point* point) const;
    [[nodiscard]] std::vector<std::string> profileNames() const;
    [[nodiscard]] const BudgetDefaults& budget() const { return m_budget; }
    [[nodiscard]] std::vector<Signal> signalOrder() const { return m_signalOrder; }  ///< most urgent first
    [[nodiscard]] double openLifeDays(std::string_view standard) const;
    /// The interval of a task for an application and design; nullopt where the rule set has none.
    [[nodiscard]] std::optional<TaskRule> taskRule(TaskKind task, std::string_view application, const Model* model) const;
    [[nodiscard]] DesignAllows allows(const Model& model, ActionKey action) const;
    /// The same, and what the point's hazards forbid (hypochlorite on cyanide duty). `point` may be null.
    [[nodiscard]] DesignAllows allowsAt(const Model& model, ActionKey action, const Point* point) const;
    [[nodiscard]] bool allowsTest(const Model& model, std::string_view test) const;  ///< glass_resistance, reference_resistance
    [[nodiscard]] const ActionRule& action(ActionKey action) const;
    [[nodiscard]] std::optional<ActionKey> actionByLetter(char letter) const;
    /// Cautions for taking this action on a sensor of this point, given what was done before in the visit (acid after
    /// hypochlorite and the reverse) and the standards dipped in. Most dangerous first.
    [[nodiscard]] std::vector<Caution> cautionsFor(ActionKey action, std::string_view agent, const Point* point, const Visit& sofar) const;
    /// Cautions for dipping into a standard (zobell, light, quinhydrone), given the visit so far.
    [[nodiscard]] std::vector<Caution> cautionsForStandard(std::string_view standard, const Visit& sofar) const;
    /// Cautions for taking a sensor out of this point (loop class, hot, pressure, what is in the pipe).
    [[nodiscard]] std::vector<Caution> cautionsForWithdrawal(const Point* point) const;
    /// Cautions that come with a finding (broken glass).
    [[nodiscard]] std::vector<Caution> cautionsForFinding(FindingCode finding) const;
    [[nodiscard]] std::optional<Caution> caution(std::string_view key) const;
    /// What a step holds that a caution or a calculation asks for: acid, acid_buffer, alkali, hypochlorite, solvent, thiourea,
    /// ammonia, fluoride, hot_liquid. Follows the agent typed, else the recipe of the action.
    [[nodiscard]] std::vector<std::string> holds(ActionKey action, std::string_view agent) const;
    [[nodiscard]] bool permits(std::string_view permission) const;
    [[nodiscard]] LifeMonths lifeMonths(std::string_view application) const;
    /// Money and planning figures by key (labour_rate, repeat_visit, consequence.control, wrench_time ...), with source.
    [[nodiscard]] Limit number(std::string_view key) const;  ///< value 0 and source "not set" if unknown
    /// Its value where it is set and above 0, else `otherwise`.
    [[nodiscard]] double numberOr(std::string_view key, double otherwise) const;

    /// The tables of the probabilistic diagnosis.
    [[nodiscard]] const diagnosis::Tables& diagnosisTables() const;

    struct Data;  ///< defined in rule_set_data.h for the loader
private:
    [[nodiscard]] const Data& data() const;  ///< an empty rule set answers as the shipped one
    std::string m_text;
    BudgetDefaults m_budget;
    std::vector<Signal> m_signalOrder;
    std::shared_ptr<const Data> m_data;
};

}  // namespace halfcell::core
