#include "core/quantity/number.h"
#include "core/rules/rule_set_data.h"
#include "core/rules/toml_read.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

struct ProfileField {
    const char* key;
    Limit LimitProfile::*member;
    double low, high;  ///< what the value may be at all; infinity is allowed where `high` is infinite
};

constexpr double kNone = HUGE_VAL;

constexpr ProfileField kProfileFields[] = {
    {"efficiency_new_pct", &LimitProfile::efficiency_new_pct, 0, 200},
    {"efficiency_maintenance_pct", &LimitProfile::efficiency_maintenance_pct, 0, 200},
    {"efficiency_use_pct", &LimitProfile::efficiency_use_pct, 0, 200},
    {"efficiency_high_warn_pct", &LimitProfile::efficiency_high_warn_pct, 0, 200},
    {"efficiency_high_refuse_pct", &LimitProfile::efficiency_high_refuse_pct, 0, 200},
    {"offset_maintenance_mv", &LimitProfile::offset_maintenance_mv, 0, kNone},
    {"offset_use_mv", &LimitProfile::offset_use_mv, 0, kNone},
    {"t90_maintenance_s", &LimitProfile::t90_maintenance_s, 0, kNone},
    {"least_wait_s", &LimitProfile::least_wait_s, 0, 3600},
    {"wait_per_t90", &LimitProfile::wait_per_t90, 0, 10},
    {"legs_differ_pct", &LimitProfile::legs_differ_pct, 0, 100},
    {"orp_offset_maintenance_mv", &LimitProfile::orp_offset_maintenance_mv, 0, kNone},
    {"orp_offset_use_mv", &LimitProfile::orp_offset_use_mv, 0, kNone},
    {"orp_span_maintenance_pct", &LimitProfile::orp_span_maintenance_pct, 0, 200},
    {"orp_span_use_pct", &LimitProfile::orp_span_use_pct, 0, 200},
    {"orp_span_failure_pct", &LimitProfile::orp_span_failure_pct, 0, 200},
    {"reference_kohm", &LimitProfile::reference_kohm, 0, kNone},
    {"glass_low_mohm", &LimitProfile::glass_low_mohm, 0, kNone},
    {"glass_high_mohm", &LimitProfile::glass_high_mohm, 0, kNone},
};

/// Two limits of which the lower must not lie above the other. Equal ones are taken: such a profile knows no middle band.
struct Order {
    Limit LimitProfile::*low;
    const char* lowKey;
    const char* lowWord;
    Limit LimitProfile::*high;
    const char* highKey;
    const char* highWord;
};

constexpr Order kOrders[] = {
    {&LimitProfile::efficiency_use_pct, "efficiency_use_pct", "use", &LimitProfile::efficiency_maintenance_pct,
     "efficiency_maintenance_pct", "maintenance"},
    {&LimitProfile::efficiency_maintenance_pct, "efficiency_maintenance_pct", "maintenance", &LimitProfile::efficiency_new_pct,
     "efficiency_new_pct", "new"},
    {&LimitProfile::efficiency_new_pct, "efficiency_new_pct", "new", &LimitProfile::efficiency_high_warn_pct, "efficiency_high_warn_pct",
     "the high warning"},
    {&LimitProfile::efficiency_high_warn_pct, "efficiency_high_warn_pct", "the high warning", &LimitProfile::efficiency_high_refuse_pct,
     "efficiency_high_refuse_pct", "the high refusal"},
    {&LimitProfile::offset_maintenance_mv, "offset_maintenance_mv", "maintenance", &LimitProfile::offset_use_mv, "offset_use_mv", "use"},
    {&LimitProfile::orp_offset_maintenance_mv, "orp_offset_maintenance_mv", "maintenance", &LimitProfile::orp_offset_use_mv,
     "orp_offset_use_mv", "use"},
    {&LimitProfile::orp_span_failure_pct, "orp_span_failure_pct", "failure", &LimitProfile::orp_span_use_pct, "orp_span_use_pct", "use"},
    {&LimitProfile::orp_span_use_pct, "orp_span_use_pct", "use", &LimitProfile::orp_span_maintenance_pct, "orp_span_maintenance_pct",
     "maintenance"},
    {&LimitProfile::glass_low_mohm, "glass_low_mohm", "the low glass resistance", &LimitProfile::glass_high_mohm, "glass_high_mohm",
     "the high one"},
};

