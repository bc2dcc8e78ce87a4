// Tables from outside: looked at, counted, taken in; and what goes out beside the tables.
#include "app/presenters/import_source.h"
#include "app/presenters/shop_jobs.h"

#include "app/service/refused_files.h"
#include "db/exchange/csv_write.h"
#include "db/exchange/due_calendar.h"

#include <QCoreApplication>

namespace halfcell::app {

using namespace core;
namespace fs = std::filesystem;

namespace {

Result<std::shared_ptr<const ImportCount>> countRows(db::Book& book, const ImportSource& source, const db::BookStamp& stamp,
                                                     const std::function<bool(double)>& progress)
{
    auto count = std::make_shared<ImportCount>();
    count->source = source;
    count->files = statesOf(source.paths);
    if (source.mapping) {
        auto mapped = db::previewMapping(book, source.paths.front(), *source.mapping, kImportRowsShown, progress);
        if (!mapped)
            return std::unexpected(mapped.error());
        count->report = std::move(mapped->report);
        mapped->report = {};
        count->mapped = std::move(*mapped);
        if (source.paths.size() == 1)
            return count;
    }
    db::ImportOptions options;
    options.dryRun = true;
    options.progress = progress;
    count->report = {};
    auto tried = source.mapping ? db::importMapped(book, source.paths, *source.mapping, options, stamp, count->report)
                                : db::importTables(book, source.paths, options, stamp, count->report);
    if (!tried)
        return std::unexpected(tried.error());
    if (!source.mapping) {
        auto rows = db::previewTables(book, source.paths, kImportRowsShown);
        if (!rows)
            return std::unexpected(rows.error());
        std::erase_if(*rows, [](const db::PreviewRow& row) { return row.state == "refused"; });
        count->rows = std::move(*rows);
    }
    return count;
}

Result<std::shared_ptr<const ImportTaken>> takeCounted(db::Book& book, const ImportCount& counted, const fs::path& beside,
                                                       const db::BookStamp& stamp, const std::function<bool(double)>& progress)
{
    if (statesOf(counted.source.paths) != counted.files)
        return failure(Errc::Conflict, "the file has changed since it was counted; nothing was taken", "look at the new count first");
    auto taken = std::make_shared<ImportTaken>();
    db::ImportOptions options;
    options.progress = progress;
    options.refusedFile = refusedBeside(beside);
    options.mendFolder = mendBeside(options.refusedFile);
    auto done = counted.source.mapping
                    ? db::importMapped(book, counted.source.paths, *counted.source.mapping, options, stamp, taken->report)
                    : db::importTables(book, counted.source.paths, options, stamp, taken->report);
    if (!done)
        return std::unexpected(done.error());
    if (!taken->report.refused.empty())
        taken->refusedFile = options.refusedFile;
    if (taken->report.toMend > 0)
        taken->mendFolder = options.mendFolder;
    return taken;
}

/// A text as a new file; what is there already stays.
Result<void> writeNew(const fs::path& file, std::string_view text)
{
    std::error_code ec;
    if (fs::exists(file, ec))
        return std::unexpected(Error{.code = Errc::Conflict,
                                     .detail = "there is already a file of that name",
                                     .file = file.string(),
                                     .remedy = "choose another name"});
    return db::writeFile(file, text);
}

}  // namespace

template <class T>
void Shop::importJob(const QString& sentence, QObject* context, std::function<void(double)> progress,
                     std::function<core::Result<std::shared_ptr<const T>>(db::Book&, const std::function<bool(double)>&)> act,
                     Answer<std::shared_ptr<const T>> done, bool writes)
{
    stopImport();
    const auto work = begin(sentence);
    m_import = work;
    const QPointer<QObject> guard(context);
    auto also = [guard, progress = std::move(progress)](double fraction) {
        if (guard && progress)
            progress(fraction);
    };
    writeJob<std::shared_ptr<const T>>(
        this,
        [work, act = std::move(act), watch = watched(work, std::move(also))](db::Book& book) -> core::Result<std::shared_ptr<const T>> {
            // Asked to stop while it stood in the queue.
            if (work->stop.load())
                return failure(Errc::Cancelled, "stopped; nothing was taken", "");
            return act(book, watch);
        },
        [this, work, guard, done = std::move(done)](core::Result<std::shared_ptr<const T>> answer) {
            finish(work);
            if (guard)
                done(std::move(answer));
        },
        writes);
}

void Shop::countImport(ImportSource source, QObject* context, std::function<void(double)> progress,
                       Answer<std::shared_ptr<const ImportCount>> done)
{
    importJob<ImportCount>(
        tr("Counting what would be taken in"), context, std::move(progress),
        [source = std::move(source), stamp = stamp()](db::Book& book, const std::function<bool(double)>& watch) {
            return countRows(book, source, stamp, watch);
        },
        std::move(done), false);
}

void Shop::takeIn(std::shared_ptr<const ImportCount> counted, fs::path refusedBeside, QObject* context,
                  std::function<void(double)> progress, Answer<std::shared_ptr<const ImportTaken>> done)
{
    importJob<ImportTaken>(
        tr("Taking in tables"), context, std::move(progress),
        [counted = std::move(counted), beside = std::move(refusedBeside), stamp = stamp()](
            db::Book& book, const std::function<bool(double)>& watch) { return takeCounted(book, *counted, beside, stamp, watch); },
        std::move(done), true);
}

void Shop::stopImport()
{
    if (const auto work = m_import.lock())
        work->stop.store(true);
}

void Shop::exportCalendar(fs::path file, int days, QObject* context, Answer<std::size_t> done)
{
    if (!m_overview) {
        done(failure(Errc::NotFound, "what is due is still being worked out", "wait a moment"));
        return;
    }
    readJob<std::size_t>(
        context,
        [file = std::move(file), days, overview = m_overview, moment = moment()](db::Book&) -> Result<std::size_t> {
            const auto tasks = overview->due(dayNumber(moment) + days);
            if (auto written = writeNew(file, db::dueCalendar(tasks, moment, db::CalendarKind::Tasks)); !written)
                return std::unexpected(written.error());
            return tasks.size();
        },
        std::move(done));
}

void Shop::exportRecord(fs::path file, std::string serial, QObject* context, Answer<std::size_t> done)
{
    readJob<std::size_t>(
        context,
        [file = std::move(file), serial = std::move(serial), moment = moment()](db::Book& book) -> Result<std::size_t> {
            const auto record = db::recordToJson(book, serial, moment,
                                                 {QCoreApplication::applicationVersion().toStdString(), core::RuleSet::shipped().id()});
            if (!record)
                return std::unexpected(record.error());
            const auto records = book.loadSensorRecords(serial, moment);
            if (!records)
                return std::unexpected(records.error());
            if (auto written = writeNew(file, *record + "\n"); !written)
                return std::unexpected(written.error());
            return records->visits.size();
        },
        std::move(done));
}

}  // namespace halfcell::app
