#pragma once

#include "app/presenters/shop.h"

#include <QString>
#include <QStringList>

#include <optional>
#include <vector>

/// One visit as it was written down: all raw millivolts, standards, lots, temperatures, actions, checks, with what was
/// corrected struck through beside the new value. Read-only; a cell can be corrected.
namespace halfcell::app {

/// One cell, and the place of the record it shows.
struct VisitCell {
    QString screen = {};       ///< as shown: words, true minus
    QString raw = {};          ///< the cell text of the table, as a correction names it
    QString field = {};        ///< column of the table
    int row = 1;               ///< of the table within the visit, from 1
    QStringList old = {};      ///< what stood there before, oldest first, as shown
    QString why = {};          ///< of the last correction, with person and date
    bool operator==(const VisitCell&) const = default;
};

struct VisitSection {
    QString table = {};        ///< visits, readings, grabs, checks, actions
    QString title = {};        ///< "Readings"
    QStringList heads = {};    ///< in words, with units
    std::vector<std::vector<VisitCell>> rows = {};
    bool operator==(const VisitSection&) const = default;
};

struct VisitPage {
    QString visit = {};
    QString title = {};        ///< "Visit of 2 Mar 08:44 at AE-3107, routine, by T1"
    std::vector<VisitSection> sections = {};   ///< empty ones are left out

    /// The cell of a reading named as in a working: "as_found/ph7.00/1", field mv. Section and row; absent if none.
    struct Spot {
        int section = 0, row = 0, column = 0;
        bool operator==(const Spot&) const = default;
    };
    [[nodiscard]] std::optional<Spot> spotOf(const QString& reading) const;
    bool operator==(const VisitPage&) const = default;
};

/// Absent if the sensor has no such visit.
[[nodiscard]] std::optional<VisitPage> visitPage(const Dossier& dossier, const QString& visit, std::int64_t today);

/// What a reader hears and a form shows for a cell: "As found, pH 7.00, mV".
[[nodiscard]] QString cellLabel(const VisitSection& section, int row, int column);

/// The cell text a typed value stands for: decimal comma and true minus become ASCII, words become keys.
[[nodiscard]] QString cellText(const QString& typed);

/// The correction a form asks for; nullopt with a sentence when something is missing or can't be.
struct CorrectionAsk {
    std::optional<core::Correction> correction = {};
    QString refusal = {};
};
[[nodiscard]] CorrectionAsk askCorrection(const Dossier& dossier, const QString& visit, const VisitSection& section, const VisitCell& cell,
                                          const QString& typed, const QString& why, const QString& person, const core::Instant& now);

/// The reasons offered for a correction.
[[nodiscard]] QStringList correctionReasons();

}  // namespace halfcell::app
