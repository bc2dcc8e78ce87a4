#include "app/presenters/shop.h"

#include "app/presenters/shop_jobs.h"
#include "core/simulator/simulate.h"
#include "db/condition/condition.h"

#include <QCoreApplication>
#include <QThread>
#include <QThreadPool>

#include <algorithm>
#include <iterator>
#include <thread>

namespace halfcell::app {

using namespace core;

namespace {

/// Letting the records and judgements of a whole shop go takes its time: never that of the window.
std::shared_ptr<const Overview> kept(Overview overview)
{
    return {new Overview(std::move(overview)), [](const Overview* old) {
                if (QCoreApplication::instance() != nullptr && QThread::currentThread() == QCoreApplication::instance()->thread())
                    QThreadPool::globalInstance()->start([old] { delete old; });
                else
                    delete old;
            }};
}

/// The small tables of a view of the past.
Records smallTables(const Records& all)
{
    Records small;
    small.sites = all.sites;
    small.points = all.points;
    small.models = all.models;
    small.sensors = all.sensors;
    small.placements = all.placements;
    small.parts = all.parts;
    small.lots = all.lots;
    small.standards = all.standards;
    small.equipment = all.equipment;
    small.people = all.people;
    small.holds = all.holds;
    return small;
}

Result<std::shared_ptr<const Dossier>> workOutDossier(const db::Book& book, const std::string& serial, const Instant& moment, bool past)
{
    auto records = book.loadSensorAndRound(serial, moment, past);
    if (!records)
        return std::unexpected(records.error());
    auto rules = book.rulesAt(moment);
    if (!rules)
        return std::unexpected(rules.error());
    auto dossier = std::make_shared<Dossier>(Dossier{.plant = std::make_unique<const Plant>(Plant::asKnown(std::move(*records), moment)),
                                                     .history = nullptr,
                                                     .point = nullptr,
                                                     .standards = {},
                                                     .rules = std::move(*rules),
                                                     .figures = {},
                                                     .assessment = {},
                                                     .tasks = {}});
    const Plant& plant = *dossier->plant;
    dossier->history = plant.history(serial);
    if (dossier->history == nullptr)
        return failure(Errc::NotFound, serial + " is not in this book", "scan again, or add it as a new sensor");
    dossier->standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    dossier->figures = figuresOfHistory(plant, *dossier->history, dossier->standards, dossier->rules, true);
    dossier->assessment = assess(plant, *dossier->history, dossier->figures, dossier->standards, dossier->rules);
    if (const Placement* placement = dossier->history->placementAt(moment))
        dossier->point = plant.point(placement->place);
    return dossier;
}

template <class T>
Result<bool> asDone(Result<T> result)
{
    if (!result)
        return std::unexpected(result.error());
    return true;
}

}  // namespace

const PhaseFigures* Dossier::lastAsLeft() const
{
    for (auto it = figures.rbegin(); it != figures.rend(); ++it)
        if (const PhaseFigures* state = it->lastState())
            return state;
    return nullptr;
}

Shop::Shop(Clock clock, QObject* parent) : QObject(parent), m_clock(std::move(clock)), m_stop(std::make_shared<std::atomic<bool>>(false)) {}

Shop::~Shop()
{
    stopBackground();
    m_jobs.waitForAll();
}

db::BookStamp Shop::stamp() const
{
    return {.person = m_person.toStdString(), .now = now()};
}

/// What a (re)load brings: everything the desks show.
struct Shop::Loaded {
    std::shared_ptr<const std::vector<db::LatestState>> latest;
    std::shared_ptr<const Records> reference;
    std::shared_ptr<const RuleSet> rules;
    std::shared_ptr<const Overview> overview;  ///< of a past moment at once; of now it follows
    std::vector<Hold> openHolds;
    std::vector<db::Draft> drafts;
    std::pair<std::int64_t, std::string> end;
};

Result<Shop::Loaded> Shop::load(const db::Book& book, const Instant& moment, bool past, std::pair<std::int64_t, std::string> end)
{
    auto reference = book.loadReference();
    if (!reference)
        return std::unexpected(reference.error());
    auto rules = book.rulesAt(moment);
    if (!rules)
        return std::unexpected(rules.error());
    auto drafts = book.drafts();
    if (!drafts)
        return std::unexpected(drafts.error());
    const auto entries = book.journal(end.first);
    if (!entries)
        return std::unexpected(entries.error());
    Loaded loaded;
    loaded.end = entries->empty() ? std::move(end) : std::pair(entries->back().seq, entries->back().hash);
    loaded.drafts = std::move(*drafts);
    std::ranges::copy_if(reference->holds, std::back_inserter(loaded.openHolds), [](const Hold& h) { return !h.to; });
    std::ranges::sort(loaded.openHolds, {}, &Hold::from);
    if (!past) {
        // The stored states: readings are not touched.
        auto latest = book.latestStates();
        if (!latest)
            return std::unexpected(latest.error());
        loaded.latest = std::make_shared<const std::vector<db::LatestState>>(std::move(*latest));
        loaded.reference = std::make_shared<const Records>(std::move(*reference));
    } else {
        auto records = book.loadRecords(moment);
        if (!records)
            return std::unexpected(records.error());
        loaded.overview = kept(overviewOf(std::move(*records), *rules, moment, false, 1));
        loaded.latest = std::make_shared<const std::vector<db::LatestState>>(db::latestStatesOf(*loaded.overview));
        loaded.reference = std::make_shared<const Records>(smallTables(loaded.overview->plant->records()));
    }
    loaded.rules = std::make_shared<const RuleSet>(std::move(*rules));
    return loaded;
}

void Shop::take(Loaded loaded)
{
    m_latest = std::move(loaded.latest);
    m_reference = std::move(loaded.reference);
    m_rules = std::move(loaded.rules);
    m_openHolds = std::move(loaded.openHolds);
    m_drafts = std::move(loaded.drafts);
    m_end = std::move(loaded.end);
}

// --- opening ---------------------------------------------------------------------------------------------------------

void Shop::open(const std::filesystem::path& file)
{
    close();
    m_jobs.write(
        this,
        [file]() -> Result<std::shared_ptr<db::Book>> {
            auto book = db::Book::open(file, db::OpenMode::ReadWrite);
            if (!book)
                return std::unexpected(book.error());
            return std::make_shared<db::Book>(std::move(*book));
        },
        [this](Result<std::shared_ptr<db::Book>> book) {
            if (!book)
                Q_EMIT failed(book.error());
            else
                opened(std::move(*book));
        });
}

void Shop::create(const std::filesystem::path& file, const QString& shopName, const QString& firstSite)
{
    close();
    m_jobs.write(
        this,
        [file, stamp = stamp(), note = shopName.toStdString(), site = firstSite.toStdString()]() -> Result<std::shared_ptr<db::Book>> {
            auto book = db::Book::create(file, stamp);
            if (!book)
                return std::unexpected(book.error());
            if (!site.empty()) {
                Records rows;
                rows.sites.push_back({.site = site, .note = note.empty() ? Text() : Text(note), .recorded = stamp.now});
                if (auto added = book->add(rows, stamp); !added)
                    return std::unexpected(added.error());
            }
            return std::make_shared<db::Book>(std::move(*book));
        },
        [this](Result<std::shared_ptr<db::Book>> book) {
            if (!book)
                Q_EMIT failed(book.error());
            else
                opened(std::move(*book));
        });
}

void Shop::makeDemo(const std::filesystem::path& file)
{
    close();
    Q_EMIT background(tr("Making the demo plant"), 0.0);
    m_jobs.write(
        this,
        [file, now = now()]() -> Result<std::shared_ptr<db::Book>> {
            const Instant until{startOfDay(dayNumber(now)).utcSeconds + 86399, 0};
            const SimulatedPlant plant = simulatePlant({.seed = 1, .years = 2.5, .sensors = 120, .until = until});
            const db::BookStamp stamp{.person = "demo", .now = until};
            auto book = db::Book::create(file, stamp);
            if (!book)
                return std::unexpected(book.error());
            if (auto added = book->add(plant.records, stamp); !added)
                return std::unexpected(added.error());
            if (auto refreshed = book->refreshLatest({}, until); !refreshed)
                return std::unexpected(refreshed.error());
            return std::make_shared<db::Book>(std::move(*book));
        },
        [this](Result<std::shared_ptr<db::Book>> book) {
            Q_EMIT background(QString(), 1.0);
            if (!book)
                Q_EMIT failed(book.error());
            else
                opened(std::move(*book));
        });
}

void Shop::opened(std::shared_ptr<db::Book> writer)
{
    m_writer = std::move(writer);
    m_file = m_writer->file();
    ++m_session;
    const quint64 generation = ++m_generation;
    m_jobs.write(
        this, [book = m_writer, moment = moment()] { return load(*book, moment, false, {}); },
        [this, generation](Result<Loaded> loaded) {
            if (generation != m_generation)
                return;
            if (!loaded) {
                m_writer.reset();
                Q_EMIT failed(loaded.error());
                return;
            }
            take(std::move(*loaded));
            m_open = true;
            Q_EMIT bookOpened();
            refreshOverview();
            checkChain();
        });
}

void Shop::close()
{
    stopBackground();
    m_jobs.waitForAll();
    ++m_generation;
    const bool was = m_open;
    m_open = false;
    m_writer.reset();
    m_latest.reset();
    m_reference.reset();
    m_overview.reset();
    m_rules.reset();
    m_drafts.clear();
    m_openHolds.clear();
    m_asKnown.reset();
    m_wanted.reset();
    m_end = {};
    m_chain = {};
    if (was)
        Q_EMIT bookClosed();
}

void Shop::reload()
{
    if (!m_writer)
        return;
    const quint64 generation = ++m_generation;
    const auto done = [this, generation, wanted = m_wanted](Result<Loaded> loaded) {
        if (generation != m_generation)
            return;
        if (!loaded) {
            m_wanted = m_asKnown;
            Q_EMIT failed(loaded.error());
            return;
        }
        const bool turned = m_asKnown != wanted;
        m_asKnown = wanted;
        auto overview = loaded->overview;
        take(std::move(*loaded));
        if (turned)
            Q_EMIT asKnownChanged();
        Q_EMIT referenceChanged();
        Q_EMIT holdsChanged();
        Q_EMIT draftsChanged();
        Q_EMIT latestChanged();
        if (overview == nullptr) {
            refreshOverview();
            return;
        }
        m_overview = std::move(overview);
        Q_EMIT overviewChanged();
    };
    if (!m_wanted) {
        m_jobs.write(
            this, [book = m_writer, moment = now(), end = m_end] { return load(*book, moment, false, end); }, done);
        return;
    }
    const auto work = begin(tr("Reading the book as known then"));
    readJob<Loaded>(
        this, [moment = *m_wanted, end = m_end](db::Book& book) { return load(book, moment, true, end); },
        [this, work, done](Result<Loaded> loaded) {
            finish(work);
            done(std::move(loaded));
        });
}

void Shop::refreshOverview()
{
    const quint64 generation = m_generation;
    const auto work = begin(tr("Working out what is due"));
    readJob<std::shared_ptr<const Overview>>(
        this,
        [moment = moment()](db::Book& book) -> Result<std::shared_ptr<const Overview>> {
            auto records = book.loadRecords();
            if (!records)
                return std::unexpected(records.error());
            auto rules = book.rulesAt(moment);
            if (!rules)
                return std::unexpected(rules.error());
            return kept(overviewOf(std::move(*records), std::move(*rules), moment, false, 1));
        },
        [this, generation, work](Result<std::shared_ptr<const Overview>> overview) {
            finish(work);
            if (generation != m_generation)
                return;
            if (!overview) {
                Q_EMIT failed(overview.error());
                return;
            }
            m_overview = std::move(*overview);
            Q_EMIT overviewChanged();
        });
}

std::vector<Hold> Shop::openHolds() const
{
    return m_openHolds;
}

void Shop::setAsKnown(std::optional<Instant> moment)
{
    if (m_wanted == moment)
        return;
    m_wanted = moment;
    reload();
}

void Shop::setPerson(const QString& initials)
{
    if (m_person == initials)
        return;
    m_person = initials;
    Q_EMIT personChanged();
}

// --- acts ------------------------------------------------------------------------------------------------------------

void Shop::loadDossier(const std::string& serial, QObject* context, Answer<std::shared_ptr<const Dossier>> done)
{
    readJob<std::shared_ptr<const Dossier>>(
        context,
        [serial, moment = moment(), past = m_asKnown.has_value()](db::Book& book) { return workOutDossier(book, serial, moment, past); },
        [this, guard = QPointer<QObject>(context), serial, done = std::move(done)](Result<std::shared_ptr<const Dossier>> dossier) {
            if (!guard)
                return;
            done(std::move(dossier));
        });
}

void Shop::loadVisit(const std::string& visit, QObject* context, Answer<Visit> done)
{
    readJob<Visit>(
        context, [visit](db::Book& book) { return book.loadVisit(visit); }, std::move(done));
}

void Shop::recordVisit(Visit visit, QObject* context, Answer<db::StoredVisit> done)
{
    writeJob<db::StoredVisit>(
        context, [visit = std::move(visit), stamp = stamp()](db::Book& book) mutable { return book.recordVisit(std::move(visit), stamp); },
        [this, done = std::move(done)](Result<db::StoredVisit> stored) {
            if (stored) {
                const QString place = QString::fromStdString(stored->visit.tag.value_or(stored->visit.serial));
                const QString time = QString::fromStdString(formatInstant(now()).substr(11, 5));
                Q_EMIT wrote(tr("Visit to %1 logged %2.").arg(place, time), QString::fromStdString(stored->visit.visit));
            }
            done(std::move(stored));
        });
}

void Shop::correct(Correction correction, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [correction = std::move(correction), stamp = stamp()](db::Book& book) {
            auto corrected = book.correct(correction, stamp);
            return corrected ? Result<bool>(true) : Result<bool>(std::unexpected(corrected.error()));
        },
        std::move(done));
}

