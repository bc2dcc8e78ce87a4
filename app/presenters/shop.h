#pragma once

#include "app/jobs/job_queue.h"
#include "core/overview/overview.h"
#include "core/rounds/plan.h"
#include "core/review/review.h"
#include "db/book/book.h"
#include "db/exchange/exchange.h"

#include <QObject>
#include <QString>

#include <atomic>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app {

/// One sensor's dossier: everything the Record and the Bench show, worked out with full working. Immutable; shared.
struct Dossier {
    std::unique_ptr<const core::Plant> plant;
    const core::SensorHistory* history = nullptr;
    const core::Point* point = nullptr;               ///< where it is now; nullptr on the shelf
    core::StandardsBook standards;
    core::RuleSet rules;
    std::vector<core::VisitFigures> figures;          ///< oldest first, with working
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

/// What an import would do, for the import page.
struct ImportPreview {
    db::ImportReport report;
    std::vector<db::PreviewRow> rows;
};

/// The shop in the program: the open book, what is known of it, who works, and every act on it. Presenters and desks talk
/// to this and never to the database. State is replaced as a whole and announced by a signal; acts run as jobs and answer
/// through a callback on the GUI thread. GUI thread only.
class Shop : public QObject {
    Q_OBJECT
public:
    using Clock = std::function<core::Instant()>;   ///< now, with the local offset
    template <class T>
    using Answer = std::function<void(core::Result<T>)>;

    explicit Shop(Clock clock, QObject* parent = nullptr);
    ~Shop() override;

    // --- book ----------------------------------------------------------------------------------------------------
    void open(const std::filesystem::path& file);                                   ///< bookOpened or failed
    void create(const std::filesystem::path& file, const QString& shopName, const QString& firstSite);
    void makeDemo(const std::filesystem::path& file);                               ///< makes and opens the demo plant
    void close();
    [[nodiscard]] bool isOpen() const { return m_open; }
    [[nodiscard]] const std::filesystem::path& file() const { return m_file; }

    // --- what is known (never null after bookOpened, except overview until it is worked out) ------------------------
    [[nodiscard]] std::shared_ptr<const std::vector<db::LatestState>> latest() const { return m_latest; }
    [[nodiscard]] std::shared_ptr<const core::Records> reference() const { return m_reference; }   ///< small tables
    [[nodiscard]] std::shared_ptr<const core::Overview> overview() const { return m_overview; }
    [[nodiscard]] const core::RuleSet& rules() const { return *m_rules; }
    [[nodiscard]] const std::vector<db::Draft>& drafts() const { return m_drafts; }
    [[nodiscard]] std::vector<core::Hold> openHolds() const;                        ///< oldest first
    [[nodiscard]] core::Instant now() const { return m_clock(); }
    [[nodiscard]] std::optional<core::Instant> asKnown() const { return m_asKnown; }
    [[nodiscard]] core::Instant moment() const { return m_asKnown.value_or(now()); }
    void setAsKnown(std::optional<core::Instant> moment);
    [[nodiscard]] const QString& person() const { return m_person; }
    void setPerson(const QString& initials);
    [[nodiscard]] db::BookStamp stamp() const;

    // --- acts ----------------------------------------------------------------------------------------------------
    void loadDossier(const std::string& serial, QObject* context, Answer<std::shared_ptr<const Dossier>> done);
    /// One visit as first written, whosever it is.
    void loadVisit(const std::string& visit, QObject* context, Answer<core::Visit> done);
    void recordVisit(core::Visit visit, QObject* context, Answer<db::StoredVisit> done);
    void correct(core::Correction correction, QObject* context, Answer<bool> done);
    void addRows(core::Records rows, QObject* context, Answer<db::WriteCount> done);
    void moveSensor(std::string serial, std::string place, core::Instant when, std::optional<core::RemovalReason> reason,
                    QObject* context, Answer<bool> done);
    void openHold(core::Hold hold, QObject* context, Answer<bool> done);
    void closeHold(core::Hold hold, core::Instant to, core::HoldClosed how, QObject* context, Answer<bool> done);
    void openLot(std::string lot, QObject* context, Answer<bool> done);
    void keepDraft(db::Draft draft, QObject* context, Answer<bool> done);
    void dropDraft(std::string id, QObject* context, Answer<bool> done);
    void search(const QString& fragment, QObject* context, Answer<std::vector<FoundRecord>> done);
    void planWeek(core::IsoWeek week, QObject* context, Answer<std::shared_ptr<const core::WeekPlan>> done);
    void review(std::optional<double> budget, QObject* context, Answer<std::shared_ptr<const core::Review>> done);
    void previewImport(std::vector<std::filesystem::path> paths, QObject* context, Answer<ImportPreview> done);
    void importTables(std::vector<std::filesystem::path> paths, QObject* context, Answer<db::ImportReport> done);
    void exportTables(std::filesystem::path folder, QObject* context, Answer<std::vector<std::pair<std::string, std::size_t>>> done);
    void info(QObject* context, Answer<db::BookInfo> done);
    void verify(QObject* context, Answer<db::VerifyReport> done);
    void backup(std::filesystem::path target, QObject* context, Answer<bool> done);
    void rebuild(QObject* context, Answer<db::RebuildReport> done);
    void journal(QObject* context, Answer<std::vector<db::JournalEntry>> done);

    /// Stops background work that can be stopped (verify, import, overview).
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
    /// Something was written: one line for the work strip ("Visit to AE-3104 logged 08:05").
    void wrote(const QString& line, const QString& visit);
    void failed(const core::Error& error);
    /// Background work: a sentence and its share done; an empty sentence when nothing runs.
    void background(const QString& sentence, double fraction);

private:
    void opened(std::shared_ptr<db::Book> writer);
    void reload();
    void refreshOverview();
    template <class T>
    void writeJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done, bool reloadAfter = true);
    template <class T>
    void readJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done);

    Clock m_clock;
    JobQueue m_jobs;
    std::filesystem::path m_file;
    std::shared_ptr<db::Book> m_writer;               ///< used on the writing pool only
    bool m_open = false;
    std::shared_ptr<const std::vector<db::LatestState>> m_latest;
    std::shared_ptr<const core::Records> m_reference;
    std::shared_ptr<const core::Overview> m_overview;
    std::shared_ptr<const core::RuleSet> m_rules;
    std::vector<db::Draft> m_drafts;
    std::optional<core::Instant> m_asKnown;
    QString m_person;
    quint64 m_generation = 0;
    std::shared_ptr<std::atomic<bool>> m_stop;
};

/// What an error says to a user, in one place: what happened and what to do.
[[nodiscard]] QString userText(const core::Error& error);

}  // namespace halfcell::app
