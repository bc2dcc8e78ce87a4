#pragma once

#include "app/plots/life_line_series.h"
#include "app/presenters/evidence.h"

#include <QString>
#include <QStringList>

#include <memory>
#include <vector>

/// What will happen to the sensor of a Record, ready to show: the fans of the life line, the words of the side column, the past
/// outlooks against what came.
namespace halfcell::app {

struct OutlookWords {
    QString state = {};     ///< while nothing is there yet, or why nothing is said; the rest may be empty then
    QString sentence = {};  ///< "80 % sure that the next calibration on ... reads 92.1 to 95.4 %"
    QStringList odds = {};  ///< "As left below 80 %: 4 % within 13 weeks, 19 % within 26"
    QString past = {};      ///< how outlooks of the group came true
    bool hasWorking = false;
    bool operator==(const OutlookWords&) const = default;
};

struct RecordOutlook {
    std::shared_ptr<const SensorEvidence> evidence;
    OutlookWords words;
    std::vector<QStringList> issued;  ///< newest first: issued, for, weeks ahead, said, came, where it lay
};

/// Puts the fan of each quantity into the panel of its key; what abstains leaves none.
void addFans(LifeLineSeries& line, const std::vector<core::outlook::SensorForecast>& fan);

/// The outlook in words; `today` as the day number of the moment looked at.
[[nodiscard]] RecordOutlook recordOutlook(std::shared_ptr<const SensorEvidence> evidence, std::int64_t today);

}  // namespace halfcell::app