void readProfile(RuleReader& read, const Place& at, LimitProfile& profile)
{
    for (const auto& [key, node] : *at.table)
        if (std::none_of(std::begin(kProfileFields), std::end(kProfileFields), [&](const auto& f) { return key.str() == f.key; }))
            read.fail(at.at(key.str()), fmt::format("\"{}\" is no limit of a profile", std::string(key.str())),
                      "see the shipped set (rules show) for the names");
    for (const auto& field : kProfileFields) {
        auto& limit = profile.*(field.member);
        limit = read.limit(at, field.key, true);
        if (!read.failed() && !(limit.value >= field.low && limit.value <= field.high))
            read.fail(at.at(field.key),
                      fmt::format("{} is outside {} to {}", formatNumber(limit.value), formatNumber(field.low),
                                  std::isinf(field.high) ? "infinity" : formatNumber(field.high)),
                      "check the digits and the unit");
    }
    for (const auto& order : kOrders) {
        const double low = (profile.*(order.low)).value, high = (profile.*(order.high)).value;
        if (!read.failed() && low > high)
            read.fail(at.at(order.lowKey),
                      fmt::format("{} ({}) must lie below {} ({})", order.lowWord, formatNumber(low), order.highWord, formatNumber(high)),
                      fmt::format("lower {} or raise {}", order.lowKey, order.highKey), at.at(order.highKey));
    }
}

void readNumbers(RuleReader& read, const Place& in, const std::string& prefix, std::map<std::string, Limit, std::less<>>& numbers)
{
    for (const auto& [key, node] : *in.table) {
        const std::string name(key.str());
        const auto* inner = node.as_table();
        if (!inner) {
            read.fail(in.at(name), "a figure with its source is expected here",
                      fmt::format("write {} = {{ value = ..., source = \"...\", class = \"...\" }}", name));
            return;
        }
        const Place at{inner, in.at(name)};
        if (!inner->contains("value")) {
            readNumbers(read, at, prefix + name + '.', numbers);
            continue;
        }
        // A figure may have special cases below it: area_setup_minutes, and area_setup_minutes."Chrome line".
        toml::table own, special;
        for (const auto& [part, partNode] : *inner)
            (partNode.is_table() ? special : own).insert(part.str(), partNode);
        read.only({&own, at.path}, {"value", "source", "class", "unit"});
        numbers[prefix + name] = {read.number(at, "value", true), read.text(at, "source", true),
                                  read.sourceClass(at, "class", SourceClass::CommonPractice)};
        readNumbers(read, {&special, at.path}, prefix + name + '.', numbers);
    }
}

void readBudget(RuleReader& read, const Place& in, BudgetDefaults& budget)
{
    const std::pair<const char*, double BudgetDefaults::*> fields[] = {
        {"u_reading_mv", &BudgetDefaults::u_reading_mv},
        {"u_settling_first_mv", &BudgetDefaults::u_settling_first_mv},
        {"u_settling_later_mv", &BudgetDefaults::u_settling_later_mv},
        {"u_thermometer_k", &BudgetDefaults::u_thermometer_k},
        {"u_thermometer_carried_k", &BudgetDefaults::u_thermometer_carried_k},
        {"u_thermometer_guessed_k", &BudgetDefaults::u_thermometer_guessed_k},
        {"u_zero_mv", &BudgetDefaults::u_zero_mv},
        {"u_zero_after_acid_mv", &BudgetDefaults::u_zero_after_acid_mv},
        {"u_junction_clean_ph", &BudgetDefaults::u_junction_clean_ph},
        {"u_junction_dirty_ph", &BudgetDefaults::u_junction_dirty_ph},
        {"u_junction_pure_ph", &BudgetDefaults::u_junction_pure_ph},
        {"u_ideal_slope_pct", &BudgetDefaults::u_ideal_slope_pct},
    };
    for (const auto& [key, member] : fields) {
        const auto limit = read.limit(in, key, true);
        if (!read.failed() && !(limit.value >= 0 && limit.value <= 1000))
            read.fail(in.at(key), "an uncertainty is zero or more", "check the digits and the unit");
        budget.*member = limit.value;
    }
    if (!read.failed() && budget.u_reading_mv <= 0)
        read.fail(in.at("u_reading_mv"), "a reading without uncertainty has no weight", "give more than 0");
}

