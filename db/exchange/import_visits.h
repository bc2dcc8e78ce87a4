#pragma once

#include "db/exchange/import_engine.h"

/// Parts of the import engine that its visit files share. Internal to db/exchange.
namespace halfcell::db {

/// The readers of one file: for its own rows, and for the visit's columns that they carry.
struct ImportEngine::FileReaders {
    explicit FileReaders(const TableFile& file) : head(file), reading(file), grab(file), check(file), action(file) {}
    RowReader<core::Visit> head;
    RowReader<core::Reading> reading;
    RowReader<core::Grab> grab;
    RowReader<core::Check> check;
    RowReader<core::Action> action;

    template <class Row>
    const RowReader<Row>& of() const
    {
        if constexpr (std::is_same_v<Row, core::Reading>)
            return reading;
        else if constexpr (std::is_same_v<Row, core::Grab>)
            return grab;
        else if constexpr (std::is_same_v<Row, core::Check>)
            return check;
        else
            return action;
    }
};

/// Everything an import says about one visit.
struct ImportEngine::VisitRows {
    std::optional<Read<core::Visit>> own;  ///< the row of visits.csv
    std::vector<Read<core::Reading>> readings;
    std::vector<Read<core::Grab>> grabs;
    std::vector<Read<core::Check>> checks;
    std::vector<Read<core::Action>> actions;
    std::optional<VisitRow> stored;  ///< the visit in the book
    core::Visit head;                ///< what all its rows must agree on

    template <class Take>
    void eachHead(Take&& take) const
    {
        for (const auto& r : readings)
            take(r.head);
        for (const auto& r : grabs)
            take(r.head);
        for (const auto& r : checks)
            take(r.head);
        for (const auto& r : actions)
            take(r.head);
    }
    [[nodiscard]] bool empty() const { return !own && readings.empty() && grabs.empty() && checks.empty() && actions.empty(); }
};

}  // namespace halfcell::db
