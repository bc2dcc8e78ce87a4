#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"
#include "app/service/refused_files.h"

#include "db/exchange/exchange.h"
#include "db/mapping/mapping.h"

#include <fmt/format.h>

#include <fstream>
#include <iostream>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

struct ImportOptionsTyped {
    std::vector<std::string> paths;
    bool dryRun = false, strict = false;
    std::string refused;
    std::string map, guess;
    bool yes = false;
};

Json refusedJson(const std::vector<db::Refusal>& refused)
{
    Json list = Json::array();
    for (const db::Refusal& r : refused)
        list.push_back({{"file", r.file},
                        {"line", r.line > 0 ? Json(r.line) : Json()},
                        {"field", r.field.empty() ? Json() : Json(r.field)},
                        {"value", r.value},
                        {"reason", r.reason},
                        {"remedy", r.remedy}});
    return list;
}

/// Writes down what mapping a file seems to need, for a person to look over.
int runGuess(Context& context, const ImportOptionsTyped& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto guessed = db::guessMapping(options.paths.front());
    if (!guessed)
        return context.fail(guessed.error());
    std::error_code ec;
    if (std::filesystem::exists(options.guess, ec))
        return context.fail(Error{.code = Errc::Conflict,
                                  .detail = "there is already a file of that name",
                                  .file = options.guess,
                                  .remedy = "choose another name"});
    std::ofstream out(options.guess, std::ios::binary);
    out << db::mappingToToml(guessed->mapping);
    out.close();
    if (!out)
        return context.fail(Error{.code = Errc::CannotWrite,
                                  .detail = "the mapping can't be written",
                                  .file = options.guess,
                                  .remedy = "check the folder and its rights"});
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["mapping"] = options.guess;
        answer["because"] = guessed->because;
        answer["left_out"] = guessed->leftOut;
        context.print(answer);
        return kDone;
    }
    for (const std::string& sentence : guessed->because)
        writeWrapped(context.out(), sentence, 0, 2);
    for (const std::string& column : guessed->leftOut)
        writeWrapped(context.out(), fmt::format("Left out: \"{}\"", column), 0, 2);
    context.out() << "Look it over and import with --map " << options.guess << '\n';
    return kDone;
}

/// Nothing comes in through a mapping before its count was shown: the count of a dry run, and a yes to it. Returns the exit code where
/// that ends the matter.
std::optional<int> askFirst(Context& context, db::Book& book, const std::vector<std::filesystem::path>& paths, const db::Mapping& mapping,
                            const db::BookStamp& stamp)
{
    db::ImportReport report;
    db::ImportOptions dry;
    dry.dryRun = true;
    dry.progress = context.progress("looking");
    if (const auto tried = db::importMapped(book, paths, mapping, dry, stamp, report); !tried)
        return context.fail(tried.error());
    const std::string count =
        fmt::format("{} rows would be taken, {} refused, {} known already", report.taken, report.refused.size(), report.unchanged);
    if (!context.errTerminal || context.json)
        return context.failUsage("nothing was taken: " + count, "give --yes to take them in, or --dry-run to see what is refused and why");
    context.err() << count << ". Take them in? [y/N] " << std::flush;
    std::string answer;
    std::getline(std::cin, answer);
    if (answer == "y" || answer == "Y" || answer == "yes")
        return std::nullopt;
    context.err() << "Nothing was taken.\n";
    return kDone;
}

