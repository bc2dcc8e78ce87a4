#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "db/backup/backup.h"
#include "db/merge/merge.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

constexpr std::size_t kShownDigits = 12;

int runVerify(Context& context, const std::string& head)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const auto report = book->verify(context.progress("checking"), head);
    if (!report)
        return context.fail(report.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["ok"] = report->ok;
        answer["first_bad"] = report->ok ? Json() : Json({{"entry", report->firstBadSeq}, {"text", report->firstBad}});
        answer["entries"] = report->entries;
        answer["head"] = report->head;
        context.print(answer);
    } else if (report->ok) {
        context.out() << fmt::format("{} entries, whole. Head {}\n", report->entries, report->head);
        if (!head.empty())
            context.out() << "The noted head is in its journal.\n";
    } else {
        context.out() << report->firstBad << '\n'
                      << "The book is still readable. Don't log in it; restore the last backup beside it and compare.\n";
    }
    return report->ok ? kDone : kBookUnusable;
}

struct BackupOptions {
    std::string to, rotate;
};

int runBackup(Context& context, const BackupOptions& options)
{
    if (options.to.empty() == options.rotate.empty())
        return context.failUsage("say where the backup goes",
                                 "--to FILE for one copy, or --rotate DIR for a folder that keeps days, weeks and months");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    // Opened for writing where that is allowed: the book then knows when it was last backed up.
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book && book.error().code == Errc::CannotWrite)
        book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    Json removed = Json::array();
    std::string made = options.to;
    std::string text;
    if (!options.rotate.empty()) {
        const auto rotation = db::rotateBackups(*book, options.rotate, *asOf);
        if (!rotation)
            return context.fail(rotation.error());
        made = rotation->made.string();
        for (const auto& file : rotation->removed)
            removed.push_back(file.string());
        text = fmt::format("{} backups are kept there; {} older removed.\n", rotation->kept, rotation->removed.size());
    } else if (auto done = book->backupTo(options.to, *asOf); !done) {
        return context.fail(done.error());
    }
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["ok"] = true;
        answer["file"] = made;
        answer["removed"] = std::move(removed);
        context.print(answer);
    } else {
        context.out() << "Backed up to " << made << ", opened again and checked.\n" << text;
    }
    return kDone;
}

int runRestore(Context& context, const std::string& from, const std::string& to)
{
    const std::string& target = to.empty() ? context.book : to;
    if (target.empty())
        return context.failUsage("no name is given for the restored book", "add --to FILE; a name that is not taken");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto report = db::restoreBook(from, target);
    if (!report)
        return context.fail(report.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["ok"] = true;
        answer["book"] = target;
        answer["entries"] = report->entries;
        answer["head"] = report->head;
        context.print(answer);
    } else {
        context.out() << fmt::format("Restored {} as {}: {} entries, whole. Head {}\n", from, target, report->entries, report->head);
    }
    return kDone;
}

// --- merge -----------------------------------------------------------------------------------------------------------

struct MergeVerb {
    std::string from, person, settle, why;
    bool dryRun = false, clashes = false;
    int keep = 0;
};

Json clashJson(const db::Clash& clash)
{
    Json rows = Json::array();
    for (const db::ClashRow& row : clash.rows)
        rows.push_back({{"text", row.text},
                        {"recorded", formatInstant(row.recorded)},
                        {"person", row.person.empty() ? Json() : Json(row.person)},
                        {"counts", row.counts}});
    return {{"id", clash.id},
            {"kind", clash.kind},
            {"subject", clash.subject},
            {"rows", std::move(rows)},
            {"open", clash.open},
            {"settled_by", clash.settledBy.empty() ? Json() : Json(clash.settledBy)},
            {"settled", clash.settled ? Json(formatInstant(*clash.settled)) : Json()},
            {"why", clash.why.empty() ? Json() : Json(clash.why)}};
}

Json clashesJson(const std::vector<db::Clash>& clashes)
{
    Json list = Json::array();
    for (const db::Clash& clash : clashes)
        list.push_back(clashJson(clash));
    return list;
}

void writeClashes(std::ostream& out, const std::vector<db::Clash>& clashes)
{
    for (const db::Clash& clash : clashes) {
        out << fmt::format("{}  {} ({})\n", clash.id.substr(0, kShownDigits), clash.subject,
                           clash.open ? "open" : fmt::format("settled by {}: {}", clash.settledBy, clash.why));
        for (std::size_t i = 0; i < clash.rows.size(); ++i) {
            const db::ClashRow& row = clash.rows[i];
            writeWrapped(out,
                         fmt::format("{}{} {}; recorded {}{}{}", i + 1, row.counts ? "*" : " ", row.text, formatInstant(row.recorded),
                                     row.person.empty() ? "" : " by ", row.person),
                         4, 7);
        }
    }
}

bool anyOpen(const std::vector<db::Clash>& clashes)
{
    return std::ranges::any_of(clashes, &db::Clash::open);
}

int settle(Context& context, db::Book& book, const MergeVerb& verb, const Instant& asOf)
{
    if (verb.keep < 1)
        return context.failUsage("say which row is right", "--keep 1 for the first row of the clash");
    const auto done =
        db::settleClash(book, verb.settle, static_cast<std::size_t>(verb.keep), {.person = verb.person, .now = asOf}, verb.why);
    if (!done)
        return context.fail(done.error());
    const auto clashes = db::clashesOf(book);
    if (!clashes)
        return context.fail(clashes.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), asOf);
        answer["settled"] = verb.settle;
        answer["clashes"] = clashesJson(*clashes);
        context.print(answer);
    } else {
        context.out() << "Settled by a new row; nothing was taken away.\n";
    }
    return kDone;
}

