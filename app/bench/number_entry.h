#pragma once

#include "core/quantity/instant.h"

#include <QChar>
#include <QLocale>
#include <QString>
#include <QTimeZone>

#include <optional>
#include <string>
#include <vector>

namespace halfcell::app::bench {

/// What a number field may hold.
struct NumberShape {
    bool sign = false;  ///< + and - are taken (mV); elsewhere they are refused
    double low = 0.0, high = 0.0;
    int decimals = 1;  ///< digits after the decimal sign that are taken
};

/// What a key does to the text of a number field.
struct KeyEffect {
    std::string text;    ///< the ASCII text afterwards
    int cursor = 0;      ///< position afterwards
    bool taken = false;  ///< false: the key is not one of a number
    QString refused;     ///< why a character of a number was not taken ("a comma separates groups here ...")
};

/// Applies one character to a number being typed. A sign is set wherever the cursor stands. Both the locale's decimal
/// sign and the point are decimal signs; any group sign of the locale is refused, also where it would be a point twice.
[[nodiscard]] KeyEffect typeInto(const std::string& text, int cursor, int selected, QChar key, const NumberShape& shape,
                                 const QLocale& locale);

/// A pasted or whole text: the ASCII number, or why it is none.
[[nodiscard]] core::Result<std::string> numberFrom(const QString& typed, const QLocale& locale);

/// The ASCII text as the field shows it: true minus, the locale's decimal sign.
[[nodiscard]] QString shownNumber(const std::string& ascii, const QLocale& locale);

/// A time typed as hmm or hhmm (a colon is allowed), by the clocks of `zone`: the last such moment not later than `now`; with
/// `notBefore`, the next one after it, not later than now either. Two moments, the earlier first, in the hour that comes twice when the
/// clocks go back. Errc::BadInput with a remedy, also for a time that the clocks leapt over.
[[nodiscard]] core::Result<std::vector<core::Instant>> momentsFrom(const std::string& typed, const core::Instant& now,
                                                                   const QTimeZone& zone,
                                                                   const std::optional<core::Instant>& notBefore = std::nullopt);
/// The machine's time zone where the moment was told by its clock, else the moment's own offset the whole year round.
[[nodiscard]] QTimeZone zoneOf(const core::Instant& now);
/// "08:12" at the instant's own offset; "Sun 23:52" when it lies on another day than `now`.
[[nodiscard]] QString shownMoment(const core::Instant& instant, const core::Instant& now);

}  // namespace halfcell::app::bench