void readSignals(RuleReader& read, const Place& in, std::vector<Signal>& order)
{
    const auto list = read.words(in, "order");
    read.only(in, {"order"});
    read.checkWords<Signal>(list, in.at("order"));
    if (read.failed())
        return;
    for (const auto& word : list)
        order.push_back(*findKey<Signal>(word));
    for (const auto need : {Signal::Failure, Signal::FunctionCheck, Signal::OutOfSpecification, Signal::MaintenanceRequired})
        if (std::count(order.begin(), order.end(), need) != 1)
            read.fail(in.at("order"), fmt::format("{} must stand in the order once", keyOf(need)),
                      "list failure, function_check, out_of_specification, maintenance_required in the order you want");
    if (std::count(order.begin(), order.end(), Signal::Normal) == 0)
        order.push_back(Signal::Normal);
    else if (order.back() != Signal::Normal)
        read.fail(in.at("order"), "normal can only come last", "leave it out");
}

void readAssignments(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    for (const auto& at : read.tables(root, "assign")) {
        read.only(at, {"model", "loop_class", "site", "profile"});
        ProfileAssignment a{read.text(at, "model", false), read.text(at, "loop_class", false), read.text(at, "site", false),
                            read.text(at, "profile", true)};
        const int given = (a.model.empty() ? 0 : 1) + (a.loop_class.empty() ? 0 : 1) + (a.site.empty() ? 0 : 1);
        if (given != 1)
            read.fail(at.path, "an assignment names one of model, loop_class, site", "write one [[assign]] for each");
        if (!a.loop_class.empty())
            read.checkWords<LoopClass>({a.loop_class}, at.at("loop_class"));
        if (!read.failed() && !data.profiles.contains(a.profile))
            read.fail(at.at("profile"), fmt::format("there is no profile \"{}\"", a.profile), "use a name that has a [profile.NAME]");
        data.assignments.push_back(std::move(a));
    }
}

}  // namespace

void readLimits(RuleReader& read, const Place& root, RuleSet::Data& data, BudgetDefaults& budget, std::vector<Signal>& order)
{
    const auto rules = read.table(root, "rules", true);
    data.name = read.text(rules, "name", true);
    const double version = read.number(rules, "version", true, 1);
    read.only(rules, {"name", "version", "base"});
    if (!read.failed() && (data.name.empty() || data.name.find('@') != std::string::npos))
        read.fail("rules.name", "a rule set needs a name without @", "write name = \"...\"");
    if (!read.failed() && (version != std::floor(version) || version < 1 || version > 1e6))
        read.fail("rules.version", "a version is a whole number from 1", "count from 1");
    data.version = static_cast<int>(version);

    readSignals(read, read.table(root, "signals", true), order);
    if (const auto permissions = read.table(root, "permissions", false))
        for (const auto& [key, node] : *permissions.table)
            data.permissions[std::string(key.str())] = read.truth(permissions, key.str(), false);

    if (const auto profiles = read.table(root, "profile", true)) {
        for (const auto& [key, node] : *profiles.table) {
            const auto at = read.table(profiles, key.str(), true);
            if (!at)
                break;
            LimitProfile profile;
            profile.name = std::string(key.str());
            readProfile(read, at, profile);
            data.profiles[profile.name] = std::move(profile);
        }
        if (!read.failed() && !data.profiles.contains("default"))
            read.fail("profile", "there is no profile \"default\"", "add [profile.default]");
    }
    readAssignments(read, root, data);
    if (const auto in = read.table(root, "budget", true))
        readBudget(read, in, budget);

    if (const auto lives = read.table(root, "open_life", true)) {
        for (const auto& [key, node] : *lives.table) {
            const std::string standard(key.str());
            const auto life = read.limit(lives, standard, true);
            if (!read.failed() && !(life.value > 0 && life.value <= 3660))
                read.fail(lives.at(standard), "an open life lies between 0 and 3660 days", "give it in days");
            data.lives[standard] = {standard, life.value, life.source};
        }
        if (!read.failed() && !data.lives.contains("*"))
            read.fail("open_life.*", "the open life of any other standard is missing", "add \"*\" = { value = 90, source = \"...\" }");
    }
    if (const auto numbers = read.table(root, "numbers", true))
        readNumbers(read, numbers, {}, data.numbers);
}

