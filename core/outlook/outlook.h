#pragma once

#include "core/outlook/rolling.h"
#include "core/working/working.h"

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// What will happen: forecasts per sensor with honest bands, the date of the maintenance limit as a distribution, the chance of
/// being out before the next visit, and the working behind them.
namespace halfcell::core::outlook {

enum class Quantity { Efficiency, Offset, Response };
/// efficiency_pct, offset_mv, t90_s.
[[nodiscard]] std::string_view quantityKey(Quantity q);

/// One forecast of the next reading; `abstained` gives the rule when nothing is said (then q is empty of meaning).
struct SensorForecast {
    Quantity quantity = Quantity::Efficiency;
    Instant at;
    double weeks = 0.0;
    std::array<double, kLevels.size()> q{};
    std::string abstained;
};

/// When the clean efficiency passes the maintenance limit.
struct SensorCrossing {
    double limit = 0.0;
    std::optional<Instant> p10, p50, p90;
    std::optional<Instant> notBefore;  ///< end of what is forecast, where a date is missing
    struct At {
        Instant at;
        double probability = 0.0;
    };
    std::vector<At> probabilityBy;
    std::string abstained;
};

/// Sudden ends (breakage, cable, ...) of an application: rate a week, from how many.
struct SuddenRate {
    double perWeek = 0.0;
    std::size_t ends = 0;
    double weeks = 0.0;  ///< of service watched
};

/// How past forecasts of the same group came true.
struct GroupRecord {
    std::size_t n = 0;
    double said80 = 0.8, came = 0.0;
};

struct SensorOutlook {
    std::string serial, tag, site, group;
    SensorKind kind = SensorKind::Ph;
    std::size_t readings = 0;  ///< usable clean ones
    bool groupOnly = false;    ///< the range shown is the group's
    std::string abstained;     ///< rule under which the efficiency outlook is withheld or borrowed
    std::vector<SensorForecast> forecasts;
    std::optional<SensorCrossing> crossing;  ///< pH only
    std::optional<double> outBeforeNext;     ///< P(out of limit before the next visit due)
    std::optional<Instant> nextDue;
    GroupRecord record;
    std::string sentence;  ///< "80 % sure that the next calibration on ... reads 92.1 to 95.4 %"
    std::vector<WorkingStep> working;
};

struct OutlookRequest {
    std::vector<double> weeks{4, 8, 13, 26, 52};
    std::function<double(const Series&)> limit;                    ///< efficiency maintenance limit, %
    std::function<double(const Series&)> offsetLimit;              ///< absolute, mV
    std::function<std::optional<Instant>(const Series&)> nextDue;  ///< may be empty
    bool working = true;
};

/// A shop walked up to now.
struct BookOutlook {
    Shop shop;
    Walk walk;
    Instant now;
    std::map<std::string, SuddenRate> sudden;  ///< by application
};

[[nodiscard]] Result<BookOutlook> bookOutlook(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules,
                                              const WalkSettings& settings = {});

/// Of one series; its place in `shop.series`.
[[nodiscard]] SensorOutlook outlookOf(const BookOutlook& book, std::size_t sensor, const OutlookRequest& request);

/// Sudden ends of sensors in service by application, with half an end of the shipped rate added so that nothing is ever certain.
[[nodiscard]] std::map<std::string, SuddenRate> suddenRates(const Plant& plant);

}  // namespace halfcell::core::outlook
