#pragma once

#include "app/cabinet/column_use.h"

#include <QString>

#include <string_view>

/// How the import page says what files say in keys. GUI thread only (translated).
namespace halfcell::app {

/// "serial number", "temperature, °C", "glass, MΩ". A field that has no words of its own is said by its key, read out.
[[nodiscard]] QString fieldWords(std::string_view field);
/// "readings", "old records without millivolts", "visits".
[[nodiscard]] QString tableWords(db::PublicTable table);
[[nodiscard]] QString tableWords(std::string_view table);
/// "as found", "after cleaning", "as left"; empty: "as the row says".
[[nodiscard]] QString phaseWords(std::string_view phase);
/// What a column is taken as, in one line: "millivolts in pH 4.01, as found"; "left out".
[[nodiscard]] QString useWords(const ColumnUse& use);
/// The choice in a list, without standard and phase: "millivolts", "remark (visits)".
[[nodiscard]] QString choiceWords(const ColumnUse& use, db::PublicTable main);
/// A stored value as it is said on screen: standards and phases in words, everything else as it is.
[[nodiscard]] QString valueWords(std::string_view field, std::string_view value);
/// "semicolon", "tab".
[[nodiscard]] QString separatorWords(char separator);
/// "UTF-8", "Windows-1252".
[[nodiscard]] QString encodingWords(db::TextEncoding encoding);

}  // namespace halfcell::app
