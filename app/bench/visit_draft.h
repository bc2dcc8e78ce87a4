#pragma once

#include "core/fleet/records.h"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The Bench: one visit being typed. `VisitDraft` is what stands on the form, `BenchModel` moves along it, `LiveReadings`
/// is what the figures say meanwhile; none of them knows a widget.
namespace halfcell::app::bench {

/// A number as it stands in its field: ASCII digits with a point, and what became of it.
struct Entry {
    std::string text;
    bool taken = false;    ///< Enter was pressed on it
    bool notDone = false;  ///< Enter on the empty field: an answer, not a blank
    [[nodiscard]] bool empty() const { return text.empty(); }
    /// The number; absent while the text is none yet ("", "-").
    [[nodiscard]] std::optional<double> value() const;
    /// Value, "not done" or nothing recorded.
    [[nodiscard]] core::Answered<double> answer() const;
    bool operator==(const Entry&) const = default;
};

/// An oddity that was looked at and kept, with the reason.
struct KeptOddity {
    std::string kind;  ///< name of a core::Question::Kind
    std::string why;
    bool operator==(const KeptOddity&) const = default;
};

/// One dip in a standard.
struct Dip {
    std::string standard = {}, lot = {};
    Entry mv = {}, temp = {}, wait = {}, shown = {};
    bool carried = false;  ///< its own °C was left empty: that of the phase's first dip holds
    bool clocked = false;  ///< seconds from the settle clock
    std::optional<double> t90_s = {};
    std::optional<bool> settled = {};
    std::vector<core::SettlePoint> settle =
        {};  ///< values noted on the way; with the clock running also the one taken (`seriesOf` has it always)
    std::optional<core::Instant> when = {};  ///< mV taken
    std::vector<KeptOddity> kept = {};
    bool operator==(const Dip&) const = default;
};

/// How the sensor settled in this dip: what was noted on the way and the value taken. Empty: nothing was noted.
[[nodiscard]] std::vector<core::SettlePoint> seriesOf(const Dip& dip);

/// The dips of one phase.
struct PhaseForm {
    std::vector<Dip> dips;
    bool passed = false;  ///< gone past without readings
    [[nodiscard]] bool hasReading() const;
    bool operator==(const PhaseForm&) const = default;
};

/// What is kept of an approval asked for, as the caution of a CautionAnswer.
inline constexpr std::string_view kReturnOutsideLimit = "return_outside_limit";

/// An answer to a caution's question: kept with person and time.
struct CautionAnswer {
    std::string caution;
    std::string about;   ///< what was asked about: "withdraw", a dip ("as_found/1") or empty (the step it stands in)
    std::string answer;  ///< yes, not written (a sheet that does not say)
    std::string person;
    core::Instant when;
    bool operator==(const CautionAnswer&) const = default;
};

/// One step of "Did".
struct Step {
    core::ActionKey action = core::ActionKey::CleanDetergent;
    std::string agent = {}, strength = {};
    std::string minutes = {};                   ///< digits as typed or timed
    std::optional<core::Instant> started = {};  ///< Space was pressed, not ended yet
    core::Instant when = {};
    std::vector<CautionAnswer> answers = {};
    std::string newSerial = {};  ///< replace: the sensor that goes in
    std::optional<core::RemovalReason> reason = {};
    bool operator==(const Step&) const = default;
};

/// How "In manual" was answered.
enum class HoldAnswer { None, Stamped, Typed, NoLoop, NotWritten };
/// How "As left" was answered.
enum class LeftAnswer { Open, Adjusted, Same };
/// How the sensor in hand was made sure of.
enum class SerialSeen { No, Scanned, TwoCharacters, Unreadable };

/// Everything on the form of one visit. Plain value; its JSON is the draft that survives a crash.
struct VisitDraft {
    std::string id;           ///< becomes the key of the visit
    std::string serial, tag;  ///< tag empty: not at a point
    core::SensorKind kind = core::SensorKind::Ph;
    std::string person;  ///< who began it
    std::string helper;  ///< who went on with it, if another
    core::VisitReason reason = core::VisitReason::Routine;
    std::string round;
    int sheet = 0;  ///< line of the round sheet, 0 = none
    core::Instant begun;
    SerialSeen serialSeen = SerialSeen::No;
    std::string serialTyped;  ///< the two characters read off the cable

    HoldAnswer hold = HoldAnswer::None;
    std::string manualTyped;
    std::optional<core::Instant> manualFrom;
    std::vector<CautionAnswer> answers;  ///< to cautions of withdrawal and of standards; those of steps stand in the step

    Entry loop, grab, grabTemp, waterPh;
    std::optional<int> coating;
    bool coatingAnswered = false;
    std::optional<core::CoatingKind> look;

    PhaseForm found, clean, left;
    std::map<std::string, std::string> tests;  ///< F3: column of checks.csv -> cell text ("stir_ph" -> "0.02")
    std::string whyNoneFound;                  ///< new, broken, removed wet, other
    std::vector<Step> steps;
    bool didEnded = false;
    LeftAnswer leftAnswer = LeftAnswer::Open;
    bool keyed = false;  ///< the figures were keyed into the analyser

    std::string autoTyped;
    std::optional<core::Instant> autoAt;
    std::string remark;
    bool asksApproval = false;  ///< the sensor goes back outside its limit: the field is open
    std::string approvalTyped;  ///< initials, or O: nobody reached
    std::string meter, thermometer;

    [[nodiscard]] PhaseForm& phase(core::Phase p);
    [[nodiscard]] const PhaseForm& phase(core::Phase p) const;
    /// Typed from a sheet: the time in manual was given as digits. Clocks do not run then.
    [[nodiscard]] bool fromSheet() const { return hold == HoldAnswer::Typed || hold == HoldAnswer::NotWritten; }
    /// A step cleaned or renewed something, so "after cleaning" opens.
    [[nodiscard]] bool cleaned() const;
    /// Fields that hold something, for the offer after a crash ("11 fields").
    [[nodiscard]] int filledFields() const;
    bool operator==(const VisitDraft&) const = default;
};

/// The draft as one line of JSON, and back. Errc::BadInput for a text that is no draft of ours.
[[nodiscard]] std::string toJson(const VisitDraft& draft);
[[nodiscard]] core::Result<VisitDraft> draftFromJson(std::string_view json);

/// Which fields count: `Taken` only what Enter was pressed on, `Typed` also what is being typed.
enum class Count { Taken, Typed };
/// Where a reading of a made visit stands on the form.
struct ReadingPlace {
    core::Phase phase = core::Phase::AsFound;
    std::size_t dip = 0;
    bool operator==(const ReadingPlace&) const = default;
};
/// The visit as the book takes it. `places`, if given, gets one entry per reading. Times of readings without one are
/// those of the visit.
[[nodiscard]] core::Visit visitOf(const VisitDraft& draft, Count count, std::vector<ReadingPlace>* places = nullptr);

}  // namespace halfcell::app::bench
