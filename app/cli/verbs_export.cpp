#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "db/exchange/csv_write.h"
#include "db/exchange/due_calendar.h"
#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

struct ExportOptions {
    std::string to, serial, until;
    bool overwrite = false, events = false;
};

/// A whole text as a file, as the options say.
Result<void> writeText(const ExportOptions& options, std::string_view text)
{
    std::error_code ec;
    if (!options.overwrite && std::filesystem::exists(options.to, ec))
        return std::unexpected(Error{.code = Errc::Conflict,
                                     .detail = "there is already a file of that name",
                                     .file = options.to,
                                     .remedy = "choose another name, or say --overwrite"});
    return db::writeFile(options.to, text);
}

/// Due work as a calendar.
int runCalendar(Context& context, const ExportOptions& options, const db::Book& book, const Instant& asOf)
{
    std::int64_t until = dayNumber(asOf) + 90;
    if (!options.until.empty()) {
        const auto parsed = parseInstant(options.until, DateMeans::EndOfDay);
        if (!parsed) {
            Error error = parsed.error();
            error.field = "--until";
            return context.fail(error);
        }
        until = dayNumber(*parsed);
    }
    const auto overview = context.overview(book, asOf, false);
    if (!overview)
        return context.fail(overview.error());
    const auto tasks = overview->due(until);
    if (auto written =
            writeText(options, db::dueCalendar(tasks, asOf, options.events ? db::CalendarKind::Events : db::CalendarKind::Tasks));
        !written)
        return context.fail(written.error());
    if (context.json) {
        Json answer = context.envelope(overview->rules.id(), asOf);
        answer["to"] = options.to;
        answer["tasks"] = tasks.size();
        context.print(answer);
    } else {
        context.out() << fmt::format("{} tasks\n", tasks.size());
    }
    return kDone;
}

/// The record of one sensor.
int runRecord(Context& context, const ExportOptions& options, const db::Book& book, const Instant& asOf)
{
    if (options.serial.empty())
        return context.failUsage("whose record is not said", "give --serial SERIAL");
    const auto record = db::recordToJson(book, options.serial, asOf, {HALFCELL_VERSION, RuleSet::shipped().id()});
    if (!record)
        return context.fail(record.error());
    if (auto written = writeText(options, *record + "\n"); !written)
        return context.fail(written.error());
    const std::size_t visits = Json::parse(*record)["visits"].size();
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), asOf);
        answer["to"] = options.to;
        answer["visits"] = visits;
        context.print(answer);
    } else {
        context.out() << fmt::format("{} visits\n", visits);
    }
    return kDone;
}

int runExport(Context& context, const ExportOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const std::filesystem::path to(options.to);
    if (to.extension() == ".ics")
        return runCalendar(context, options, *book, *asOf);
    if (to.extension() == ".json")
        return runRecord(context, options, *book, *asOf);
    const bool workbook = to.extension() == ".xlsx";
    const auto counts = workbook ? db::exportWorkbook(*book, to, *asOf) : db::exportTables(*book, to, *asOf, options.overwrite);
    if (!counts)
        return context.fail(counts.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        std::size_t total = 0;
        Json tables = Json::object();
        for (const auto& [name, n] : *counts) {
            tables[name] = n;
            total += n;
        }
        answer["to"] = options.to;
        answer["taken"] = total;
        answer["refused"] = Json::array();
        answer["unchanged"] = 0;
        answer["tables"] = std::move(tables);
        context.print(answer);
    } else {
        for (const auto& [name, n] : *counts)
            context.out() << padded(name, 20) << fmt::format("{:8} rows\n", n);
    }
    return kDone;
}

}  // namespace

Verb exportVerb()
{
    return {
        "export", "write all tables as CSV into a folder or one XLSX workbook; due work as .ics; a sensor's record as .json", true,
        [](CLI::App& command) {
            auto options = std::make_shared<ExportOptions>();
            command.add_option("--to", options->to, "a folder, or a file ending in .xlsx, .ics or .json")->required();
            command.add_flag("--overwrite", options->overwrite, "replace what is there already");
            command.add_option("--serial", options->serial, "with .json: whose record")->type_name("SERIAL");
            command.add_option("--until", options->until, "with .ics: work due up to this day (90 days if not given)")->type_name("DATE");
            command.add_flag("--events", options->events, "with .ics: whole-day events in place of tasks");
            return [options](Context& context) { return runExport(context, *options); };
        }};
}

}  // namespace halfcell::app
