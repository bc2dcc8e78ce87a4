#pragma once

#include "app/jobs/job_queue.h"
#include "app/service/week.h"
#include "core/overview/overview.h"
#include "core/review/review.h"
#include "core/rounds/plan.h"
#include "db/backup/backup.h"
#include "db/book/book.h"
#include "db/exchange/exchange.h"
#include "db/merge/merge.h"

#include <QObject>
#include <QPointer>
#include <QString>

#include <atomic>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

namespace halfcell::app {

/// One sensor's dossier: everything the Record and the Bench show, worked out with full working. Immutable; shared.
struct Dossier {
    std::unique_ptr<const core::Plant> plant;
    const core::SensorHistory* history = nullptr;
    const core::Point* point = nullptr;  ///< where it is now; nullptr on the shelf
    core::StandardsBook standards;
    core::RuleSet rules;
    std::vector<core::VisitFigures> figures;  ///< oldest first, with working
    core::Assessment assessment;
    std::vector<core::DueTask> tasks;
    /// The last state in which the sensor was left before now; nullptr if never measured.
    [[nodiscard]] const core::PhaseFigures* lastAsLeft() const;
};

/// A hit of the search with the sensor it leads to (empty if none).
struct FoundRecord {
    db::SearchHit hit;
    std::string serial;
};

/// What is known of the book's chain in this session: the last check that ended, and one that is running.
struct ChainState {
    bool running = false;
    double fraction = 0.0;
    std::optional<core::Result<db::VerifyReport>> last = {};
    core::Instant checked = {};  ///< when the last one ended
    double seconds = 0.0;        ///< how long it took
    /// The last check found a row that does not fit.
    [[nodiscard]] bool broken() const { return last && *last && !(*last)->ok; }
};

/// What the Audit page shows of a moment. Immutable; shared.
struct AuditBook {
    core::Instant moment;
    std::shared_ptr<const core::Overview> overview;
    std::vector<db::JournalEntry> entries;    ///< written by then, oldest first
    std::vector<db::RuleAdoption> adoptions;  ///< in force by then, oldest first
    std::vector<core::DueTask> due;           ///< due by the end of that day
};

struct Evidence;
struct SensorEvidence;
struct ImportSource;
struct ImportCount;
struct ImportTaken;

/// The shop in the program: the open book, what is known of it, who works, and every act on it. Presenters and desks talk
/// to this and never to the database. State is replaced as a whole and announced by a signal; acts run as jobs and answer
/// through a callback on the GUI thread. GUI thread only.
class Shop : public QObject {
    Q_OBJECT
public:
    using Clock = std::function<core::Instant()>;  ///< now, with the local offset
    template <class T>
    using Answer = std::function<void(core::Result<T>)>;

    explicit Shop(Clock clock, QObject* parent = nullptr);
    ~Shop() override;

    // --- book ----------------------------------------------------------------------------------------------------
    void open(const std::filesystem::path& file);  ///< bookOpened or failed
    void create(const std::filesystem::path& file, const QString& shopName, const QString& firstSite);
    void makeDemo(const std::filesystem::path& file);  ///< makes and opens the demo plant
    void close();
    [[nodiscard]] bool isOpen() const { return m_open; }
    [[nodiscard]] const std::filesystem::path& file() const { return m_file; }

    // --- what is known (never null after bookOpened, except overview until it is worked out) ------------------------
    [[nodiscard]] std::shared_ptr<const std::vector<db::LatestState>> latest() const { return m_latest; }
    [[nodiscard]] std::shared_ptr<const core::Records> reference() const { return m_reference; }  ///< small tables
    [[nodiscard]] std::shared_ptr<const core::Overview> overview() const { return m_overview; }
    [[nodiscard]] const core::RuleSet& rules() const { return *m_rules; }
    [[nodiscard]] const std::vector<db::Draft>& drafts() const { return m_drafts; }
    [[nodiscard]] std::vector<core::Hold> openHolds() const;  ///< oldest first
    [[nodiscard]] core::Instant now() const { return m_clock(); }
    [[nodiscard]] std::optional<core::Instant> asKnown() const { return m_asKnown; }
    [[nodiscard]] core::Instant moment() const { return m_asKnown.value_or(now()); }
    /// Looks at the book as it was known at a moment, or at now again. The moment changes (`asKnownChanged`) together with what
    /// is known, once that is read. From the call on nothing can be written but drafts and the end of a hold (the strip shows
    /// now even then).
    void setAsKnown(std::optional<core::Instant> moment);
    [[nodiscard]] const QString& person() const { return m_person; }
    void setPerson(const QString& initials);
    [[nodiscard]] db::BookStamp stamp() const;