void Shop::addRows(Records rows, QObject* context, Answer<db::WriteCount> done)
{
    writeJob<db::WriteCount>(
        context, [rows = std::move(rows), stamp = stamp()](db::Book& book) { return book.add(rows, stamp); }, std::move(done));
}

void Shop::moveSensor(std::string serial, std::string place, Instant when, std::optional<RemovalReason> reason, QObject* context,
                      Answer<bool> done)
{
    writeJob<bool>(
        context,
        [serial = std::move(serial), place = std::move(place), when, reason, stamp = stamp()](db::Book& book) -> Result<bool> {
            auto moved = book.moveSensor(serial, place, when, reason, stamp);
            if (!moved)
                return std::unexpected(moved.error());
            const std::string serials[] = {serial};
            return asDone(book.refreshLatest(serials, stamp.now));
        },
        std::move(done));
}

void Shop::settleSwap(db::FoundSwap found, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [found = std::move(found), stamp = stamp()](db::Book& book) -> Result<bool> {
            auto moved = book.settleSwap(found, stamp);
            if (!moved)
                return std::unexpected(moved.error());
            const std::string serials[] = {found.inHand, found.displaced};
            return asDone(book.refreshLatest(serials, stamp.now));
        },
        std::move(done));
}

void Shop::openHold(Hold hold, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [hold = std::move(hold), stamp = stamp()](db::Book& book) -> Result<bool> {
            auto opened = book.openHold(hold, stamp);
            if (!opened)
                return std::unexpected(opened.error());
            return true;
        },
        std::move(done));
}

