#include "app/cli/verbs.h"

#include <fmt/format.h>

#include <memory>
#include <ostream>

namespace halfcell::app {
namespace {

void addCommonOptions(CLI::App& command, Context& context)
{
    command.add_option("--book", context.book, "the book (or the environment variable HALFCELL_BOOK)")
        ->envname("HALFCELL_BOOK")
        ->type_name("FILE");
    command.add_flag("--json", context.json, "answer as JSON");
    command.add_option("--as-of", context.asOfText, "look at the book as known at this time (ISO 8601)")->type_name("TIME");
    command.add_flag("--quiet", context.quiet, "no messages beside results and errors");
}

}  // namespace

int runCommandLine(std::vector<std::string> args, Context context)
{
    CLI::App program{"Halfcell: calibration, health and upkeep of pH and ORP sensors", "halfcell-cli"};
    program.require_subcommand(1);
    program.set_version_flag("--version", "halfcell-cli " HALFCELL_VERSION);
    program.footer("Exit codes: 0 done; 1 done, and something needs attention; 2 wrong usage; 3 bad input;\n"
                   "4 the book cannot be read or written.");
    std::function<int(Context&)> chosen;
    bool needsBook = false;
    std::vector<Verb> verbs;
    for (auto list : {bookVerbs(), keepingVerbs(), exchangeVerbs(), figureVerbs(), planVerbs(), recordVerbs(), changeVerbs(),
                      outlookVerbs(), lifetimesVerbs(), evidenceVerbs()})
        for (auto& verb : list)
            verbs.push_back(std::move(verb));
    for (const Verb& verb : verbs) {
        CLI::App* command = program.add_subcommand(verb.name, verb.does);
        addCommonOptions(*command, context);
        auto run = verb.add(*command);
        command->callback([&chosen, &needsBook, run = std::move(run), book = verb.needsBook] {
            chosen = run;
            needsBook = book;
        });
    }
    // What a usage error looks like must be known before parsing ends.
    const bool json = std::ranges::find(args, "--json") != args.end();
    std::ranges::reverse(args);
    try {
        program.parse(args);
    } catch (const CLI::CallForHelp& e) {
        return program.exit(e, context.out(), context.err());
    } catch (const CLI::CallForVersion& e) {
        return program.exit(e, context.out(), context.err());
    } catch (const CLI::ParseError& e) {
        if (e.get_exit_code() == 0)
            return program.exit(e, context.out(), context.err());
        context.json = json;
        return context.failUsage(e.what(), "halfcell-cli --help lists the verbs; halfcell-cli VERB --help its options");
    }
    if (needsBook && context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK");
    return chosen(context);
}

}  // namespace halfcell::app
