#pragma once

#include "app/bench/sensor_in_hand.h"
#include "app/bench/settle_clock.h"
#include "app/bench/visit_draft.h"

#include <QString>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::app::bench {

/// The places on the form where a key can act, in the order of the paper sheet.
enum class StopKind {
    Serial,
    Manual,
    Loop,
    Grab,
    GrabTemp,
    WaterPh,
    Coating,
    Look,
    Mv,
    Temp,
    Wait,
    Shown,
    Did,
    Left,
    Auto,
    Remark,
    Approve,
    Log
};

struct Stop {
    StopKind kind = StopKind::Manual;
    core::Phase phase = core::Phase::AsFound;  ///< of a dip's field
    std::size_t dip = 0;
    bool operator==(const Stop&) const = default;
};
[[nodiscard]] inline bool isDipStop(const Stop& s)
{
    return s.kind == StopKind::Mv || s.kind == StopKind::Temp || s.kind == StopKind::Wait || s.kind == StopKind::Shown;
}

/// When and by whom a key was pressed. `clock` is in seconds of a clock that runs forward.
struct Moment {
    core::Instant now;
    double clock = 0.0;
    std::string person;
};

/// What a key did.
struct Outcome {
    bool done = true;   ///< false: refused, `say` tells why
    QString say;        ///< a sentence for beside the cause; ends with the keys that answer it
    bool keep = false;  ///< worth a draft
};

/// An interlock: cautions with a question, answered by Y or N before anything else happens.
struct Box {
    enum class About { Withdrawal, Step, Standard };
    About about = About::Step;
    std::vector<core::Caution> cautions;  ///< most dangerous first
    Stop dip;                             ///< About::Standard
    bool fromSheet = false;               ///< also U: the sheet does not say
};

/// An oddity that waits for an answer at a reading.
struct Asked {
    core::Question question;
    ReadingPlace place;
    std::optional<ReadingPlace> other;
    bool wantsReason = false;  ///< K was pressed: a reason from the list is next
};

/// A step that needs more than its letter: which sensor goes in, why this one comes out.
struct Removal {
    core::ActionKey action = core::ActionKey::Replace;
};

/// Moves along the form of one visit: what each key does, what is asked, where Enter goes. Nothing typed is ever thrown
/// away, nothing is corrected by itself. GUI thread or tests; no widgets, no clock, no book.
class BenchModel {
public:
    BenchModel(VisitDraft draft, std::shared_ptr<const SensorInHand> hand);

    /// A fresh draft for a sensor: its usual standards with the lots of the round, nothing typed.
    [[nodiscard]] static VisitDraft freshDraft(const SensorInHand& hand, std::string id, const core::Instant& now,
                                               const std::string& person);

    [[nodiscard]] const VisitDraft& draft() const { return m_draft; }
    [[nodiscard]] VisitDraft& draft() { return m_draft; }
    [[nodiscard]] const SensorInHand& hand() const { return *m_hand; }
    [[nodiscard]] const SettleClock& clock() const { return m_clock; }
    /// Values noted on the way in the dip the form stands at, typed by hand; 0 elsewhere.
    [[nodiscard]] std::size_t notedInDip() const;
    [[nodiscard]] const std::optional<Box>& box() const { return m_box; }
    [[nodiscard]] const std::optional<Asked>& asked() const { return m_asked; }
    [[nodiscard]] const std::optional<Removal>& removal() const { return m_removal; }
    [[nodiscard]] bool asksWhyNone() const { return m_asksWhyNone; }
    /// A time was typed that the clocks showed twice: 1 or 2 answers.
    [[nodiscard]] bool asksWhichHour() const { return m_twice.has_value(); }

    // --- where ---------------------------------------------------------------------------------------------------
    [[nodiscard]] Stop stop() const { return m_stop; }
    /// Everything that is open now, in paper order.
    [[nodiscard]] std::vector<Stop> stops() const;
    [[nodiscard]] bool isOpen(const Stop& stop) const;
    /// Where Enter goes from a stop: past carried temperatures, clocked seconds and the analyser's own display.
    [[nodiscard]] Stop after(const Stop& stop) const;
    [[nodiscard]] Stop before(const Stop& stop) const;
    /// A field was clicked or reached by Tab.
    void goTo(const Stop& stop);
    /// Up in a dip: its own temperature, else the dip above.
    void up();
    /// What holds at the start: withdrawal cautions with a question.
    void begin(const Moment& moment);

    // --- keys ----------------------------------------------------------------------------------------------------
    /// The text of the field at a stop while it is being typed.
    void type(const Stop& stop, const std::string& text);
    [[nodiscard]] std::string typed(const Stop& stop) const;
    Outcome enter(const Moment& moment);
    Outcome back();
    /// Stamps the time; notes a settling value or starts the clock; starts and ends the minutes of a step.
    Outcome space(const Moment& moment);
    /// Letters, digits outside number fields, `=`, `*`, `?`. Unknown ones are refused without a word.
    Outcome press(char key, const Moment& moment);
    Outcome backspace();
    Outcome turnSign(const Moment& moment);  ///< F7
    Outcome exchange(const Moment& moment);  ///< F8
    /// Y, N or U to the box.
    Outcome answerBox(char key, const Moment& moment);
    /// Serial that goes in (replace) and why the old one comes out.
    Outcome finishRemoval(core::RemovalReason reason, const std::string& newSerial, const Moment& moment);
    Outcome cancelRemoval();

