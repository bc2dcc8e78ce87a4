#pragma once

#include "db/book/book_impl.h"
#include "db/exchange/exchange.h"
#include "db/exchange/row_reader.h"

#include <array>
#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace halfcell::db {

/// What became of one row, for previews.
struct RowFate {
    PublicTable table = PublicTable::Sites;
    std::string key, text;
    RowVerdict::Kind kind = RowVerdict::Kind::New;
};

/// How the refusal of a reading that stands twice begins.
inline constexpr std::string_view kDoubledReading = "the reading is doubled";

/// Takes the canonical tables into a book, row by row under the book's own rules. Small tables first, then the visits one
/// at a time (each gathered from the files by an index of where its rows lie, so memory stays flat), then the corrections.
/// All of it is one transaction: stopped, broken off or run dry, an import leaves nothing. Throws like everything inside db.
class ImportEngine {
public:
    ImportEngine(Book::Impl& book, const ImportOptions& options, const BookStamp& stamp, ImportReport& report);
    ImportEngine(const ImportEngine&) = delete;
    ImportEngine& operator=(const ImportEngine&) = delete;
    ~ImportEngine();

    /// Opens what the paths name: files, and folders for the tables in them.
    void open(const std::vector<std::filesystem::path>& paths);
    /// Takes tables that were made from other files, with what was refused in the making.
    void open(std::vector<SpooledTable> tables, std::vector<Refusal> refused);
    void run();
    /// The tables opened, for whoever wants the refused rows again.
    [[nodiscard]] const std::deque<TableFile>& files() const { return m_files; }

    /// Called for every row when set.
    std::function<void(const RowFate&)> onRow;

private:
    struct RowPlace {
        std::uint32_t file = 0;
        std::uint32_t line = 0;
        std::uint64_t offset = 0;
    };
    /// Rows of one visit that follow each other in a file.
    struct Run {
        std::uint64_t hash = 0;  ///< of the visit's key
        std::uint64_t offset = 0;
        std::uint32_t line = 0, rows = 0, file = 0;
    };
    /// Where the rows of one visit lie, by table from Visits to Actions.
    struct VisitPlaces {
        std::string key;
        std::array<std::vector<RowPlace>, 5> rows;
    };
    /// A row of a visit as read, with where it was.
    template <class Row>
    struct Read {
        RowPlace place;
        Row row;
        core::Visit head;  ///< the visit's columns as this row states them
    };
    struct VisitRows;
    struct FileReaders;

    void openFile(const std::filesystem::path& file);
    void openWorkbook(const std::filesystem::path& file);
    template <class Row>
    void smallTable(PublicTable table, TableStore<Row>& store);
    void indexVisits();
    void group(std::uint32_t at);
    void visit(const VisitPlaces& places);
    void readOwn(const VisitPlaces& places, VisitRows& rows);
    template <class Row>
    void readChildren(const VisitPlaces& places, PublicTable table, std::vector<Read<Row>>& out);
    [[nodiscard]] bool headIsKnown(const core::Visit& head, const RowPlace& place);
    void settleHead(VisitRows& rows);
    void dropRepeated(VisitRows& rows);
    void countDips(const VisitPlaces& places, VisitRows& rows);
    template <class Row>
    void dropDisagreeing(const VisitRows& rows, std::vector<Read<Row>>& list);
    template <class Row>
    void count(const std::vector<Read<Row>>& list, const std::vector<RowVerdict>& verdicts, PublicTable table, const std::string& key);
    void refuse(const RowPlace& place, const core::Error& error);
    void corrections();

    void taken(PublicTable table, RowVerdict::Kind kind, const std::string& key, const std::string& text);
    void refuse(std::size_t file, std::size_t line, const core::Error& error, std::string_view value = {});
    void refuse(Refusal refusal);
    void fate(PublicTable table, const std::string& key, const std::string& text, RowVerdict::Kind kind);
    void progress(double fraction);

    Book::Impl& m_book;
    const ImportOptions& m_options;
    const BookStamp& m_stamp;
    ImportReport& m_report;
    std::deque<TableFile> m_files;
    std::array<std::size_t, kPublicTables> m_taken{};
    std::vector<Run> m_runs;
    std::vector<std::uint32_t> m_runOrder, m_groups;  ///< runs by visit; where in that order each visit begins
    std::vector<std::unique_ptr<FileReaders>> m_readers;
    std::unique_ptr<Transaction> m_transaction;
    std::vector<RowPlace> m_repeated;       ///< of the visit at hand: readings that stand twice
    const CsvRecord* m_rowShown = nullptr;  ///< the record being judged, for the cell shown in a refusal
};

/// As importTables, of tables that were made from other files (`refused`: what was refused in the making).
core::Result<void> importSpooled(Book& book, std::vector<SpooledTable> tables, std::vector<Refusal> refused, const ImportOptions& options,
                                 const BookStamp& stamp, ImportReport& report);

}  // namespace halfcell::db