void readIntervals(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    const auto applications = read.table(root, "intervals", true);
    if (!applications)
        return;
    for (const auto& [key, node] : *applications.table) {
        const std::string application(key.str());
        const auto at = read.table(applications, application, true);
        if (!at)
            return;
        const auto source = read.text(at, "source", false);
        const auto sourceClass = read.sourceClass(at, "class", SourceClass::CommonPractice);
        for (const auto& [taskKey, taskNode] : *at.table) {
            const std::string word(taskKey.str());
            if (word == "source" || word == "class")
                continue;
            if (word == "life_months") {
                const auto life = read.table(at, word, true);
                read.only(life, {"short", "usual", "long", "source", "class"});
                LifeMonths months{read.number(life, "short", true), read.number(life, "usual", true), read.number(life, "long", true),
                                  read.text(life, "source", false, source), read.sourceClass(life, "class", sourceClass)};
                if (!read.failed() && !(0 < months.shortest && months.shortest <= months.usual && months.usual <= months.longest))
                    read.fail(life.path, "short, usual and long must rise", "give months, the shortest first");
                data.lifeMonths[application] = months;
                continue;
            }
            const auto task = parseKey<TaskKind>(word);
            if (!task) {
                read.fail(at.at(word), task.error().detail, task.error().remedy);
                return;
            }
            std::vector<Place> lines;
            if (taskNode.is_array())
                lines = read.tables(at, word);
            else if (const auto one = read.table(at, word, true))
                lines = {one};
            for (const auto& line : lines) {
                read.only(line, {"days", "design", "source", "class"});
                TaskRule rule{application,
                              "*",
                              *task,
                              read.number(line, "days", true),
                              read.text(line, "source", false, source),
                              read.sourceClass(line, "class", sourceClass)};
                if (!read.failed() && !(rule.interval_days >= 0 && rule.interval_days <= 3660))
                    read.fail(line.at("days"), "an interval lies between 0 and 3660 days", "give it in days; 0 takes the task away");
                if (!read.failed() && *task == TaskKind::ReplaceBridge && rule.interval_days > 365)
                    read.fail(line.at("days"),
                              fmt::format("a salt bridge is changed at least yearly ({} days are more than 365)",
                                          formatNumber(rule.interval_days)),
                              "give 365 days or fewer");
                if (!read.failed() && rule.source.empty())
                    read.fail(line.path, "an interval needs its source",
                              fmt::format("add source = \"...\" to [intervals.{}]", application));
                const auto designs = read.words(line, "design");
                for (const auto& design : designs)
                    if (!findKey<ReferenceDesign>(design) && !findKey<Sensing>(design) && design != "*")
                        read.fail(line.at("design"), fmt::format("\"{}\" is no design", design),
                                  "use a reference or sensing key of models.csv");
                if (designs.empty())
                    data.tasks.push_back(rule);
                for (const auto& design : designs) {
                    rule.design = design;
                    data.tasks.push_back(rule);
                }
            }
        }
    }
}

}  // namespace halfcell::core
