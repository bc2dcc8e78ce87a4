#pragma once

#include "core/fleet/records.h"

#include <span>
#include <string_view>

/// The sensor models of the simulated shop: invented names, one for every design the trade uses.
namespace halfcell::core::simulation {

struct ModelSpec {
    std::string_view model;
    std::string_view family;      ///< first part of the serial number
    SensorKind kind;
    ReferenceDesign reference;
    Sensing sensing;
    std::string_view fill;
    std::string_view interchange; ///< sensors of one text fit each other's holders and plugs
    double price;
    double lead_time_days;
};

[[nodiscard]] std::span<const ModelSpec> modelSpecs();
/// Index by name; the first model if unknown (the layout names only models of this list, a test says so).
[[nodiscard]] std::size_t modelIndex(std::string_view model);
[[nodiscard]] Model modelRecord(const ModelSpec& spec, const Instant& recorded);

}  // namespace halfcell::core::simulation
