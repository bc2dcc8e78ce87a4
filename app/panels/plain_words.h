#pragma once

#include "core/fleet/records.h"

#include <QString>

#include <cstdint>
#include <optional>
#include <string_view>

/// How days, designs, standards and places are said on Register, Record and Working. Times are local to the machine.
namespace halfcell::app {

/// UTF-8 text of core as it is.
[[nodiscard]] QString plain(std::string_view utf8);
/// A sentence of core for the screen: true minus, arrows and degree sign, and words instead of the keys of files
/// ("pH 7.00" for ph7.00, "check wiring" for check_wiring).
[[nodiscard]] QString screenWords(std::string_view core);
[[nodiscard]] QString screenWords(const QString& core);

/// The words of an application or another key that a shop may name itself: "drinking water".
[[nodiscard]] QString shopWords(std::string_view key);

/// The words of one key of files that has an underscore ("as found"), another text as it is; and back, in whatever case.
[[nodiscard]] QString wordsOfKey(const QString& key);
[[nodiscard]] QString keyOfWords(const QString& words);

/// "pH 7.00", "quinhydrone in pH 4", "Zobell".
[[nodiscard]] QString standardWords(std::string_view standard);
/// "double-junction gel, bulb glass"; for ORP "platinum, double-junction refillable, 3M KCl". Empty if nothing is known.
[[nodiscard]] QString designWords(const core::Model& model);
/// "shelf", "in soak", "bench", "quarantine", "scrapped"; a tag stays as it is.
[[nodiscard]] QString placeWord(std::string_view place);
/// True for shelf, soak, bench, quarantine and scrap: places that are no measuring point.
[[nodiscard]] bool isStore(std::string_view place);

/// Day number of a moment on the machine's calendar.
[[nodiscard]] std::int64_t localDay(const core::Instant& instant);
/// "today", "3 Mar", with the year where it is another one than today's.
[[nodiscard]] QString dayWords(std::int64_t day, std::int64_t today);
/// The same for a moment: "28 Sep", "28 Sep 2025".
[[nodiscard]] QString dateWords(const core::Instant& instant, std::int64_t today);
/// "28 Sep 2025".
[[nodiscard]] QString fullDate(const core::Instant& instant);
/// A sentence of core without the number of this year after its days: "last 25 Feb" for "last 25 Feb 2026".
[[nodiscard]] QString withoutYear(const QString& text, std::int64_t today);
/// "2 Mar 08:44"; with the year where it is another one than today's.
[[nodiscard]] QString momentWords(const core::Instant& instant, std::int64_t today);
/// "08:44".
[[nodiscard]] QString clockWords(const core::Instant& instant);

/// What a person types for a moment, on the machine's calendar: nothing or "now", "08:44" (today), "2 Mar 08:44",
/// "2 Mar 2026 08:44", "2026-03-02 08:44", "2026-03-02". Absent for anything else. Keeps the local offset.
[[nodiscard]] std::optional<core::Instant> parseMoment(const QString& typed, const core::Instant& now);

/// The moment of "as known on": what parseMoment takes, a day alone meaning its last second, or a moment with its offset
/// ("2025-11-12T16:00:00+01:00"). Absent for anything else.
[[nodiscard]] std::optional<core::Instant> parseAsKnown(const QString& typed, const core::Instant& now);
/// "12 Nov 2025, 16:00"; with seconds where it has any but those of a day's end.
[[nodiscard]] QString asKnownWords(const core::Instant& moment);

/// Folded for searching: lower case, without accents, hyphens and underscores, so that "ae3107" finds "AE-3107".
[[nodiscard]] QString foldedKey(const QString& text);

}  // namespace halfcell::app
