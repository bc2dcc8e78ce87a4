#pragma once

#include "core/fleet/columns.h"
#include "db/book/admission.h"
#include "db/stores/table_map.h"

#include <fmt/format.h>

#include <string>

/// Pieces of the admission rules that do not depend on the kind of row. Internal to db/book.
namespace halfcell::db {

inline std::unexpected<core::Error> refuse(core::Errc code, std::string field, std::string detail, std::string remedy)
{
    return std::unexpected(core::Error{.code = code, .detail = std::move(detail), .field = std::move(field), .remedy = std::move(remedy)});
}

inline RowVerdict refused(core::Error error)
{
    return {.kind = RowVerdict::Kind::Refused, .error = std::move(error)};
}

/// Texts that hold nothing count as not recorded.
template <class Row>
void tidy(Row& row)
{
    const auto one = [&row](const auto& field) {
        auto& value = row.*field.member;
        if constexpr (std::is_same_v<std::remove_reference_t<decltype(value)>, core::Text>) {
            if (value && value->empty())
                value.reset();
        }
    };
    std::apply([&](const auto&... field) { (one(field), ...); }, TableMap<Row>::fields());
}

/// The first column in which two rows differ; empty if they are equal. When a row was recorded is not part of what it
/// says.
template <class Row>
struct Difference {
    std::string field, stored, offered;
};
template <class Row>
std::optional<Difference<Row>> difference(const Row& stored, const Row& offered)
{
    std::optional<Difference<Row>> found;
    const auto one = [&](const auto& field) {
        if (found || field.name == "recorded" || stored.*field.member == offered.*field.member)
            return;
        Difference<Row> d{.field = std::string(field.name), .stored = {}, .offered = {}};
        found = std::move(d);
    };
    std::apply([&](const auto&... field) { (one(field), ...); }, TableMap<Row>::fields());
    return found;
}

/// A row the book has already: equal, or refused with the first column that differs.
template <class PublicRow, class Row>
RowVerdict compareRows(const Row& stored, const Row& offered, std::string_view what)
{
    const auto d = difference(stored, offered);
    if (!d)
        return {.kind = RowVerdict::Kind::Same, .error = {}};
    std::string held, given;
    if (const auto* column = core::findColumn<PublicRow>(d->field)) {
        held = column->get(stored);
        given = column->get(offered);
    }
    return refused(core::Error{.code = core::Errc::Conflict,
                               .detail = fmt::format("{} is already in the book with other content: {} is \"{}\" there, \"{}\" here", what,
                                                     d->field, held, given),
                               .field = d->field,
                               .remedy = "correct it in the program or by corrections.csv"});
}

}  // namespace halfcell::db
