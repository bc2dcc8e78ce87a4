#pragma once

#include "core/diagnosis/tables.h"
#include "core/rules/rule_set.h"

/// The content of a rule set as the loader fills it and the accessors read it. Internal to core/rules.
namespace halfcell::core {

/// What one half of a sensor (reference or sensing) says about an action or a test.
struct HalfOffer {
    enum class Kind { Yes, Limited, No, Other };
    Kind kind = Kind::Other;
    std::string why;
    std::string unless;  ///< a permission that turns No into Yes
};

/// One half of a design.
struct DesignHalf {
    std::string words;
    std::map<std::string, HalfOffer, std::less<>> actions, tests;
};

/// An action with what the header's ActionRule has no room for.
struct ActionEntry {
    ActionRule rule;
    bool recipeVaries = false;       ///< a typed agent takes the place of the recipe instead of adding to it
    std::vector<std::string> notOn;  ///< hazards of the point
    std::string notOnWhy;
};

/// What a typed agent holds.
struct AgentEntry {
    std::string key;
    std::vector<std::string> match, holds;
};

/// A situation of a caution: every list that is not empty must have one member that is so.
struct Situation {
    std::vector<std::string> actions, holds, standards, hazards, after, moment, loop_classes, findings, reasons_removed, sensing;
};

struct CautionEntry {
    Caution caution;
    std::vector<Situation> applies, asks;
};

struct RuleSet::Data {
    std::string name;
    int version = 1;
    std::map<std::string, LimitProfile, std::less<>> profiles;
    std::vector<ProfileAssignment> assignments;
    std::map<std::string, StandardLife, std::less<>> lives;
    std::vector<TaskRule> tasks;
    std::map<std::string, LifeMonths, std::less<>> lifeMonths;
    std::map<std::string, Limit, std::less<>> numbers;
    std::map<std::string, bool, std::less<>> permissions;
    std::map<std::string, DesignHalf, std::less<>> reference, sensing;
    std::vector<ActionEntry> actions;
    std::vector<AgentEntry> agents;
    std::vector<CautionEntry> cautions;
    std::shared_ptr<const diagnosis::Tables> diagnosisTables;  ///< absent in a set older than the diagnosis: the shipped ones hold

    [[nodiscard]] const ActionEntry* actionEntry(ActionKey action) const;
};

/// True if the list is empty or has the word.
[[nodiscard]] bool emptyOrHas(const std::vector<std::string>& list, std::string_view word);
[[nodiscard]] bool hasWord(const std::vector<std::string>& list, std::string_view word);

}  // namespace halfcell::core
