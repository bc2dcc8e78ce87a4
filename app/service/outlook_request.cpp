#include "app/service/outlook_request.h"

#include <algorithm>
#include <memory>

namespace halfcell::app {

using namespace core;

namespace {

constexpr std::int64_t kLookAheadDays = 800;  // further than any interval of the shipped rules

}  // namespace

outlook::OutlookRequest outlookRequest(const Overview& overview, const Instant& asOf, std::vector<double> weeks)
{
    outlook::OutlookRequest request;
    request.weeks = std::move(weeks);
    const auto profileOf = [&overview](const outlook::Series& s) -> const LimitProfile& {
        const SensorHistory* history = overview.plant->history(s.serial);
        return overview.rules.profileFor(history ? history->model : nullptr, s.tag.empty() ? nullptr : overview.plant->point(s.tag));
    };
    request.limit = [profileOf](const outlook::Series& s) { return profileOf(s).efficiency_maintenance_pct.value; };
    request.offsetLimit = [profileOf](const outlook::Series& s) {
        const LimitProfile& p = profileOf(s);
        return s.kind == SensorKind::Orp ? p.orp_offset_maintenance_mv.value : p.offset_maintenance_mv.value;
    };
    const auto tasks = std::make_shared<const std::vector<DueTask>>(overview.due(dayNumber(asOf) + kLookAheadDays));
    request.nextDue = [tasks, today = dayNumber(asOf)](const outlook::Series& s) -> std::optional<Instant> {
        const auto day = nextDue(*tasks, s.serial);
        return day ? std::optional(startOfDay(std::max(*day, today))) : std::nullopt;
    };
    return request;
}

}  // namespace halfcell::app
