// What keeps the book: its chain, backups, merging, figures worked out anew, the history.
#include "app/presenters/shop_jobs.h"

#include <QElapsedTimer>
#include <QSaveFile>

#include <algorithm>
#include <chrono>

namespace halfcell::app {

using namespace core;

// --- background work -------------------------------------------------------------------------------------------------

std::shared_ptr<Shop::Work> Shop::begin(const QString& sentence)
{
    auto work = std::make_shared<Work>();
    work->sentence = sentence;
    m_works.push_back(work);
    showWork();
    return work;
}

void Shop::finish(const std::shared_ptr<Work>& work)
{
    std::erase(m_works, work);
    showWork();
}

void Shop::showWork()
{
    if (m_works.empty())
        Q_EMIT background(QString(), 1.0);
    else
        Q_EMIT background(m_works.back()->sentence, m_works.back()->fraction);
}

std::function<bool(double)> Shop::watched(std::shared_ptr<Work> work, std::function<void(double)> also)
{
    using Steady = std::chrono::steady_clock;
    static constexpr auto kPause = std::chrono::milliseconds(50);
    return [this, work = std::move(work), also = std::move(also), next = Steady::time_point()](double fraction) mutable {
        if (const auto time = Steady::now(); time >= next) {
            next = time + kPause;
            QMetaObject::invokeMethod(
                this,
                [this, work, also, fraction] {
                    work->fraction = fraction;
                    if (std::ranges::find(m_works, work) == m_works.end())
                        return;
                    showWork();
                    if (also)
                        also(fraction);
                },
                Qt::QueuedConnection);
        }
        return !work->stop.load();
    };
}

// --- the chain -------------------------------------------------------------------------------------------------------

void Shop::info(QObject* context, Answer<db::BookInfo> done)
{
    // Asked through the writing connection: it alone knows why there is no write-ahead log.
    if (!m_writer) {
        done(failure(Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    m_jobs.write(
        context, [book = m_writer] { return book->info(); }, std::move(done));
}

namespace {

Result<db::VerifyReport> verified(const std::filesystem::path& file, const std::function<bool(double)>& progress, const std::string& noted)
{
    const auto book = db::Book::open(file, db::OpenMode::ReadOnly);
    if (!book)
        return std::unexpected(book.error());
    return book->verify(progress, noted);
}

}  // namespace

void Shop::checkChain()
{
    if (m_chain.running || !m_writer)
        return;
    m_chain.running = true;
    m_chain.fraction = 0.0;
    Q_EMIT chainChanged();
    const auto work = begin(tr("Checking the book"));
    auto progress = watched(work, [this](double fraction) {
        m_chain.fraction = fraction;
        Q_EMIT chainChanged();
    });
    QElapsedTimer clock;
    clock.start();
    keepingJob<db::VerifyReport>(
        this, work, [file = m_file, progress = std::move(progress)] { return verified(file, progress, {}); },
        [this, clock, session = m_session](Result<db::VerifyReport> report) {
            if (session != m_session)
                return;
            m_chain.running = false;
            if (report || report.error().code != Errc::Cancelled) {
                m_chain.last = std::move(report);
                m_chain.checked = now();
                m_chain.seconds = static_cast<double>(clock.elapsed()) / 1000.0;
            }
            Q_EMIT chainChanged();
        });
}

void Shop::checkHead(std::string noted, QObject* context, Answer<db::VerifyReport> done)
{
    if (!m_writer) {
        done(failure(Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    const auto work = begin(tr("Checking the noted head"));
    keepingJob<db::VerifyReport>(
        context, work, [file = m_file, noted = std::move(noted), progress = watched(work)] { return verified(file, progress, noted); },
        std::move(done));
}

// --- copies ----------------------------------------------------------------------------------------------------------

namespace {

/// The book, opened so that it can note when it was copied; only to be read where no more is allowed.
Result<db::Book> openForCopying(const std::filesystem::path& file)
{
    auto book = db::Book::open(file, db::OpenMode::ReadWrite);
    if (!book && book.error().code == Errc::CannotWrite)
        return db::Book::open(file, db::OpenMode::ReadOnly);
    return book;
}

}  // namespace

void Shop::backup(std::filesystem::path target, QObject* context, Answer<bool> done)
{
    if (!m_writer) {
        done(failure(Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    const auto work = begin(tr("Backing the book up"));
    keepingJob<bool>(
        context, work,
        [file = m_file, target = std::move(target), now = now(), progress = watched(work)]() -> Result<bool> {
            const auto book = openForCopying(file);
            if (!book)
                return std::unexpected(book.error());
            if (auto copied = book->backupTo(target, now, progress); !copied)
                return std::unexpected(copied.error());
            return true;
        },
        std::move(done));
}

void Shop::rotateBackup(std::filesystem::path folder, QObject* context, Answer<db::Rotation> done)
{
    if (!m_writer) {
        done(failure(Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    const auto work = begin(tr("Backing the book up"));
    keepingJob<db::Rotation>(
        context, work,
        [file = m_file, folder = std::move(folder), now = now(), progress = watched(work)]() -> Result<db::Rotation> {
            const auto book = openForCopying(file);
            if (!book)
                return std::unexpected(book.error());
            return db::rotateBackups(*book, folder, now, db::shippedBackupPlan(), progress);
        },
        std::move(done));
}

void Shop::restore(std::filesystem::path from, std::filesystem::path to, QObject* context, Answer<db::VerifyReport> done)
{
    const auto work = begin(tr("Restoring the backup"));
    keepingJob<db::VerifyReport>(
        context, work,
        [from = std::move(from), to = std::move(to), progress = watched(work)] { return db::restoreBook(from, to, progress); },
        std::move(done));
}

// --- figures and other books -----------------------------------------------------------------------------------------

void Shop::rebuild(QObject* context, Answer<db::RebuildReport> done)
{
    const auto work = begin(tr("Working every figure out anew"));
    writeJob<db::RebuildReport>(
        this, [moment = now(), progress = watched(work)](db::Book& book) { return book.rebuild(moment, progress); },
        [this, work, guard = QPointer<QObject>(context), done = std::move(done)](Result<db::RebuildReport> report) {
            finish(work);
            if (guard)
                done(std::move(report));
        });
}

void Shop::merge(std::filesystem::path other, bool dryRun, QObject* context, Answer<db::MergeReport> done)
{
    const auto work = begin(dryRun ? tr("Comparing the books") : tr("Merging the books"));
    writeJob<db::MergeReport>(
        this,
        [other = std::move(other), dryRun, stamp = stamp(), progress = watched(work)](db::Book& book) -> Result<db::MergeReport> {
            auto report = db::mergeFrom(book, other, stamp, {.dryRun = dryRun, .progress = progress});
            if (report && !dryRun && report->taken + report->newClashes > 0)
                if (auto refreshed = book.refreshLatest({}, stamp.now); !refreshed)
                    return std::unexpected(refreshed.error());
            return report;
        },
        [this, work, guard = QPointer<QObject>(context), done = std::move(done)](Result<db::MergeReport> report) {
            finish(work);
            if (guard)
                done(std::move(report));
        },
        !dryRun);
}

void Shop::clashes(QObject* context, Answer<std::vector<db::Clash>> done)
{
    readJob<std::vector<db::Clash>>(
        context, [](db::Book& book) { return db::clashesOf(book); }, std::move(done));
}

void Shop::settleClash(std::string id, std::size_t keep, std::string why, QObject* context, Answer<bool> done)
{
    writeJob<bool>(
        context,
        [id = std::move(id), keep, why = std::move(why), stamp = stamp()](db::Book& book) -> Result<bool> {
            if (auto settled = db::settleClash(book, id, keep, stamp, why); !settled)
                return std::unexpected(settled.error());
            return true;
        },
        std::move(done));
}

// --- history ---------------------------------------------------------------------------------------------------------

void Shop::audit(QObject* context, Answer<std::shared_ptr<const AuditBook>> done)
{
    if (!m_overview) {
        done(failure(Errc::NotFound, "what was due is still being worked out", "wait a moment"));
        return;
    }
    readJob<std::shared_ptr<const AuditBook>>(
        context,
        [overview = m_overview, moment = moment()](db::Book& book) -> Result<std::shared_ptr<const AuditBook>> {
            auto audit = std::make_shared<AuditBook>();
            audit->moment = moment;
            audit->overview = overview;
            auto entries = book.journal();
            if (!entries)
                return std::unexpected(entries.error());
            std::erase_if(*entries, [&](const db::JournalEntry& e) { return moment < e.time; });
            audit->entries = std::move(*entries);
            auto adoptions = book.ruleAdoptions();
            if (!adoptions)
                return std::unexpected(adoptions.error());
            std::erase_if(*adoptions, [&](const db::RuleAdoption& a) { return moment < a.adopted; });
            audit->adoptions = std::move(*adoptions);
            audit->due = overview->due(dayNumber(moment));
            return audit;
        },
        std::move(done));
}

// --- a book that was taken away --------------------------------------------------------------------------------------

void Shop::reopen(QObject* context, Answer<bool> done)
{
    if (!m_writer) {
        done(failure(Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    m_jobs.write(
        this,
        [file = m_file, end = m_end]() -> Result<std::shared_ptr<db::Book>> {
            auto book = db::Book::open(file, db::OpenMode::ReadWrite);
            if (!book)
                return std::unexpected(book.error());
            if (end.first > 0) {
                const auto entries = book->journal(end.first - 1, 1);
                if (!entries)
                    return std::unexpected(entries.error());
                if (entries->empty() || entries->front().hash != end.second)
                    return failure(Errc::Conflict, "what lies there now is not the book that was open",
                                   "put the book back in its place, or save the visit elsewhere");
            }
            return std::make_shared<db::Book>(std::move(*book));
        },
        [this, guard = QPointer<QObject>(context), done = std::move(done), session = m_session](Result<std::shared_ptr<db::Book>> book) {
            if (book && session == m_session)
                m_writer = std::move(*book);
            if (guard)
                done(book ? Result<bool>(true) : Result<bool>(std::unexpected(book.error())));
        });
}

void Shop::saveVisit(Visit visit, std::filesystem::path file, QObject* context, Answer<bool> done)
{
    m_jobs.read(
        context,
        [visit = std::move(visit), file = std::move(file)]() -> Result<bool> {
            std::error_code ec;
            if (file.has_parent_path())
                std::filesystem::create_directories(file.parent_path(), ec);
            // Whole or not at all.
            QSaveFile out(QString::fromStdString(file.string()));
            const std::string text = db::visitToJson(visit) + '\n';
            if (!out.open(QIODevice::WriteOnly) ||
                out.write(text.data(), static_cast<qint64>(text.size())) != static_cast<qint64>(text.size()) || !out.commit())
                return failure(Errc::NotFound, "the file " + file.string() + " can't be written: " + out.errorString().toStdString(),
                               "choose another place");
            return true;
        },
        std::move(done));
}

}  // namespace halfcell::app