    // --- standards -----------------------------------------------------------------------------------------------
    Outcome setStandard(core::Phase phase, std::size_t dip, const std::string& standard, const std::string& lot, const Moment& moment);
    Outcome addDip(core::Phase phase, const std::string& standard, const std::string& lot);
    Outcome removeDip(core::Phase phase, std::size_t dip);
    /// The bottle of a standard from the next dip on; dips taken keep theirs.
    void setLot(const std::string& standard, const std::string& lot);
    void setKeyed(bool keyed) { m_draft.keyed = keyed; }
    /// Agent of a step; its cautions are asked anew.
    Outcome setAgent(std::size_t step, const std::string& agent, const Moment& moment);

    // --- end -----------------------------------------------------------------------------------------------------
    /// What still stands in the way of logging; moves to it. `done` when nothing does.
    Outcome readyToLog(const Moment& moment);
    /// The sensor goes back to a loop that acts on it, outside its limit: `why` says so, somebody has to approve it by name, or it is
    /// kept that nobody was reached. Done when that is answered. An empty `why` takes an earlier answer back.
    Outcome askApproval(const QString& why);
    /// Questions about what was taken so far that nobody answered yet.
    [[nodiscard]] std::vector<Asked> openQuestions() const;
    /// The visit so far with the steps of the same day before it, for cautions.
    [[nodiscard]] core::Visit soFar() const;

private:
    [[nodiscard]] Entry* entry(const Stop& stop);
    [[nodiscard]] const Entry* entry(const Stop& stop) const;
    [[nodiscard]] Dip& dip(const Stop& stop) { return m_draft.phase(stop.phase).dips[stop.dip]; }
    [[nodiscard]] const Dip& dip(const Stop& stop) const { return m_draft.phase(stop.phase).dips[stop.dip]; }
    void addDipStops(std::vector<Stop>& list, core::Phase phase) const;
    Outcome goOn(const Moment& moment, QString say = {});
    Outcome leaveDip(const Moment& moment, const Stop& from);
    Outcome resolve(const Moment& moment);
    [[nodiscard]] bool answered(const Stop& stop) const;
    void arrive(const Stop& stop, const Moment& moment);
    Outcome enterTime(const Moment& moment);
    Outcome takeTime(const core::Instant& time, const Moment& moment);
    Outcome noteSettling(const Moment& moment);
    /// Why a typed value of a series cannot stand at these seconds; empty: it can.
    [[nodiscard]] static QString whyNotLater(const Dip& d, double seconds);
    static void takeSeries(Dip& d);
    Outcome enterNumber(const Moment& moment);
    Outcome enterMv(const Moment& moment);
    Outcome passDip(const Moment& moment);
    Outcome settleQuestions(const Moment& moment, const Stop& from);
    Outcome keepAsked(char key, const Moment& moment);
    Outcome pressManual(char key, const Moment& moment);
    Outcome pressDid(char key, const Moment& moment);
    Outcome pressLeft(char key, const Moment& moment);
    Outcome pressMv(char key, const Moment& moment);
    Outcome addStep(core::ActionKey action, const Moment& moment);
    Outcome endDid(const Moment& moment);
    Outcome enterApproval(const Moment& moment);
    Outcome openLeft(const Moment& moment);
    Outcome noteStep(const Moment& moment, const std::vector<core::Caution>& cautions);
    void syncDips(core::Phase phase);
    [[nodiscard]] Stop firstAfterLeft() const;

    VisitDraft m_draft;
    std::shared_ptr<const SensorInHand> m_hand;
    SettleClock m_clock;
    std::optional<Stop> m_noting;  ///< seconds asked for a value on the way, typed from a sheet
    Stop m_stop;
    std::optional<Box> m_box;
    std::optional<Asked> m_asked;
    std::optional<Removal> m_removal;
    Step m_pending;  ///< the step a box or a removal asks about
    std::string m_askedText;
    std::optional<Stop> m_resume;  ///< where Enter would have gone when a question came up
    bool m_asksWhyNone = false;
    std::optional<std::pair<core::Instant, core::Instant>> m_twice;  ///< the typed time, before and after the clocks went back
};

/// The name of a question's kind as kept in drafts and notes ("wrong_sign").
[[nodiscard]] std::string kindName(core::Question::Kind kind);
/// True where a question waits for an answer before the form goes on; the others are said only.
[[nodiscard]] bool waitsForAnswer(core::Question::Kind kind);
/// The reasons for keeping an oddity: key and words.
[[nodiscard]] std::vector<std::pair<char, QString>> keepReasons();
/// "AE-3107 would dose on a false reading. ..." for a class that is not indication; empty otherwise.
[[nodiscard]] QString whyHoldIsNeeded(const SensorInHand& hand);

}  // namespace halfcell::app::bench