int runImport(Context& context, const ImportOptionsTyped& options)
{
    if (!options.guess.empty())
        return runGuess(context, options);
    if (context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    db::ImportOptions importOptions;
    importOptions.dryRun = options.dryRun;
    importOptions.strict = options.strict;
    importOptions.refusedFile = options.refused;
    importOptions.progress = context.progress("importing");
    std::vector<std::filesystem::path> paths(options.paths.begin(), options.paths.end());
    if (importOptions.refusedFile.empty() && !options.dryRun)
        importOptions.refusedFile = refusedBeside(paths.front());
    if (!importOptions.refusedFile.empty() && !options.dryRun)
        importOptions.mendFolder = mendBeside(importOptions.refusedFile);
    db::ImportReport report;
    const db::BookStamp stamp{.person = {}, .now = *asOf};
    Result<void> done;
    if (options.map.empty()) {
        done = db::importTables(*book, paths, importOptions, stamp, report);
    } else {
        const auto mapping = db::readMapping(options.map);
        if (!mapping)
            return context.fail(
                mapping.error().code == Errc::CannotRead
                    ? Error{.code = Errc::BadInput, .detail = mapping.error().detail, .file = options.map, .remedy = mapping.error().remedy}
                    : mapping.error());
        if (!options.yes && !options.dryRun)
            if (const auto ended = askFirst(context, *book, paths, *mapping, stamp))
                return *ended;
        done = db::importMapped(*book, paths, *mapping, importOptions, stamp, report);
    }
    if (!done && report.refused.empty())
        return context.fail(done.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["taken"] = report.taken;
        answer["refused"] = refusedJson(report.refused);
        answer["unchanged"] = report.unchanged;
        Json byTable = Json::object();
        for (const auto& [table, n] : report.takenByTable)
            byTable[table] = n;
        answer["taken_by_table"] = std::move(byTable);
        answer["visits"] = report.visits;
        answer["dry_run"] = options.dryRun;
        answer["refused_file"] =
            report.refused.empty() || importOptions.refusedFile.empty() ? Json() : Json(importOptions.refusedFile.string());
        answer["rows_to_mend"] = report.toMend == 0 ? Json() : Json(importOptions.mendFolder.string());
        if (!done)
            answer["error"] = {{"code", "bad_input"}, {"message", done.error().detail}, {"file", nullptr}, {"line", nullptr},
                               {"field", nullptr},    {"remedy", done.error().remedy}};
        context.print(answer);
    } else {
        for (const db::Refusal& r : report.refused)
            writeWrapped(context.out(),
                         fmt::format("{}{}{}: {}{}. {}", r.file, r.line > 0 ? fmt::format(" line {}", r.line) : "",
                                     r.field.empty() ? "" : ", " + r.field, r.value.empty() ? "" : "\"" + r.value + "\" ", r.reason,
                                     r.remedy),
                         0, 4);
        context.out() << fmt::format("{}{} taken, {} refused, {} known already.\n", options.dryRun ? "Dry run: " : "", report.taken,
                                     report.refused.size(), report.unchanged);
        if (!report.refused.empty() && !importOptions.refusedFile.empty())
            context.out() << "Refused rows: " << importOptions.refusedFile.string() << '\n';
        if (report.toMend > 0)
            context.out() << "To mend and import again: " << importOptions.mendFolder.string() << '\n';
        if (!done)
            context.err() << "halfcell-cli: " << done.error().detail << "\n  " << done.error().remedy << '\n';
    }
    if (!done)
        return exitCodeOf(done.error().code);
    return report.refused.empty() ? kDone : kAttention;
}

}  // namespace

Verb importVerb()
{
    return {
        "import", "take in tables (CSV files, a folder of them, a workbook, or a shop's own through a mapping)", false,
        [](CLI::App& command) {
            auto options = std::make_shared<ImportOptionsTyped>();
            command.add_option("path", options->paths, "files named as the public tables, folders, XLSX or ODS workbooks; with --map any tables")
                ->required();
            command.add_option("--map", options->map, "how the columns of a shop's own table become ours")->type_name("MAP.toml");
            command.add_flag("--yes", options->yes, "with --map: take it in without asking");
            command.add_option("--guess", options->guess, "write down the mapping that the file seems to need; nothing is taken")
                ->type_name("MAP.toml");
            command.add_flag("--dry-run", options->dryRun, "show what would be taken and refused; write nothing");
            command.add_flag("--strict", options->strict, "one refused row and nothing is taken");
            command.add_option("--refused", options->refused, "where refused rows go (beside the input if not given)")->type_name("FILE");
            return [options](Context& context) { return runImport(context, *options); };
        }};
}

}  // namespace halfcell::app