int listClashes(Context& context, const db::Book& book, const Instant& asOf)
{
    const auto clashes = db::clashesOf(book);
    if (!clashes)
        return context.fail(clashes.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), asOf);
        answer["clashes"] = clashesJson(*clashes);
        context.print(answer);
    } else {
        writeClashes(context.out(), *clashes);
        if (clashes->empty())
            context.out() << "No clashes.\n";
    }
    return anyOpen(*clashes) ? kAttention : kDone;
}

int takeIn(Context& context, db::Book& book, const MergeVerb& verb, const Instant& asOf)
{
    const auto report = db::mergeFrom(book, verb.from, {.person = verb.person, .now = asOf},
                                      {.dryRun = verb.dryRun, .progress = context.progress("merging")});
    if (!report)
        return context.fail(report.error());
    if (!verb.dryRun && report->taken + report->newClashes > 0)
        if (auto refreshed = book.refreshLatest({}, asOf); !refreshed)
            return context.fail(refreshed.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), asOf);
        answer["merged"] = report->taken;
        answer["unchanged"] = report->unchanged;
        Json kinds = Json::object();
        for (const auto& [kind, count] : report->takenByKind)
            kinds[kind] = count;
        answer["by_kind"] = std::move(kinds);
        answer["new_clashes"] = report->newClashes;
        answer["clashes"] = clashesJson(report->clashes);
        answer["dry_run"] = verb.dryRun;
        answer["other_head"] = report->otherHead;
        context.print(answer);
    } else {
        context.out() << fmt::format("{} entries {}, {} known already, {} open {}.\n", report->taken,
                                     verb.dryRun ? "would be taken" : "taken", report->unchanged, report->clashes.size(),
                                     report->clashes.size() == 1 ? "clash" : "clashes");
        for (const auto& [kind, count] : report->takenByKind)
            context.out() << fmt::format("  {:6} {}\n", count, kind);
        writeClashes(context.out(), report->clashes);
        if (!report->clashes.empty())
            context.out()
                << "Both rows are kept; the one with * counts for now. Settle each: merge --settle ID --keep N --person P --why \"...\"\n";
        if (verb.dryRun)
            context.out() << "Nothing was written.\n";
    }
    return report->clashes.empty() ? kDone : kAttention;
}

int runMerge(Context& context, const MergeVerb& verb)
{
    const int asked = (verb.from.empty() ? 0 : 1) + (verb.clashes ? 1 : 0) + (verb.settle.empty() ? 0 : 1);
    if (asked != 1)
        return context.failUsage("say what to do",
                                 "merge --from BOOK [--dry-run], merge --clashes, or merge --settle ID --keep N --person P --why W");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    auto book = context.openBook(verb.clashes ? db::OpenMode::ReadOnly : db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    if (verb.clashes)
        return listClashes(context, *book, *asOf);
    return verb.settle.empty() ? takeIn(context, *book, verb, *asOf) : settle(context, *book, verb, *asOf);
}

}  // namespace

std::vector<Verb> keepingVerbs()
{
    return {
        {"verify", "check that no record was lost or changed", true,
         [](CLI::App& command) {
             auto head = std::make_shared<std::string>();
             command.add_option("--head", *head, "a head noted before: HASH or ENTRY:HASH, 12 digits are enough")->type_name("HEAD");
             return [head](Context& context) { return runVerify(context, *head); };
         }},
        {"backup", "copy the book while it is in use, then open and check the copy", true,
         [](CLI::App& command) {
             auto options = std::make_shared<BackupOptions>();
             command.add_option("--to", options->to, "the new file")->type_name("FILE");
             command.add_option("--rotate", options->rotate, "a folder of backups: a new one, and older ones thinned out")
                 ->type_name("DIR");
             return [options](Context& context) { return runBackup(context, *options); };
         }},
        {"restore", "make a book from a backup, under a new name", false,
         [](CLI::App& command) {
             auto from = std::make_shared<std::string>();
             auto to = std::make_shared<std::string>();
             command.add_option("--from", *from, "the backup")->required()->type_name("FILE");
             command.add_option("--to", *to, "the new book (or --book)")->type_name("FILE");
             return [from, to](Context& context) { return runRestore(context, *from, *to); };
         }},
        {"merge", "take in a book that parted from this one, list and settle clashes", true,
         [](CLI::App& command) {
             auto verb = std::make_shared<MergeVerb>();
             command.add_option("--from", verb->from, "the other book; it is only read")->type_name("BOOK");
             command.add_flag("--dry-run", verb->dryRun, "say what would be taken, write nothing");
             command.add_flag("--clashes", verb->clashes, "list rows that can't both be right");
             command.add_option("--settle", verb->settle, "settle this clash (12 digits of its id are enough)")->type_name("ID");
             command.add_option("--keep", verb->keep, "which of its rows is right")->type_name("N");
             command.add_option("--person", verb->person, "who merges or settles");
             command.add_option("--why", verb->why, "why that row is right");
             return [verb](Context& context) { return runMerge(context, *verb); };
         }},
    };
}

}  // namespace halfcell::app
