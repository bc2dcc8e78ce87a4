#pragma once

#include "core/overview/overview.h"
#include "core/quantity/instant.h"
#include "core/quantity/result.h"
#include "db/book/book.h"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>

namespace halfcell::app {

using Json = nlohmann::ordered_json;

/// Exit codes of the command line (the public contract).
enum ExitCode : int { kDone = 0, kAttention = 1, kUsage = 2, kBadInput = 3, kBookUnusable = 4 };

/// The exit code an error leads to.
[[nodiscard]] int exitCodeOf(core::Errc code);

/// Names the option that was given wrongly, what is wrong with it, and what to write instead.
[[nodiscard]] core::Error optionError(std::string_view option, std::string detail, std::string remedy);

/// What every verb gets: where to write, the common options, the moment looked at. One per call; one thread.
class Context {
public:
    Context(std::ostream& out, std::ostream& err, core::Instant now) : m_out(out), m_err(err), m_now(now) {}

    std::string book;        ///< --book or HALFCELL_BOOK
    bool json = false;
    bool quiet = false;
    std::string asOfText;
    bool errTerminal = false;   ///< a progress line makes sense
    bool outTerminal = false;

    [[nodiscard]] std::ostream& out() const { return m_out; }
    [[nodiscard]] std::ostream& err() const { return m_err; }
    [[nodiscard]] const core::Instant& now() const { return m_now; }
    /// The moment looked at: --as-of, else now.
    [[nodiscard]] core::Result<core::Instant> asOf() const;
    /// Opens the book named by --book. Errc::BadInput (usage) when none is named.
    [[nodiscard]] core::Result<db::Book> openBook(db::OpenMode mode) const;
    /// Everything as known at `asOf`.
    [[nodiscard]] core::Result<core::Overview> overview(const db::Book& book, const core::Instant& asOf, bool withWorking) const;

    /// Starts a JSON answer with the members every answer has.
    [[nodiscard]] Json envelope(std::string_view rules, const core::Instant& asOf) const;
    /// Prints a JSON answer.
    void print(const Json& answer) const;
    /// Reports an error (text on standard error; with --json also the error object on standard output); returns its exit code.
    int fail(const core::Error& error) const;
    int failUsage(std::string_view message, std::string_view remedy) const;
    /// A message for people, unless --quiet.
    void note(std::string_view message) const;
    /// Progress callback for long work (a line on a terminal, nothing elsewhere).
    [[nodiscard]] std::function<bool(double)> progress(std::string_view what) const;

private:
    std::ostream& m_out;
    std::ostream& m_err;
    core::Instant m_now;
};

}  // namespace halfcell::app
