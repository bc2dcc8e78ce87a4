#include "app/cli/context.h"

#include "core/quantity/number.h"
#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <ostream>
#include <thread>

namespace halfcell::app {

using core::Errc;
using core::Result;

namespace {

std::string_view codeWord(Errc code)
{
    switch (code) {
    case Errc::BadInput: return "bad_input";
    case Errc::OutOfRange: return "out_of_range";
    case Errc::OutsideTable: return "outside_table";
    case Errc::TemperatureMissing: return "temperature_missing";
    case Errc::TooFewReadings: return "too_few_readings";
    case Errc::StandardsTooClose: return "standards_too_close";
    case Errc::NoConvergence: return "no_convergence";
    case Errc::NotFound: return "not_found";
    case Errc::Conflict: return "conflict";
    case Errc::Cancelled: return "cancelled";
    case Errc::CannotRead: return "cannot_read";
    case Errc::CannotWrite: return "cannot_write";
    case Errc::NewerBook: return "newer_book";
    case Errc::DamagedBook: return "damaged_book";
    case Errc::DiskFull: return "disk_full";
    case Errc::Locked: return "locked";
    case Errc::Internal: return "internal";
    }
    return "internal";
}

Json errorJson(std::string_view code, const core::Error& error)
{
    Json e;
    e["code"] = code;
    e["message"] = error.detail;
    e["file"] = error.file.empty() ? Json() : Json(error.file);
    e["line"] = error.line ? Json(*error.line) : Json();
    e["field"] = error.field.empty() ? Json() : Json(error.field);
    e["remedy"] = error.remedy.empty() ? Json() : Json(error.remedy);
    return Json{{"error", e}};
}

}  // namespace

core::Error optionError(std::string_view option, std::string detail, std::string remedy)
{
    return {.code = core::Errc::BadInput, .detail = std::move(detail), .field = std::string(option), .remedy = std::move(remedy)};
}

int exitCodeOf(Errc code)
{
    switch (code) {
    case Errc::CannotRead:
    case Errc::CannotWrite:
    case Errc::NewerBook:
    case Errc::DamagedBook:
    case Errc::DiskFull:
    case Errc::Locked:
    case Errc::Internal: return kBookUnusable;
    default: return kBadInput;
    }
}

Result<core::Instant> Context::asOf() const
{
    if (asOfText.empty())
        return m_now;
    auto instant = core::parseInstant(asOfText, core::DateMeans::EndOfDay);
    if (!instant) {
        core::Error error = instant.error();
        error.field = "--as-of";
        return std::unexpected(error);
    }
    return instant;
}

Result<db::Book> Context::openBook(db::OpenMode mode) const
{
    return db::Book::open(std::filesystem::path(book), mode);
}

Result<core::Overview> Context::overview(const db::Book& theBook, const core::Instant& moment, bool withWorking) const
{
    auto records = theBook.loadRecords(moment);
    if (!records)
        return std::unexpected(records.error());
    auto rules = theBook.rulesAt(moment);
    if (!rules)
        return std::unexpected(rules.error());
    const unsigned threads = std::max(1U, std::thread::hardware_concurrency());
    return core::overviewOf(std::move(*records), std::move(*rules), moment, withWorking, threads);
}

Json Context::envelope(std::string_view rules, const core::Instant& moment) const
{
    Json answer;
    answer["program"] = "halfcell";
    answer["version"] = HALFCELL_VERSION;
    answer["schema"] = db::kJsonSchema;
    answer["rules"] = rules;
    answer["as_of"] = core::formatInstant(moment);
    return answer;
}

void Context::print(const Json& answer) const
{
    m_out << answer.dump(1, ' ', false, Json::error_handler_t::replace) << '\n';
}

int Context::fail(const core::Error& error) const
{
    if (json)
        print(errorJson(codeWord(error.code), error));
    std::string where;
    if (!error.file.empty())
        where += error.file;
    if (error.line)
        where += fmt::format("{}line {}", where.empty() ? "" : ", ", *error.line);
    if (!error.field.empty())
        where += fmt::format("{}{}", where.empty() ? "" : ", ", error.field);
    m_err << "halfcell-cli: " << (where.empty() ? "" : where + ": ") << error.detail;
    if (!error.remedy.empty())
        m_err << "\n  " << error.remedy;
    m_err << '\n';
    return exitCodeOf(error.code);
}

int Context::failUsage(std::string_view message, std::string_view remedy) const
{
    core::Error error{.code = Errc::BadInput, .detail = std::string(message), .remedy = std::string(remedy)};
    if (json)
        print(errorJson("usage", error));
    m_err << "halfcell-cli: " << message << '\n';
    if (!remedy.empty())
        m_err << "  " << remedy << '\n';
    return kUsage;
}

void Context::note(std::string_view message) const
{
    if (!quiet)
        m_err << message << '\n';
}

std::function<bool(double)> Context::progress(std::string_view what) const
{
    if (quiet || !errTerminal)
        return {};
    return [this, what = std::string(what), last = -1](double fraction) mutable {
        const int percent = static_cast<int>(fraction * 100.0);
        if (percent != last) {
            last = percent;
            m_err << '\r' << what << ' ' << percent << " %" << (percent >= 100 ? "\n" : "") << std::flush;
        }
        return true;
    };
}

}  // namespace halfcell::app
