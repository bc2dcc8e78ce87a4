#pragma once

#include "app/plots/sparkline.h"
#include "app/style/efficiency_rule.h"
#include "app/style/figures.h"
#include "app/style/marks.h"
#include "core/fleet/records.h"
#include "core/rules/rule_set.h"
#include "db/values/book_types.h"

#include <QString>

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

/// Rows of the Register, ready to show: everything the table paints, sorts on, searches and reads out. Worked out from
/// the stored latest states; readings are never touched.
namespace halfcell::app {

/// How soon somebody is needed. Every sensor in the book that is not scrapped has exactly one.
enum class Need {
    Now,       ///< failure, function check, out of specification; or two sensors say they are at one point
    Week,      ///< maintenance required; a spare to be tested before use
    Within,    ///< normal
    TooLittle  ///< nothing to say yet
};

enum class RowKind {
    Sensor,
    EmptyPoint,  ///< a point with no sensor in place
    TwoAtPoint   ///< two sensors say they are at one point
};

struct RegisterRow {
    RowKind kind = RowKind::Sensor;
    QString key = {};            ///< stable: the serial, "empty/TAG" or "two/TAG"
    QString serial = {};
    QString tag = {};            ///< empty on the shelf
    QString note = {};           ///< the sentence of a row that is no sensor
    QString store = {};          ///< shelf, soak, bench, quarantine, scrap; empty at a point
    QString site = {}, area = {};
    QString placeWords = {};     ///< "Neutralisation tank 2" or "shelf"
    QString since = {};          ///< "since 28 Sep 2025"
    QString kindWords = {};      ///< pH, ORP
    QString classWords = {};     ///< loop class
    QString by = {};             ///< person of the last visit, where known
    QString model = {};
    core::SensorKind sensorKind = core::SensorKind::Ph;
    Condition condition = {};
    QString signalWords = {};    ///< "Failure", "normal"
    bool draft = false;          ///< a visit to it is being typed on this machine
    Figure efficiency = {};      ///< or the span of an ORP sensor
    std::optional<EfficiencyRule> rule = {};
    Figure offset = {};
    Figure t90 = {};
    Sparkline spark = {};
    QString next = {};           ///< the verdict in words
    std::optional<std::int64_t> due = {};
    QString dueWords = {};
    bool overdue = false;
    QString sentence = {};
    QString spoken = {};         ///< the row as a sentence
    double loss = 0.0;           ///< expected loss of waiting, currency units
    int rank = 0;                ///< of the signal, most urgent first
    Need need = Need::Within;
    bool testBeforeUse = false;
    QString measured = {};       ///< day of the readings, for copied figures
    QString folded = {};         ///< search key

    [[nodiscard]] bool quiet() const { return need == Need::Within || need == Need::TooLittle; }
    [[nodiscard]] bool scrapped() const;
    bool operator==(const RegisterRow&) const = default;
};

/// What the overview adds to the stored states; worked out off the GUI thread.
struct UpkeepOutline {
    std::map<std::string, double> loss = {};            ///< by serial: largest expected loss of a task due this fortnight
    std::set<std::string> testBeforeUse = {};           ///< spares whose shelf check is due
    std::map<std::string, std::string> shelfWhy = {};   ///< by serial, why
    std::map<std::string, std::string> by = {};         ///< by serial: person of the last visit
    std::optional<std::int64_t> nextRoundDay = {};      ///< first day of the week's plan from today on
    int nextRoundJobs = 0;
};

struct RegisterSources {
    const std::vector<db::LatestState>* latest = nullptr;
    const core::Records* reference = nullptr;
    const core::RuleSet* rules = nullptr;
    const std::vector<db::Draft>* drafts = nullptr;
    const UpkeepOutline* outline = nullptr;   ///< nullptr until it is known
    core::Instant now;
};

/// All rows, as first seen: by signal in the order of the rule set, then expected loss, then tag.
[[nodiscard]] std::vector<RegisterRow> registerRows(const RegisterSources& sources);

/// True if `a` stands before `b` as first seen.
[[nodiscard]] bool firstSeenBefore(const RegisterRow& a, const RegisterRow& b);

/// "AE-3109, K7-0297, pH, out of specification because efficiency 68.9 percent, replace, due 3 March".
[[nodiscard]] QString rowSentence(const RegisterRow& row, std::int64_t today);

}  // namespace halfcell::app
