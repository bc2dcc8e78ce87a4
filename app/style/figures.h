#pragma once

#include <QLocale>
#include <QMetaType>
#include <QString>

#include <optional>

/// How figures are written on screen, copied and spoken.
///
/// On screen: sign always written where the quantity has a sign of its own (offset, difference), true minus U+2212,
/// zero without a sign, the locale's decimal sign, no group sign inside a measured figure. A value that is not known
/// is its reason ("no temperature"), never 0 and never a bare dash. Copied text carries the ASCII minus.
namespace halfcell::app {

enum class Sign {
    Always,       ///< offsets, differences, millivolts: + and −
    WhenNegative  ///< efficiency, temperature, pH, seconds
};

/// One figure as a row or a field shows it.
struct Figure {
    std::optional<double> value = {};
    int decimals = 1;
    Sign sign = Sign::WhenNegative;
    std::optional<double> expanded = {};  ///< 95 % uncertainty (k = 2), same unit
    QString unit = {};                    ///< "%", "mV", "s", "°C"; empty where the column head has it
    QString reason = {};                  ///< said instead of the value when there is none
    QString lead = {};                    ///< a word before the figure ("span"), empty for most
    bool guilty = false;             ///< the figure that caused the signal: drawn heavy
    bool quiet = false;              ///< a row in order: drawn in ink2
    bool operator==(const Figure&) const = default;
};

/// "−11.9", "+24.1", "0.0", "92.1"; rounding to zero gives zero without a sign. Not a number gives an empty text.
[[nodiscard]] QString figureText(double value, int decimals, Sign sign, const QLocale& locale = QLocale());
/// "±2.0"; the expanded uncertainty is given, not the standard one.
[[nodiscard]] QString uncertaintyText(double expanded, int decimals, const QLocale& locale = QLocale());
/// The whole figure on one line: "92.1 ±2.0 %", or the reason.
[[nodiscard]] QString screenText(const Figure& figure, const QLocale& locale = QLocale());
/// The value alone, for the clipboard: "-11.9" with the ASCII minus; empty when there is no value.
[[nodiscard]] QString copyText(const Figure& figure, const QLocale& locale = QLocale());
/// Value with uncertainty, unit and date, for the clipboard: "-11.9 ±3.4 mV, 2 Mar 2026"; or the reason.
[[nodiscard]] QString copyFullText(const Figure& figure, const QString& date, const QLocale& locale = QLocale());
/// For speech: "minus 11.9 millivolts, plus or minus 3.4".
[[nodiscard]] QString spokenText(const Figure& figure, const QLocale& locale = QLocale());
/// "%" percent, "mV" millivolts, "s" seconds, "°C" degrees Celsius; another unit is returned as it is.
[[nodiscard]] QString spokenUnit(const QString& unit);

/// 18204 as "18 204" (narrow no-break space; groups from 1 000 on).
[[nodiscard]] QString countText(qint64 count);
/// A probability in whole per cent: "under 1 %", "71 %", "over 99 %"; exactly 0 and 1 are also written so.
[[nodiscard]] QString probabilityText(double probability);
/// Minutes as "0 h 34"; from a day on "2 d 3 h".
[[nodiscard]] QString heldText(qint64 minutes);
/// Core texts are ASCII: a minus before a digit becomes U+2212, "->" an arrow, "+-" the plus-minus sign, "degC" the
/// degree sign with C. Serials, tags and dates keep their hyphens.
[[nodiscard]] QString toScreen(const QString& ascii);
/// The way back for the clipboard: U+2212 becomes "-", narrow and figure spaces become plain ones.
[[nodiscard]] QString toPlain(const QString& screen);

}  // namespace halfcell::app

Q_DECLARE_METATYPE(halfcell::app::Figure)
