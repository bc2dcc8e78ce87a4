#pragma once

#include "db/book/admission.h"
#include "db/book/book.h"
#include "db/book/describe.h"
#include "db/book/remark_index.h"
#include "db/connection/connection.h"
#include "db/connection/guarded.h"
#include "db/journal/journal.h"
#include "db/stores/draft_store.h"
#include "db/stores/figure_store.h"
#include "db/stores/latest_store.h"
#include "db/stores/plant_store.h"
#include "db/stores/visit_store.h"

#include <map>

namespace halfcell::db {

/// The open book: its connection and one store per concept, each with its statements prepared once.
struct Book::Impl {
    explicit Impl(std::unique_ptr<Connection> opened);
    ~Impl();

    std::unique_ptr<Connection> connection;
    Journal journal;
    StandingRows standing;
    PlantStore plant;
    VisitStore visits;
    FigureStore figures;
    LatestStore latest;
    DraftStore drafts;
    TableStore<ShopName> shopNames;
    TableStore<RuleSetRow> ruleSets;
    TableStore<RuleAdoptionRow> ruleAdoptions;
    TableStore<MergeRow> merges;
    TableStore<MergeVariant> variants;
    TableStore<ClashSettlement> settlements;
    RemarkIndex remarks;
    Admission admission;

    /// Opens a placement; `latest` if it began some day between `from` and then. Inside `writing`.
    void place(std::string_view serial, std::string_view where, const core::Instant& from, const std::optional<core::Instant>& latest,
               const BookStamp& stamp);

    /// Reads with one consistent view of all tables.
    template <class Body>
    auto reading(Body&& body) -> core::Result<std::invoke_result_t<Body>>
    {
        return located(guarded([&] {
            Transaction view(*connection, Transaction::Kind::Read);
            standing.begin();
            return std::forward<Body>(body)();
        }));
    }
    /// One write transaction: the writer's place is taken first, the journal's end read, and all of it is on disk when
    /// this returns a value. `body` may return a Result; an error rolls everything back.
    template <class Body>
    auto writing(Body&& body) -> core::Result<std::invoke_result_t<Body>>
    {
        return located(guarded([&] {
            if (connection->readOnly())
                throwError(core::Errc::CannotWrite, "the book was opened for reading only");
            Transaction transaction(*connection, Transaction::Kind::Write);
            journal.begin();
            admission.begin();
            if constexpr (std::is_void_v<std::invoke_result_t<Body>>) {
                std::forward<Body>(body)();
                transaction.commit();
            } else {
                auto value = std::forward<Body>(body)();
                transaction.commit();
                return value;
            }
        }));
    }

    // --- inside a write transaction ---
    /// Adds a row of a table of its own with its journal entry.
    template <class Row>
    void append(TableStore<Row>& store, const Row& row, const BookStamp& stamp)
    {
        m_content.clear();
        store.appendContent(m_content, row);
        store.insert(row, enter(TableMap<Row>::kWhat, describe(row), stamp));
    }
    void append(const VisitPlan& plan, const BookStamp& stamp);
    /// Adds a correction that was found to fit; `serial` is the visit's sensor.
    void append(const core::Correction& correction, std::string_view serial, const BookStamp& stamp);
    void append(const core::RuleSet& rules, std::string_view why, const BookStamp& stamp);

    /// Adds rows that are there as text (from another book); `rows` in the order of a content. Their entry's number.
    std::int64_t appendAsWritten(std::string_view what, Described described, std::span<const ContentRow> rows, const BookStamp& stamp);

    [[nodiscard]] std::string metaValue(std::string_view key);
    void setMeta(std::string_view key, std::string_view value);

private:
    template <class T>
    core::Result<T> located(core::Result<T> result) const
    {
        if (!result && result.error().file.empty() && isAboutTheFile(result.error().code))
            result.error().file = connection->file().string();
        return result;
    }
    static bool isAboutTheFile(core::Errc code);
    /// Writes the journal entry of the rows whose text is in m_content; its sequence number.
    std::int64_t enter(std::string_view what, Described described, const BookStamp& stamp);

    struct Writer;  ///< a prepared INSERT of one table
    std::map<std::string, std::unique_ptr<Writer>, std::less<>> m_writers;
    std::string m_content;
};

}  // namespace halfcell::db
