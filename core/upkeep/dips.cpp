#include "core/upkeep/dips.h"

#include <algorithm>
#include <array>

namespace halfcell::core {
namespace {

bool kept(const Plant& plant, std::string_view standard)
{
    return std::ranges::any_of(plant.records().lots, [&](const Lot& lot) { return lot.standard == standard && !lot.discarded; });
}

/// The first of the keys of which the shop keeps a lot, else the first.
std::string firstKept(const Plant& plant, std::initializer_list<std::string_view> keys)
{
    for (const std::string_view key : keys)
        if (kept(plant, key))
            return std::string(key);
    return std::string(*keys.begin());
}

std::vector<std::string> redoxDips(const Plant& plant)
{
    std::vector<std::string> dips;
    for (const std::string_view key : {"zobell", "light", "quinhydrone_ph7", "quinhydrone_ph4"})
        if (dips.size() < 2 && kept(plant, key))
            dips.emplace_back(key);
    if (dips.empty())
        dips.emplace_back("zobell");
    return dips;
}

}  // namespace

std::vector<std::string> dipsFor(const Plant& plant, TaskKind task, SensorKind kind, const Point* point)
{
    enum class Points { None, Check, TwoPoint };
    Points points = Points::None;
    switch (task) {
    case TaskKind::Check:
    case TaskKind::Clean:
    case TaskKind::ShelfCheck:
    case TaskKind::Fault: points = Points::Check; break;
    case TaskKind::Calibrate:
    case TaskKind::Service:
    case TaskKind::RefillReference:
    case TaskKind::ReplaceBridge:
    case TaskKind::Replace: points = Points::TwoPoint; break;
    case TaskKind::Verify:
    case TaskKind::GrabCheck:
    case TaskKind::StorageSolution:
    case TaskKind::Lot:
    case TaskKind::Equipment: return {};
    }
    if (kind == SensorKind::Orp)
        return redoxDips(plant);
    const std::string seven = firstKept(plant, {"ph7.00", "ph6.86"});
    const std::string acid = firstKept(plant, {"ph4.01", "ph4.00"});
    const std::string alkaline = firstKept(plant, {"ph10.01", "ph9.18"});
    const double low = point && point->ph_low ? *point->ph_low : 7.0, high = point && point->ph_high ? *point->ph_high : 7.0;
    if (points == Points::TwoPoint && low < 6.0 && high > 8.0)
        return {seven, acid, alkaline, seven};
    const std::string& side = 0.5 * (low + high) > 7.0 ? alkaline : acid;
    if (points == Points::TwoPoint)
        return {seven, side, seven};
    return {seven, side};
}

std::string standardWords(std::string_view standard)
{
    if (standard.starts_with("ph"))
        return "pH " + std::string(standard.substr(2));
    if (standard.starts_with("value:"))
        return "pH " + std::string(standard.substr(6));
    if (standard == "zobell")
        return "redox standard ferri/ferrocyanide";
    if (standard == "light")
        return "redox standard ferrous/ferric";
    if (standard == "quinhydrone_ph4")
        return "quinhydrone in pH 4";
    if (standard == "quinhydrone_ph7")
        return "quinhydrone in pH 7";
    return std::string(standard);
}

}  // namespace halfcell::core