void Shop::closeHold(Hold hold, Instant to, HoldClosed how, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [hold = std::move(hold), to, how, stamp = stamp()](db::Book& book) -> Result<bool> {
            auto closed = book.closeHold(hold.point, hold.from, to, stamp.person, how, stamp);
            if (!closed)
                return std::unexpected(closed.error());
            return true;
        },
        std::move(done), true, InPast::Allowed);
}

void Shop::openLot(std::string lot, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [lot = std::move(lot), stamp = stamp()](db::Book& book) -> Result<bool> {
            auto opened = book.openLot(lot, stamp.now, stamp);
            if (!opened)
                return std::unexpected(opened.error());
            return true;
        },
        std::move(done));
}

void Shop::keepDraft(db::Draft draft, QObject* context, Answer<bool> done)
{
    const auto known = std::ranges::find(m_drafts, draft.id, &db::Draft::id);
    if (known != m_drafts.end())
        *known = draft;
    else
        m_drafts.push_back(draft);
    writeJob<bool>(
        context,
        [draft = std::move(draft)](db::Book& book) -> Result<bool> {
            auto kept = book.keepDraft(draft);
            if (!kept)
                return std::unexpected(kept.error());
            return true;
        },
        std::move(done), false, InPast::Allowed);
    Q_EMIT draftsChanged();
}

