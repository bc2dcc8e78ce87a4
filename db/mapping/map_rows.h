#pragma once

#include "db/exchange/spooled_table.h"
#include "db/mapping/mapping.h"
#include "db/sheets/sheet.h"

#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace halfcell::db {

/// Turns the lines of one source into rows of the public tables, by a mapping.
class RowMapper {
public:
    /// A row made.
    struct Made {
        PublicTable table = PublicTable::Readings;
        std::size_t rule = 0;
        std::vector<std::string> cells;  ///< in the order of `header(table)`
    };

    /// `names`: the columns of the source. Errc::BadInput names a column that the mapping wants and the source has not got.
    static core::Result<RowMapper> make(const Mapping& mapping, const std::vector<std::string>& names, const std::string& fileName);

    /// The tables that rows are made of, and their headers: the fields that the mapping fills, with `visit`, `why_missing` and `note`
    /// where rows may need them.
    [[nodiscard]] const std::map<PublicTable, std::vector<std::string>>& headers() const { return m_headers; }
    /// What the source calls the fields of a rule's rows.
    [[nodiscard]] SourceLines::FieldNames fieldNames(std::size_t rule) const;

    /// The rows a line makes; what can't be read is refused instead of the row it stands in.
    void map(const SheetRow& row, const std::function<void(const Made&)>& take, const std::function<void(Refusal)>& refuse) const;

private:
    struct Source {
        std::string field, columns;  ///< ours; theirs, as named in refusals
        std::vector<std::size_t> places;
        std::string unit;
        std::map<std::string, std::string, std::less<>> words;
        bool own = false;  ///< of the rule alone: what makes the row
        bool number = false, moment = false, truth = false;
        std::size_t cell = 0;  ///< place in the row made
    };
    struct Rule {
        PublicTable table = PublicTable::Readings;
        std::vector<Source> sources;
        std::vector<std::pair<std::size_t, std::string>> constants;
        bool always = false;  ///< has no columns of its own
    };
    /// One cell that should fill a field, or what is wrong with it.
    struct Filled {
        std::string text;
        std::string note;  ///< a word that stood for no value
    };
    RowMapper() = default;
    [[nodiscard]] core::Result<Filled> fill(const Source& source, const SheetRow& row) const;
    [[nodiscard]] bool isEmptyWord(std::string_view text) const;
    void addVisitKey(Made& made) const;
    void refuseKeyless(const Rule& rule, const Made& made, const SheetRow& row, std::set<std::string>& complained,
                       const std::function<void(Refusal)>& refuse) const;

    const Mapping* m_mapping = nullptr;
    std::string m_file;
    std::map<PublicTable, std::vector<std::string>> m_headers;
    std::vector<Rule> m_rules;
    std::vector<std::string> m_empty;  ///< in small letters
};

/// Goes through a file and spools the tables it makes. `line`, if given, sees each line and what came of it, and returns false to stop
/// looking (the rest is mapped all the same). Errors as importMapped.
struct MappedFileTables {
    std::vector<SpooledTable> tables;
    std::vector<Refusal> refused;
    std::vector<std::string> columns, sheets;
};
using LineWatcher = std::function<bool(const SheetRow&, const std::vector<RowMapper::Made>&, const RowMapper&)>;
[[nodiscard]] core::Result<MappedFileTables> mapFile(const std::filesystem::path& file, const Mapping& mapping, const LineWatcher& line,
                                                     const std::function<bool(double)>& progress);

}  // namespace halfcell::db
