#include "db/book/book_impl.h"
#include "db/book/verifier.h"

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

Result<VerifyReport> Book::verify(const std::function<bool(double)>& progress, std::string_view noted) const
{
    auto report = m_impl->reading([&] { return verifyBook(*m_impl->connection, progress, noted); });
    // A file that cannot even be read through is a finding, not a failure to look.
    if (!report && report.error().code == Errc::DamagedBook)
        return VerifyReport{.ok = false, .entries = 0, .head = {}, .firstBad = report.error().detail, .firstBadSeq = 0};
    return report;
}

Result<void> Book::backupTo(const fs::path& target, const std::optional<core::Instant>& now,
                            const std::function<bool(double)>& progress) const
{
    // Copying and checking take about as long as each other.
    const auto part = [&progress](double from) -> std::function<bool(double)> {
        if (!progress)
            return {};
        return [&progress, from](double fraction) { return progress(from + 0.5 * fraction); };
    };
    Impl& d = *m_impl;
    if (auto copied = guarded([&] { d.connection->copyTo(target, part(0.0)); }); !copied)
        return copied;
    const auto refuse = [&](core::Error error) -> Result<void> {
        std::error_code ec;
        fs::remove(target, ec);
        error.file = target.string();
        return std::unexpected(std::move(error));
    };
    {
        const auto copy = Book::open(target, OpenMode::ReadOnly);
        if (!copy)
            return refuse(copy.error());
        const auto report = copy->verify(part(0.5));
        if (!report)
            return refuse(report.error());
        if (!report->ok)
            return refuse(
                {.code = Errc::DamagedBook, .detail = "the copy does not verify: " + report->firstBad, .remedy = "verify the book itself"});
    }
    if (now && !d.connection->readOnly())
        return d.writing([&] {
            std::error_code ec;
            d.setMeta("last_backup", core::formatInstant(*now));
            d.setMeta("last_backup_file", fs::absolute(target, ec).string());
        });
    return {};
}

}  // namespace halfcell::db
