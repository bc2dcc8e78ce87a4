#pragma once

#include "core/fleet/records.h"
#include "db/values/book_types.h"

#include <QString>
#include <QStringList>

#include <optional>
#include <string>
#include <utility>
#include <vector>

/// What the forms of the Register ask for, checked before anything is written. No widgets, no book.
namespace halfcell::app {

/// A place a sensor can go to: key and words ("AE-3107  Neutralisation tank 2", "shelf").
struct PlaceChoice {
    QString place = {};
    QString words = {};
};
/// Shelf, soak, bench, quarantine and scrap first, then every point by tag.
[[nodiscard]] std::vector<PlaceChoice> placeChoices(const core::Records& reference);

/// The reasons for taking a sensor out of a point, in the order of the list.
[[nodiscard]] std::vector<std::pair<core::RemovalReason, QString>> removalReasons();

struct MoveAsk {
    struct Move {
        std::string serial, place;
        core::Instant when;
        std::optional<core::RemovalReason> reason;
        bool operator==(const Move&) const = default;
    };
    std::optional<Move> move = {};
    QString refusal = {};   ///< a sentence; empty when the move can be written
};
/// Checks a move as typed. A sensor that leaves a point needs its reason.
[[nodiscard]] MoveAsk askMove(const db::LatestState& sensor, const core::Records& reference, const QString& place, const QString& when,
                              std::optional<core::RemovalReason> reason, const core::Instant& now);

struct NewSensorAsk {
    std::optional<core::Records> rows = {};
    QString refusal = {};
};
/// Checks a new sensor as typed: serial and model needed, a serial already in the book is named with where it is.
[[nodiscard]] NewSensorAsk askNewSensor(const QString& serial, const QString& model, const QString& place, const QString& when,
                                        const core::Records& reference, const std::vector<db::LatestState>& latest, const core::Instant& now);

}  // namespace halfcell::app