    // --- acts ----------------------------------------------------------------------------------------------------
    void loadDossier(const std::string& serial, QObject* context, Answer<std::shared_ptr<const Dossier>> done);
    /// One visit as first written, whosever it is.
    void loadVisit(const std::string& visit, QObject* context, Answer<core::Visit> done);
    void recordVisit(core::Visit visit, QObject* context, Answer<db::StoredVisit> done);
    /// Writes a visit as a file that `log` takes (its folder is made), for when the book can't take it. Needs no book.
    void saveVisit(core::Visit visit, std::filesystem::path file, QObject* context, Answer<bool> done);
    void correct(core::Correction correction, QObject* context, Answer<bool> done);
    void addRows(core::Records rows, QObject* context, Answer<db::WriteCount> done);
    void settleSwap(db::FoundSwap found, QObject* context, Answer<bool> done);
    void moveSensor(std::string serial, std::string place, core::Instant when, std::optional<core::RemovalReason> reason, QObject* context,
                    Answer<bool> done);
    void openHold(core::Hold hold, QObject* context, Answer<bool> done);
    void closeHold(core::Hold hold, core::Instant to, core::HoldClosed how, QObject* context, Answer<bool> done);
    void openLot(std::string lot, QObject* context, Answer<bool> done);
    void keepDraft(db::Draft draft, QObject* context, Answer<bool> done);
    void dropDraft(std::string id, QObject* context, Answer<bool> done);
    void search(const QString& fragment, QObject* context, Answer<std::vector<FoundRecord>> done);
    void planWeek(core::IsoWeek week, QObject* context, Answer<std::shared_ptr<const PlannedWeek>> done);
    void review(std::optional<double> budget, QObject* context, Answer<std::shared_ptr<const core::Review>> done);
    void exportTables(std::filesystem::path folder, QObject* context, Answer<std::vector<std::pair<std::string, std::size_t>>> done);

    // --- tables from outside (shop_import.cpp, app/presenters/import_source.h) --------------------------------------
    /// What taking a source in would do; nothing is written.
    void countImport(ImportSource source, QObject* context, std::function<void(double)> progress,
                     Answer<std::shared_ptr<const ImportCount>> done);
    /// Takes in what was counted, if its files still are as they were then. What is refused goes beside `beside`.
    void takeIn(std::shared_ptr<const ImportCount> counted, std::filesystem::path beside, QObject* context,
                std::function<void(double)> progress, Answer<std::shared_ptr<const ImportTaken>> done);
    /// Stops counting or taking in; it leaves nothing.
    void stopImport();
    /// Due work as a calendar, and all that is recorded of one sensor. A file that is there already is not overwritten. Answers the
    /// number of tasks, of visits.
    void exportCalendar(std::filesystem::path file, int days, QObject* context, Answer<std::size_t> done);
    void exportRecord(std::filesystem::path file, std::string serial, QObject* context, Answer<std::size_t> done);

    // --- keeping (shop_keeping.cpp): each runs in the background, says so in the strip and can be stopped ----------
    void info(QObject* context, Answer<db::BookInfo> done);
    [[nodiscard]] const ChainState& chain() const { return m_chain; }
    /// Checks the whole chain unless that is under way; `chainChanged` says what comes of it.
    void checkChain();
    /// The chain against a head that was noted once: `HASH` or `ENTRY:HASH`.
    void checkHead(std::string noted, QObject* context, Answer<db::VerifyReport> done);
    void backup(std::filesystem::path target, QObject* context, Answer<bool> done);
    void rotateBackup(std::filesystem::path folder, QObject* context, Answer<db::Rotation> done);
    /// Makes a new book of a backup; no book need be open.
    void restore(std::filesystem::path from, std::filesystem::path to, QObject* context, Answer<db::VerifyReport> done);
    void rebuild(QObject* context, Answer<db::RebuildReport> done);
    /// Takes in another book, or only says what would be taken.
    void merge(std::filesystem::path other, bool dryRun, QObject* context, Answer<db::MergeReport> done);
    void clashes(QObject* context, Answer<std::vector<db::Clash>> done);
    void settleClash(std::string id, std::size_t keep, std::string why, QObject* context, Answer<bool> done);
    void audit(QObject* context, Answer<std::shared_ptr<const AuditBook>> done);
    /// What the past says of what is known now (shop_evidence.cpp, app/presenters/evidence.h). Takes seconds the first time; shown in
    /// the strip, can be stopped (Errc::Cancelled).
    void evidence(QObject* context, Answer<std::shared_ptr<const Evidence>> done);
    /// The outlook of one sensor out of it. Errc::NotFound where nothing was measured yet.
    void outlook(std::string serial, QObject* context, Answer<std::shared_ptr<const SensorEvidence>> done);
    /// Opens the file again for writing, after it was moved away or failed. Errc::Conflict if what lies there now is not the
    /// book that was open: its journal must hold the last entry that was seen.
    void reopen(QObject* context, Answer<bool> done);