void Shop::dropDraft(std::string id, QObject* context, Answer<bool> done)
{
    std::erase_if(m_drafts, [&id](const db::Draft& d) { return d.id == id; });
    writeJob<bool>(
        context,
        [id = std::move(id)](db::Book& book) -> Result<bool> {
            auto dropped = book.dropDraft(id);
            if (!dropped)
                return std::unexpected(dropped.error());
            return true;
        },
        std::move(done), false, InPast::Allowed);
    Q_EMIT draftsChanged();
}

void Shop::search(const QString& fragment, QObject* context, Answer<std::vector<FoundRecord>> done)
{
    constexpr std::size_t kHits = 8;
    readJob<std::vector<FoundRecord>>(
        context,
        [text = fragment.toStdString(), past = m_asKnown](db::Book& book) -> Result<std::vector<FoundRecord>> {
            auto hits = book.search(text, kHits);
            if (!hits)
                return std::unexpected(hits.error());
            std::vector<FoundRecord> found;
            for (db::SearchHit& hit : *hits) {
                std::string serial;
                if (hit.kind == "sensor")
                    serial = hit.key;
                else if (hit.kind == "visit" || hit.kind == "remark")
                    if (const auto visit = book.loadVisit(hit.key)) {
                        if (past && (*past < visit->when || *past < visit->recorded))
                            continue;
                        serial = visit->serial;
                    }
                found.push_back({std::move(hit), std::move(serial)});
            }
            return found;
        },
        std::move(done));
}

