#pragma once

#include "app/plots/life_line_series.h"
#include "app/presenters/shop.h"
#include "app/record/first_written.h"
#include "app/style/figures.h"
#include "app/style/marks.h"

#include <QString>
#include <QStringList>

#include <array>
#include <memory>
#include <span>
#include <string_view>
#include <vector>

/// The Record of one sensor, ready to show: the view only lays it out. Built from a dossier off the GUI thread.
namespace halfcell::app {

struct KeyFigure {
    QString label = {};  ///< "Efficiency, as left"
    Figure figure = {};
    QString key = {};  ///< whose working Ctrl+E opens
};

struct RecordHead {
    QString serial = {};
    Condition condition = {};
    QString signalWords = {};
    QString design = {};  ///< "double-junction gel, bulb glass"
    QString place = {};   ///< "AE-3107 Neutralisation tank 2 since 28 Sep 2025"
    std::vector<KeyFigure> figures = {};
};

/// One finding in words: what speaks for it, against it, what was not measured, what this design can't have.
struct FindingWords {
    QString title = {};
    QString probability = {};  ///< "71 %"; "rule" where a rule is certain; empty for a sensor in order by its limits alone
    bool minor = false;        ///< weighed, but under 2 % and not what leads: gathered in one line
    QString action = {};       ///< what would be done about it, in words; empty where nothing is
    QStringList speaksFor = {}, against = {}, notMeasured = {}, notPossible = {};
    QString nextTest = {};      ///< "Stir test, 3 min: tells film from clogged junction"
    QStringList cautions = {};  ///< of that action and of the cause; shown where the action is, not under the finding
    bool operator==(const FindingWords&) const = default;
};

struct TaskWords {
    QString what = {};  ///< "clean, due 3 Mar"
    QString why = {};
    bool operator==(const TaskWords&) const = default;
};

/// One thing to do with the cautions that belong to it and were not said before.
struct StepWords {
    QString what = {};          ///< "clean with weak acid"; "if it is: broken glass; replace the sensor"
    int place = 0;              ///< in the order, from 1; 0 for what a cause needs besides
    QStringList cautions = {};  ///< most dangerous first
    bool operator==(const StepWords&) const = default;
};

struct NextWords {
    QString action = {};  ///< the verdict in words
    QString sentence = {};
    QStringList order = {};             ///< what can be done, the cheapest that can work first
    QStringList cautions = {};          ///< of taking the sensor out, most dangerous first
    std::vector<StepWords> steps = {};  ///< the order with its cautions, then causes that need another caution
    std::vector<TaskWords> tasks = {};
    bool operator==(const NextWords&) const = default;
};

/// One visit in the table: figures by phase (as found, after cleaning, as left) and figure (efficiency or span, offset,
/// response).
struct VisitLine {
    QString visit = {};  ///< key; of a legacy record "legacy/" and its time
    std::int64_t utc = 0;
    QString when = {}, reason = {};
    std::array<std::array<Figure, 3>, 3> figures = {};
    std::array<bool, 3> phases = {};  ///< which phases have figures
    QString did = {};                 ///< letters
    QString didWords = {};
    QString by = {}, sheet = {};
    bool legacy = false;
    bool corrected = false;
    QString spoken = {};
};

struct RecordPage {
    std::shared_ptr<const Dossier> dossier;
    std::shared_ptr<const FirstWritten> before;  ///< nullptr when nothing was corrected
    RecordHead head;
    LifeLineSeries line;
    std::vector<FindingWords> findings;
    QString remainder;  ///< "other or unknown 12 %"; empty where the findings say all
    QString testWords;  ///< "No test is worth its time" or the test of the leading finding
    NextWords next;
    std::vector<VisitLine> visits;    ///< newest first
    std::vector<QStringList> parts;   ///< part, from, to, lot
    std::vector<QStringList> checks;  ///< when, what was measured
    std::vector<QStringList> notes;   ///< when, by, text
    QStringList says;                 ///< corrections, placements that contradict, legacy: sentences
    QString empty;                    ///< what to do with a sensor that has no reading yet; empty otherwise
    core::SensorKind kind = core::SensorKind::Ph;

    [[nodiscard]] const core::VisitFigures* figuresOf(const QString& visit) const;
};

/// What a record without a visit is known by: "legacy/1700000000".
[[nodiscard]] QString legacyKey(const core::VisitFigures& record);

/// The whole page. `now` is the moment looked at.
[[nodiscard]] RecordPage recordPage(std::shared_ptr<const Dossier> dossier, const core::Instant& now);

/// The visits table, newest first.
[[nodiscard]] std::vector<VisitLine> visitLines(const Dossier& dossier, std::int64_t today);
/// What was done at a visit: "D A U", and in words "detergent, weak acid, adjust".
struct DidWords {
    QString letters = {}, words = {};
};
[[nodiscard]] DidWords didWords(const core::Visit& visit, const core::RuleSet& rules);
/// "gained 4.5 %" between as found and the last state of the visit; empty where it can't be told.
[[nodiscard]] QString gainWords(const core::VisitFigures& visit);

/// Findings and what next.
[[nodiscard]] std::vector<FindingWords> findingWords(const core::Assessment& assessment);
/// What the listed findings leave of certainty: "other or unknown 12 %"; empty under 1 % or without a diagnosis.
[[nodiscard]] QString remainderWords(const core::Assessment& assessment);
/// The findings gathered in one line, their places among `findings` with them: "Also weighed: ..." with a link each.
[[nodiscard]] QString alsoWeighed(std::span<const FindingWords> findings, bool links);
[[nodiscard]] NextWords nextWords(const Dossier& dossier, std::int64_t today);
[[nodiscard]] std::vector<TaskWords> taskWords(std::span<const core::DueTask> tasks, std::string_view serial, std::int64_t today);

/// Corrections, contradictions and legacy as sentences.
[[nodiscard]] QStringList recordSays(const Dossier& dossier);

/// The life line with every point of every phase; `before` adds the crossed points.
[[nodiscard]] LifeLineSeries lifeLine(const Dossier& dossier, const FirstWritten* before, const core::Instant& now);

}  // namespace halfcell::app
