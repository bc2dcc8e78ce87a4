#include "app/record/phase_figure.h"
#include "app/record/say.h"

#include "app/panels/plain_words.h"

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

std::optional<double> doubled(const std::optional<double>& u)
{
    return u ? std::optional(2.0 * *u) : std::nullopt;
}

}  // namespace

const std::vector<std::string_view>& shownFigures(core::SensorKind kind)
{
    static const std::vector<std::string_view> ph{"efficiency_pct", "offset_mv", "t90_s"};
    static const std::vector<std::string_view> orp{"span_pct", "offset_mv", "t90_s"};
    return kind == core::SensorKind::Orp ? orp : ph;
}

QString figureName(std::string_view key)
{
    if (key == "efficiency_pct")
        return RecordSay::tr("Efficiency");
    if (key == "span_pct")
        return RecordSay::tr("Span");
    if (key == "offset_mv")
        return RecordSay::tr("Offset");
    if (key == "t90_s")
        return RecordSay::tr("Response t90");
    if (key == "in_service")
        return RecordSay::tr("In service");
    return plain(key);
}

Figure phaseFigure(const core::PhaseFigures& phase, std::string_view key)
{
    Figure figure;
    if (key == "efficiency_pct")
        figure = {.value = phase.efficiency_pct, .decimals = 1, .expanded = doubled(phase.u_efficiency_pct), .unit = u"%"_s};
    else if (key == "span_pct")
        figure = {.value = phase.span_pct, .decimals = 0, .expanded = doubled(phase.u_span_pct), .unit = u"%"_s};
    else if (key == "offset_mv")
        figure = {.value = phase.offset_mv, .decimals = 1, .sign = Sign::Always, .expanded = doubled(phase.u_offset_mv), .unit = u"mV"_s};
    else if (key == "t90_s")
        figure = {.value = phase.t90_s, .decimals = 0, .unit = u"s"_s};
    if (!figure.value) {
        const auto why = std::ranges::find(phase.missing, key, [](const auto& entry) { return std::string_view(entry.first); });
        if (why != phase.missing.end())
            figure.reason = screenWords(why->second);
        else if (key == "t90_s")
            figure.reason = RecordSay::tr("not timed");
    }
    return figure;
}

}  // namespace halfcell::app
