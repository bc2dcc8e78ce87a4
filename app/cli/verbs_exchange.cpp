#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <fstream>
#include <iostream>
#include <iterator>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

struct ImportOptionsTyped {
    std::vector<std::string> paths;
    bool dryRun = false, strict = false;
    std::string refused;
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

int runImport(Context& context, const ImportOptionsTyped& options)
{
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
    if (importOptions.refusedFile.empty() && !options.dryRun) {
        // Refused rows go beside what was imported.
        std::filesystem::path first = paths.front();
        std::error_code ec;
        importOptions.refusedFile = std::filesystem::is_directory(first, ec)
                                        ? first.parent_path() / (first.filename().string() + ".refused.csv")
                                        : first.parent_path() / (first.stem().string() + ".refused.csv");
        if (std::filesystem::is_directory(first, ec) && first.filename().empty())
            importOptions.refusedFile = first.parent_path().string() + ".refused.csv";
    }
    db::ImportReport report;
    const auto done = db::importTables(*book, paths, importOptions, {.person = {}, .now = *asOf}, report);
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
        answer["refused_file"] = report.refused.empty() || importOptions.refusedFile.empty() ? Json() : Json(importOptions.refusedFile.string());
        if (!done)
            answer["error"] = {{"code", "bad_input"}, {"message", done.error().detail}, {"file", nullptr}, {"line", nullptr}, {"field", nullptr}, {"remedy", done.error().remedy}};
        context.print(answer);
    } else {
        for (const db::Refusal& r : report.refused)
            writeWrapped(context.out(),
                         fmt::format("{}{}{}: {}{}. {}", r.file, r.line > 0 ? fmt::format(" line {}", r.line) : "", r.field.empty() ? "" : ", " + r.field,
                                     r.value.empty() ? "" : "\"" + r.value + "\" ", r.reason, r.remedy),
                         0, 4);
        context.out() << fmt::format("{}{} taken, {} refused, {} known already.\n", options.dryRun ? "Dry run: " : "", report.taken, report.refused.size(),
                                     report.unchanged);
        if (!report.refused.empty() && !importOptions.refusedFile.empty())
            context.out() << "Refused rows: " << importOptions.refusedFile.string() << '\n';
        if (!done)
            context.err() << "halfcell-cli: " << done.error().detail << "\n  " << done.error().remedy << '\n';
    }
    if (!done)
        return exitCodeOf(done.error().code);
    return report.refused.empty() ? kDone : kAttention;
}

struct ExportOptions {
    std::string to;
    bool overwrite = false;
};

int runExport(Context& context, const ExportOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const std::filesystem::path to(options.to);
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

int runLog(Context& context, const std::string& file)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    std::string text;
    if (file == "-") {
        text.assign(std::istreambuf_iterator<char>(std::cin), {});
    } else {
        std::ifstream in(file, std::ios::binary);
        if (!in)
            return context.fail(Error{.code = Errc::BadInput, .detail = "the file can't be read", .file = file, .remedy = "check the path"});
        text.assign(std::istreambuf_iterator<char>(in), {});
    }
    auto visit = db::visitFromJson(text);
    if (!visit) {
        Error error = visit.error();
        if (error.file.empty() && file != "-")
            error.file = file;
        return context.fail(error);
    }
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    const std::string person = visit->person.value_or(std::string());
    const auto stored = book->recordVisit(std::move(*visit), {.person = person, .now = *asOf});
    if (!stored)
        return context.fail(stored.error());

    auto records = book->loadSensorRecords(stored->visit.serial);
    if (!records)
        return context.fail(records.error());
    const auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    const StandardsBook standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const SensorHistory* history = plant.history(stored->visit.serial);
    if (history == nullptr)
        return context.fail(Error{.code = Errc::BadInput, .detail = "the visit lies after the moment of --as-of", .remedy = "leave --as-of out"});
    const auto figures = figuresOfHistory(plant, *history, standards, *rules, false);
    Assessment assessment;
    for (std::size_t i = 0; i < figures.size(); ++i)
        if (figures[i].visit != nullptr && figures[i].visit->visit == stored->visit.visit)
            assessment = assessVisit(plant, *history, figures, i, standards, *rules);
    const Point* point = stored->visit.tag ? plant.point(*stored->visit.tag) : nullptr;
    const LimitProfile& profile = rules->profileFor(history->model, point);
    const auto questions = questionsAbout(stored->visit, history->model != nullptr ? history->model->kind : SensorKind::Ph,
                                          history->model != nullptr ? history->model->reference_fill.value_or("") : "", nullptr, standards, *rules, profile);
    if (context.json) {
        Json answer = context.envelope(rules->id(), *asOf);
        answer["visit"] = stored->visit.visit;
        answer["unchanged"] = stored->unchanged;
        answer["signal"] = assessment.signal ? Json(keyOf(*assessment.signal)) : Json();
        answer["verdict"] = keyOf(assessment.verdict);
        answer["findings"] = jsonOf(std::span<const Finding>(assessment.findings));
        Json asked = Json::array();
        for (const Question& q : questions)
            asked.push_back({{"text", q.text}, {"reading", q.reading ? Json(*q.reading + 1) : Json()}, {"suggestion", jsonOf(q.suggestion)}});
        answer["questions"] = std::move(asked);
        context.print(answer);
    } else {
        context.out() << (stored->unchanged ? "Known already, nothing changed: " : "Logged ") << stored->visit.visit << '\n'
                      << signalWords(assessment.signal) << ": " << wordsOf(assessment.verdict) << '\n';
        if (!assessment.sentence.empty())
            writeWrapped(context.out(), assessment.sentence, 0, 0);
        writeFindings(context.out(), assessment.findings);
        for (const Question& q : questions)
            writeWrapped(context.out(), "? " + q.text, 2, 4);
    }
    return assessment.signal == Signal::Normal ? kDone : kAttention;
}

}  // namespace

std::vector<Verb> exchangeVerbs()
{
    return {
        {"import", "take in tables (CSV files or a folder of them)", true,
         [](CLI::App& command) {
             auto options = std::make_shared<ImportOptionsTyped>();
             command.add_option("path", options->paths, "files named as the public tables, or folders")->required();
             command.add_flag("--dry-run", options->dryRun, "show what would be taken and refused; write nothing");
             command.add_flag("--strict", options->strict, "one refused row and nothing is taken");
             command.add_option("--refused", options->refused, "where refused rows go (beside the input if not given)")->type_name("FILE");
             return [options](Context& context) { return runImport(context, *options); };
         }},
        {"export", "write all tables as CSV into a folder, or as one XLSX workbook", true,
         [](CLI::App& command) {
             auto options = std::make_shared<ExportOptions>();
             command.add_option("--to", options->to, "a folder, or a file ending in .xlsx")->required();
             command.add_flag("--overwrite", options->overwrite, "replace tables that are there already");
             return [options](Context& context) { return runExport(context, *options); };
         }},
        {"log", "log one whole visit", true,
         [](CLI::App& command) {
             auto file = std::make_shared<std::string>();
             command.add_option("--visit", *file, "the visit as JSON; - reads standard input")->required()->type_name("FILE");
             return [file](Context& context) { return runLog(context, *file); };
         }},
    };
}

}  // namespace halfcell::app