    /// Stops background work that can be stopped (all but the overview).
    void stopBackground();
    /// Waits until nothing runs (tests, closing).
    void settle();

Q_SIGNALS:
    void bookOpened();
    void bookClosed();
    void latestChanged();
    void overviewChanged();
    void referenceChanged();
    void holdsChanged();
    void draftsChanged();
    void personChanged();
    void asKnownChanged();
    void chainChanged();
    /// Something was written: one line for the work strip ("Visit to AE-3104 logged 08:05").
    void wrote(const QString& line, const QString& visit);
    void failed(const core::Error& error);
    /// Background work: a sentence and its share done; an empty sentence when nothing runs.
    void background(const QString& sentence, double fraction);

private:
    void opened(std::shared_ptr<db::Book> writer);
    void reload();
    void refreshOverview();
    struct Loaded;
    [[nodiscard]] static core::Result<Loaded> load(const db::Book& book, const core::Instant& moment, bool past,
                                                   std::pair<std::int64_t, std::string> end);
    void take(Loaded loaded);
    void workOutEvidence();

    /// A piece of background work, for the strip.
    struct Work {
        QString sentence;
        double fraction = 0.0;
        std::atomic<bool> stop{false};
    };
    std::shared_ptr<Work> begin(const QString& sentence);
    void finish(const std::shared_ptr<Work>& work);
    void showWork();
    /// For the worker: says how far it is, at most 20 times a second; false once it is to stop.
    [[nodiscard]] std::function<bool(double)> watched(std::shared_ptr<Work> work, std::function<void(double)> also = {});

    enum class InPast { Refused, Allowed };
    template <class T>
    void writeJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done, bool reloadAfter = true,
                  InPast inPast = InPast::Refused);
    template <class T>
    void readJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done);
    /// A read that takes long and is shown in the strip; `done` is called if `context` still lives.
    template <class T>
    void keepingJob(QObject* context, std::shared_ptr<Work> shown, std::function<core::Result<T>()> work, Answer<T> done);

    template <class T>
    void importJob(const QString& sentence, QObject* context, std::function<void(double)> progress,
                   std::function<core::Result<std::shared_ptr<const T>>(db::Book&, const std::function<bool(double)>&)> act,
                   Answer<std::shared_ptr<const T>> done, bool writes);

    Clock m_clock;
    JobQueue m_jobs;
    std::filesystem::path m_file;
    std::shared_ptr<db::Book> m_writer;  ///< used on the writing pool only
    bool m_open = false;
    std::shared_ptr<const std::vector<db::LatestState>> m_latest;
    std::shared_ptr<const core::Records> m_reference;
    std::shared_ptr<const core::Overview> m_overview;
    std::shared_ptr<const core::RuleSet> m_rules;
    std::vector<db::Draft> m_drafts;
    std::vector<core::Hold> m_openHolds;               ///< now, also while an earlier moment is shown
    std::optional<core::Instant> m_asKnown, m_wanted;  ///< shown; asked for (being read)
    std::pair<std::int64_t, std::string> m_end;        ///< the last journal entry that was seen: number and hash
    ChainState m_chain;
    QString m_person;
    quint64 m_generation = 0;
    quint64 m_session = 0;  ///< counts opened books
    std::vector<std::shared_ptr<Work>> m_works;
    std::shared_ptr<const Evidence> m_evidence;
    std::vector<std::pair<QPointer<QObject>, Answer<std::shared_ptr<const Evidence>>>> m_evidenceAsked;
    std::weak_ptr<Work> m_import;  ///< counting or taking in
    std::shared_ptr<std::atomic<bool>> m_stop;
};

/// What an error says to a user, in one place: what happened and what to do.
[[nodiscard]] QString userText(const core::Error& error);

}  // namespace halfcell::app
