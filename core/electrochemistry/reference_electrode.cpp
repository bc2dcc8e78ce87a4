#include "core/electrochemistry/reference_electrode.h"

#include "core/electrochemistry/reference_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

std::string wordsOfReference(std::string_view fill)
{
    if (fill == "SCE")
        return "saturated calomel";
    if (fill == "AgCl standard")
        return "silver/silver chloride at unit activity";
    return fmt::format("silver/silver chloride {}", fill);
}

}  // namespace

Result<ReferencePotential> referencePotential(std::string_view fill, Celsius t)
{
    if (fill == "SHE")
        return ReferencePotential{
            .e = Millivolt(0.0), .u_mv = 0.0, .source = "definition of the hydrogen scale", .sourceClass = SourceClass::Law};
    const auto& tables = shippedReferences();
    const auto table = std::ranges::find(tables, fill, &ShippedTable::key);
    if (table == tables.end()) {
        if (fill == kDifferentialFill)
            return failure(Errc::NotFound, "a differential reference has no table: it is judged against its own first reading",
                           "read a new sensor in the standard once; that is its baseline");
        return failure(Errc::NotFound, fmt::format("\"{}\" is no reference filling with a table", fill),
                       "use 1M KCl, 3M KCl, 3.5M KCl or sat KCl");
    }
    Interpolated at;
    if (!interpolate(table->rows, t.value(), at))
        return outsideTable(fmt::format("the reference {}", fill), t.value(), table->rows.front().temp_c, table->rows.back().temp_c,
                            "read again inside the table");
    return ReferencePotential{.e = Millivolt(at.value),
                              .u_mv = at.u,
                              .source = fmt::format("{} ({})", wordsOfReference(fill), at.source),
                              .sourceClass = at.sourceClass};
}

Result<ExpectedPotential> expectedPotential(const StandardsBook& standards, std::string_view standard, std::string_view lot,
                                            std::string_view fill, Celsius t)
{
    auto value = standards.redox(standard, lot, t);
    if (!value)
        return std::unexpected(value.error());
    auto reference = referencePotential(fill, t);
    if (!reference)
        return std::unexpected(reference.error());
    ExpectedPotential expected;
    expected.e = Millivolt(value->value) - reference->e;
    expected.u_mv = std::hypot(value->u, reference->u_mv);
    expected.standard = std::move(*value);
    expected.reference = std::move(*reference);
    return expected;
}

Result<Millivolt> convertReference(Millivolt e, std::string_view fromFill, std::string_view toFill, Celsius t)
{
    const auto from = referencePotential(fromFill, t);
    if (!from)
        return std::unexpected(from.error());
    const auto to = referencePotential(toFill, t);
    if (!to)
        return std::unexpected(to.error());
    return e + from->e - to->e;
}

Result<Millivolt> silverChlorideStandardPotential(Celsius t)
{
    const ShippedEquation* const equation = shippedEquation("agcl_standard");
    if (equation == nullptr)
        return failure(Errc::NotFound, "the equation of the standard potential is not shipped");
    if (!(t.value() >= equation->low && t.value() <= equation->high))
        return failure(Errc::OutOfRange, fmt::format("{} °C is outside {} to {} °C", t.value(), equation->low, equation->high),
                       "check the temperature");
    return Millivolt(equation->at(t.value()));
}

}  // namespace halfcell::core
