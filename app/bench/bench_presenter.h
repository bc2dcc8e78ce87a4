#pragma once

#include "app/bench/bench_model.h"
#include "app/bench/live_readings.h"
#include "app/bench/round_kit.h"
#include "app/presenters/shop.h"

#include <QElapsedTimer>
#include <QObject>
#include <QString>
#include <QTimer>

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app::bench {

/// One line of today's work.
struct JobLine {
    std::string tag, serial;
    QString where, what, why;
    double minutes = 0;
    QString people;
    int line = 0;  ///< of the round sheet, from 1
};

/// A visit that waits to be gone on with.
struct DraftLine {
    std::string id;
    QString text;  ///< "An unfinished visit to AE-3107 was kept at 08:41 (T1, 11 fields)."
    bool setAside = false;
};

/// A sensor in hand that the book does not have at the point of the visit. Digits answer.
struct OtherSensor {
    std::string serial;
    std::string at;        ///< where the book has it
    bool atPoint = false;  ///< that is a point
    bool dayKnown = true;
    bool asksWhere = false;  ///< the swap is said; where is the sensor that the book has here?
};

/// A sensor in soak.
struct SoakLine {
    std::string serial;
    QString text;
};

/// The Bench without widgets: finds the sensor, holds the form, writes holds, drafts and the visit through the Shop, and
/// says after every key what changed. GUI thread only.
class BenchPresenter : public QObject {
    Q_OBJECT
public:
    /// Seconds of a clock that runs forward; tests pass their own.
    using SecondsClock = std::function<double()>;

    explicit BenchPresenter(Shop& shop, SecondsClock seconds = {}, QObject* parent = nullptr);
    ~BenchPresenter() override;

    [[nodiscard]] Shop& shop() const { return m_shop; }
    [[nodiscard]] core::Instant now() const { return m_shop.now(); }
    [[nodiscard]] double seconds() const { return m_seconds(); }
    [[nodiscard]] Moment moment() const;

    // --- without a visit -----------------------------------------------------------------------------------------
    [[nodiscard]] const std::vector<JobLine>& jobs() const { return m_jobs; }
    [[nodiscard]] bool jobsKnown() const { return m_jobsKnown; }
    [[nodiscard]] std::vector<DraftLine> drafts() const;
    [[nodiscard]] std::vector<SoakLine> soaking() const;
    /// Scanned or typed: a serial, a tag, a lot.
    void scan(const QString& code);
    /// Opens a visit to a sensor. `seen` says how it is known that it is this one.
    void openVisit(const std::string& serial, SerialSeen seen);
    void resume(const std::string& draftId);
    void setAside(const std::string& draftId);

    // --- with a visit --------------------------------------------------------------------------------------------
    [[nodiscard]] bool hasVisit() const { return m_model != nullptr; }
    [[nodiscard]] const BenchModel& model() const { return *m_model; }
    [[nodiscard]] const LiveReadings& live() const { return m_live; }
    [[nodiscard]] const RoundKit& kit() const { return m_kit; }
    void setKit(const RoundKit& kit);
    /// The sentence of the shop line.
    [[nodiscard]] QString shopLine() const;
    /// What was said last and where; empty when nothing is to be said.
    [[nodiscard]] const QString& said() const { return m_said; }
    [[nodiscard]] const Stop& saidAt() const { return m_saidAt; }
    /// A question is open that digits answer, wherever the focus is: another code was scanned, another sensor is in hand.
    [[nodiscard]] bool asksByDigit() const { return !m_otherScan.isEmpty() || m_other || (m_model && m_model->asksWhichHour()); }
    [[nodiscard]] QString spareThatFits() const;
    /// The settle clock in words: "0.3 mV in 30 s: settled".
    [[nodiscard]] QString settleWords() const;

    void type(const Stop& stop, const std::string& text);
    /// A character a field did not take, with the reason.
    void refuse(const QString& why, const Stop& stop);
    void goTo(const Stop& stop);
    /// While the form is being redrawn the focus wanders; then it moves nothing.
    void setQuiet(bool quiet) { m_quiet = quiet; }
    void enter();
    void back();
    void up();
    void space();
    /// True when the key did something (also a refusal with a reason).
    bool press(QChar key);
    void backspace();
    void turnSign();
    void exchange();
    void answerBox(QChar key);
    void finishRemoval(core::RemovalReason reason, const QString& newSerial);
    void cancelRemoval();
    void setStandard(core::Phase phase, std::size_t dip, const std::string& standard);
    void addDip(core::Phase phase, const std::string& standard);
    void removeDip(core::Phase phase, std::size_t dip);
    void setAgent(std::size_t step, const QString& agent);
    void setKeyed(bool keyed);
    /// A test beside the dips: column of checks.csv and its cell text; an empty text takes it out.
    void setTest(const std::string& column, const std::string& cell);
    /// Logs the visit, or says what stands in the way. After a failure it tries again.
    void log();
    /// Why the book could not take the visit, and where it is kept meanwhile; empty when nothing failed.
    [[nodiscard]] const QString& notLogged() const { return m_notLogged; }
    /// Asks for a file to save the visit in (elsewhereAsked); only after a failure.
    void askElsewhere();
    /// Saves the visit as a file that `log` takes. The draft stays.
    void saveElsewhere(const std::filesystem::path& file);
    /// Where a visit the book could not take is also kept, as a file of its own, until it is logged.
    void setSpareFolder(std::filesystem::path folder) { m_spareFolder = std::move(folder); }
    /// Leaves the form; the draft stays.
    void park();
    /// The form as it stands, and back to it: a scanner's characters may have reached it before they were known as a scan.
    [[nodiscard]] std::shared_ptr<const BenchModel> snapshot() const;
    void restore(const std::shared_ptr<const BenchModel>& snapshot);
    /// Closes the hold of this visit's point: the sensor is back (auto), or the control room keeps it (F9).
    void closeHold(core::HoldClosed how);

Q_SIGNALS:
    void pageChanged();   ///< visit opened or left
    void startChanged();  ///< jobs, drafts or soaking sensors changed
    void formChanged();   ///< anything on the form: rows, texts, notes
    void stopChanged();   ///< the key now acts elsewhere
    void liveChanged();   ///< figures, plots, findings
    void shopLineChanged();
    void visitLogged(const QString& visit);
    void notLoggedChanged();
    /// A file is to be chosen; the answer is given to saveElsewhere.
    void elsewhereAsked(const QString& suggested);
    void announced(const QString& text);  ///< for speech, after Enter only

private:
    /// Another sensor is in hand: says so with the answers there are.
    void askWhichSensor(const std::string& serial);
    /// The characters read off the cable a second time: which sensor of the book is that?
    void askFromCable();
    bool answerWhichSensor(QChar key);
    void settleSwap(const std::string& displacedTo);
    void giveVisitTo(const db::FoundSwap& found);
    void follow(const Outcome& outcome, const Stop& before);
    void say(const QString& text, const Stop& at);
    void recompute();
    void writeHolds();
    void keepDraft();
    void start(VisitDraft draft, std::shared_ptr<const SensorInHand> hand);
    void openDossier(const std::string& serial, std::function<void(std::shared_ptr<const SensorInHand>)> then);
    void planToday();
    /// True, with a sentence, while an earlier moment is shown.
    bool refusedInPast();
    void loadKit();
    void fillLots(VisitDraft& draft) const;
    void logged(const std::string& id, const VisitDraft& draft);
    [[nodiscard]] core::Visit visitToLog() const;
    void recordNow();
    void logFailed(const core::Error& error);
    [[nodiscard]] std::filesystem::path spareFile(const std::string& id) const;
    void keepSpare();
    void setNotLogged(const QString& text);
    void openNextLine(int after);
    void announceReading(const Stop& taken);
    [[nodiscard]] std::string newVisitKey() const;

    Shop& m_shop;
    SecondsClock m_seconds;
    QElapsedTimer m_elapsed;
    std::unique_ptr<BenchModel> m_model;
    LiveReadings m_live;
    RoundKit m_kit;
    std::vector<JobLine> m_jobs;
    bool m_jobsKnown = false;
    QString m_said;
    Stop m_saidAt;
    QString m_otherScan;
    std::string m_refusedSerial;         ///< read off the cable and not what the book has here
    std::optional<OtherSensor> m_other;  ///< another sensor is at the point: what is that?
    std::optional<core::Instant> m_draftKept;
    std::optional<core::Instant> m_holdWritten, m_holdClosed;
    QTimer m_findings;
    quint64 m_opening = 0;
    bool m_logging = false;
    QString m_notLogged;
    std::optional<core::Error> m_logError;  ///< of the last attempt to log this visit
    std::filesystem::path m_spareFolder;
    bool m_quiet = false;
};

/// A UUID of version 7: milliseconds of the time, then random bits, so that keys sort by time.
[[nodiscard]] std::string timeOrderedKey(qint64 utcMilliseconds);

}  // namespace halfcell::app::bench
