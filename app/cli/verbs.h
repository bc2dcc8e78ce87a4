#pragma once

#include "app/cli/context.h"

#include <CLI/CLI.hpp>

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::app {

/// A verb: how it is called and what it does. `add` puts its options on the command; the returned function runs it.
struct Verb {
    const char* name;
    const char* does;
    bool needsBook;
    std::function<std::function<int(Context&)>(CLI::App&)> add;
};

[[nodiscard]] std::vector<Verb> bookVerbs();     ///< new, demo, rebuild
[[nodiscard]] std::vector<Verb> keepingVerbs();  ///< verify, backup, restore, merge
[[nodiscard]] Verb importVerb();
[[nodiscard]] Verb exportVerb();
[[nodiscard]] Verb calcVerb();
[[nodiscard]] std::vector<Verb> exchangeVerbs();  ///< import, export, log
[[nodiscard]] std::vector<Verb> figureVerbs();    ///< calc, assess, explain
[[nodiscard]] std::vector<Verb> planVerbs();      ///< due, rounds, review
[[nodiscard]] std::vector<Verb> recordVerbs();    ///< rules, history
[[nodiscard]] std::vector<Verb> changeVerbs();    ///< changes

[[nodiscard]] std::vector<Verb> outlookVerbs();    ///< outlook
[[nodiscard]] std::vector<Verb> lifetimesVerbs();  ///< lifetimes
[[nodiscard]] std::vector<Verb> evidenceVerbs();   ///< effects, suspects

/// Runs the command line: parses `args` (without the program's name), runs the verb, returns the exit code.
int runCommandLine(std::vector<std::string> args, Context context);

}  // namespace halfcell::app
