#pragma once

#include "core/quantity/result.h"
#include "db/sheets/sheet.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace halfcell::db {

/// Widest row that is taken (column ALL): our choice, a shop's table has some tens of columns.
inline constexpr std::size_t kWidestRow = 1000;

/// A workbook opened for reading: XLSX (ECMA-376, Office Open XML) or ODS (ISO/IEC 26300, OpenDocument). Rows are read one after the other
/// from the packed file, so memory does not grow with their number; only the texts that cells of an XLSX share are held. Formulas count as
/// the value that was stored with them. One thread.
class WorkbookReader {
public:
    /// Errc::CannotRead if the file cannot be read; BadInput (with a remedy) if it is no such workbook: an older or locked one,
    /// a damaged one, one that unpacks to more than any table of a shop.
    static core::Result<WorkbookReader> open(const std::filesystem::path& file);

    WorkbookReader(WorkbookReader&&) noexcept;
    WorkbookReader& operator=(WorkbookReader&&) noexcept;
    ~WorkbookReader();

    /// The names of its sheets, in the workbook's order.
    [[nodiscard]] const std::vector<std::string>& sheets() const;
    /// Gives every row of a sheet that holds anything, from the top. `take` returns false to stop. `share` of the sheet read
    /// so far is 0..1. Errc::BadInput with the row's number where the sheet breaks off.
    core::Result<void> rows(std::size_t sheet, const std::function<bool(const SheetRow&, double share)>& take) const;

    struct Impl;  ///< one of the two kinds (db/sheets/workbook_parts.h)

private:
    explicit WorkbookReader(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

/// What a number of days since the workbook's first day means: `2026-03-02`, `2026-03-02T08:12:00`, or `08:12:00` below one day;
/// rounded to the second. Empty outside the years 1900 to 9999. Days before 1 March 1900 count from the 31 December 1899 that the
/// format's own calendar leaves them (it has a 29 February 1900).
[[nodiscard]] std::string momentOfSerial(double days, bool from1904);
/// Whether a number format shows dates or times: y d h, or m s, outside quotes, brackets and escapes.
[[nodiscard]] bool showsMoments(std::string_view format);

}  // namespace halfcell::db
