#include "db/merge/clash_kinds.h"

#include "core/fleet/columns.h"

#include <fmt/format.h>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

template <class Row>
std::string cell(const std::vector<Row>& rows, int row, std::string_view field)
{
    const auto* column = core::findColumn<Row>(field);
    if (column == nullptr || row < 1 || static_cast<std::size_t>(row) > rows.size())
        throwField(Errc::NotFound, "row", fmt::format("the visit has no row {} with {}", row, field), "correct the visit by hand");
    return column->get(rows[static_cast<std::size_t>(row) - 1]);
}

/// What stands in a visit's field now.
std::string presentValue(Book::Impl& d, const core::Correction& like)
{
    auto visit = d.visits.find(like.visit);
    if (!visit)
        throwField(Errc::NotFound, "visit", fmt::format("there is no visit \"{}\"", like.visit), "verify the book");
    for (const core::Correction& earlier : d.visits.correctionsOf(like.visit))
        (void)core::applyCorrection(*visit, earlier);
    if (like.table == "readings")
        return cell(visit->readings, like.row, like.field);
    if (like.table == "grabs")
        return cell(visit->grabs, like.row, like.field);
    if (like.table == "checks")
        return cell(visit->checks, like.row, like.field);
    if (like.table == "actions")
        return cell(visit->actions, like.row, like.field);
    return cell(std::vector<core::Visit>{*visit}, 1, like.field);
}

void settleCorrection(Book::Impl& d, const core::Correction& right, const BookStamp& stamp, std::string_view why)
{
    core::Correction row = right;
    row.old_value = presentValue(d, right);
    if (row.old_value == right.new_value)
        return;
    row.person = stamp.person;
    row.why = why;
    row.recorded = stamp.now;
    auto visit = d.visits.find(row.visit);
    d.append(row, visit->serial, stamp);
}

/// The other stays end where the right one begins; one that never was ends as it begins.
void settlePlacement(Book::Impl& d, const KnownClash& clash, const core::Placement& right, const BookStamp& stamp)
{
    for (const core::Placement& other : clash.placements) {
        if (other.to || (other.place == right.place && other.from == right.from))
            continue;
        PlacementEnd end;
        end.serial = other.serial;
        end.place = other.place;
        end.from = other.from;
        end.to = other.from < right.from ? right.from : other.from;
        end.reason_removed = core::RemovalReason::Unknown;
        end.person = stamp.person;
        end.recorded = stamp.now;
        d.append(d.plant.placementEnds, end, stamp);
    }
}

}  // namespace

Result<void> settleClash(Book& book, std::string_view id, std::size_t keep, const BookStamp& stamp, std::string_view why)
{
    Book::Impl& d = book.impl();
    return d.writing([&] {
        if (stamp.person.empty())
            throwField(Errc::BadInput, "person", "a clash is settled by a person", "say who settles it");
        if (why.empty())
            throwField(Errc::BadInput, "why", "settling a clash needs a reason", "say why this row is right");
        constexpr std::size_t kLeastDigits = 12;
        std::optional<KnownClash> found;
        for (KnownClash& clash : knownClashes(d))
            if (id.size() >= kLeastDigits && clash.shown.id.starts_with(id))
                found = std::move(clash);
        if (!found)
            throwField(Errc::NotFound, "id", fmt::format("there is no clash {}", id), "list them; 12 digits of the id are enough");
        if (keep < 1 || keep > found->shown.rows.size())
            throwField(Errc::BadInput, "keep", fmt::format("the clash has rows 1 to {}", found->shown.rows.size()), "name one of them");
        ClashSettlement row;
        row.clash = found->shown.id;
        row.seen = found->digests;
        row.person = stamp.person;
        row.why = why;
        row.recorded = stamp.now;
        if (found->shown.kind == "row")
            row.content = found->contents[keep - 1];
        else if (found->shown.kind == "correction")
            settleCorrection(d, found->corrections[keep - 1], stamp, why);
        else
            settlePlacement(d, *found, found->placements[keep - 1], stamp);
        d.append(d.settlements, row, stamp);
    });
}

}  // namespace halfcell::db