void Shop::planWeek(IsoWeek week, QObject* context, Answer<std::shared_ptr<const PlannedWeek>> done)
{
    if (!m_overview) {
        done(failure(Errc::NotFound, "what is due is still being worked out", "wait a moment"));
        return;
    }
    m_jobs.read(
        context,
        [overview = m_overview, week]() -> Result<std::shared_ptr<const PlannedWeek>> {
            return std::make_shared<const PlannedWeek>(plannedWeek(*overview, week));
        },
        std::move(done));
}

void Shop::review(std::optional<double> budget, QObject* context, Answer<std::shared_ptr<const Review>> done)
{
    if (!m_overview) {
        done(failure(Errc::NotFound, "the sensors are still being judged", "wait a moment"));
        return;
    }
    m_jobs.read(
        context,
        [overview = m_overview, budget]() -> Result<std::shared_ptr<const Review>> {
            return std::make_shared<const Review>(
                reviewFleet(*overview->plant, overview->assessments, overview->figures, overview->rules, budget));
        },
        std::move(done));
}

void Shop::exportTables(std::filesystem::path folder, QObject* context, Answer<std::vector<std::pair<std::string, std::size_t>>> done)
{
    readJob<std::vector<std::pair<std::string, std::size_t>>>(
        context,
        [folder = std::move(folder), moment = moment()](db::Book& book) {
            return folder.extension() == ".xlsx" ? db::exportWorkbook(book, folder, moment) : db::exportTables(book, folder, moment, false);
        },
        std::move(done));
}

void Shop::stopBackground()
{
    m_stop->store(true);
    for (const auto& work : m_works)
        work->stop.store(true);
}

void Shop::settle()
{
    // Answers are delivered through the event loop and may start further jobs (a reload after a write).
    for (int i = 0; i < 20; ++i) {
        m_jobs.waitForAll();
        QCoreApplication::sendPostedEvents();
        QCoreApplication::processEvents();
    }
}

QString userText(const Error& error)
{
    QString text;
    switch (error.code) {
    case Errc::CannotRead: text = Shop::tr("The book can't be read."); break;
    case Errc::CannotWrite: text = Shop::tr("The book can't be written."); break;
    case Errc::NewerBook: text = Shop::tr("This book was written by a newer Halfcell. Nothing was changed."); break;
    case Errc::DamagedBook: text = Shop::tr("The book is damaged. Don't log in it; restore a backup beside it and compare."); break;
    case Errc::DiskFull: text = Shop::tr("The disk is full. Nothing was half-written; free some room and try again."); break;
    case Errc::Locked: text = Shop::tr("Somebody else is writing in the book. Try again in a moment."); break;
    default: break;
    }
    const auto add = [&text](QString more) {
        if (more.isEmpty())
            return;
        // A sentence of its own after a full stop.
        if (text.endsWith(QLatin1Char('.')))
            more[0] = more[0].toUpper();
        text += (text.isEmpty() ? QString() : QStringLiteral(" ")) + more;
    };
    add(QString::fromStdString(error.detail));
    if (!text.isEmpty() && !text.endsWith(QLatin1Char('.')) && !error.remedy.empty())
        text += QLatin1Char('.');
    add(QString::fromStdString(error.remedy));
    return text;
}

}  // namespace halfcell::app
