#include "app/cabinet/import_words.h"

#include "app/panels/plain_words.h"

#include <QCoreApplication>

#include <array>

namespace halfcell::app {

namespace {

QString said(const char* words)
{
    return QCoreApplication::translate("halfcell", words);
}

struct Words {
    std::string_view key;
    const char* words;
};

constexpr std::array<Words, 34> kFields = {{
    {"serial", QT_TRANSLATE_NOOP("halfcell", "serial number")},
    {"when", QT_TRANSLATE_NOOP("halfcell", "date and time")},
    {"tag", QT_TRANSLATE_NOOP("halfcell", "tag of the point")},
    {"mv", QT_TRANSLATE_NOOP("halfcell", "millivolts")},
    {"ph", QT_TRANSLATE_NOOP("halfcell", "pH")},
    {"temp_degc", QT_TRANSLATE_NOOP("halfcell", "temperature, °C")},
    {"temp_source", QT_TRANSLATE_NOOP("halfcell", "where the temperature is from")},
    {"wait_s", QT_TRANSLATE_NOOP("halfcell", "wait, s")},
    {"t90_s", QT_TRANSLATE_NOOP("halfcell", "t90, s")},
    {"efficiency_pct", QT_TRANSLATE_NOOP("halfcell", "efficiency, %")},
    {"offset_mv", QT_TRANSLATE_NOOP("halfcell", "offset, mV")},
    {"visit", QT_TRANSLATE_NOOP("halfcell", "key of the visit")},
    {"phase", QT_TRANSLATE_NOOP("halfcell", "phase (as found, as left)")},
    {"shown_ph", QT_TRANSLATE_NOOP("halfcell", "pH the analyser showed")},
    {"keyed", QT_TRANSLATE_NOOP("halfcell", "keyed into the analyser")},
    {"why_missing", QT_TRANSLATE_NOOP("halfcell", "why there are no millivolts")},
    {"loop_ph", QT_TRANSLATE_NOOP("halfcell", "pH of the loop")},
    {"loop_mv", QT_TRANSLATE_NOOP("halfcell", "millivolts of the loop")},
    {"grab_ph", QT_TRANSLATE_NOOP("halfcell", "pH of the grab sample")},
    {"grab_mv", QT_TRANSLATE_NOOP("halfcell", "millivolts of the grab sample")},
    {"grab_when", QT_TRANSLATE_NOOP("halfcell", "time of the grab sample")},
    {"glass_mohm", QT_TRANSLATE_NOOP("halfcell", "glass, MΩ")},
    {"glass_temp_degc", QT_TRANSLATE_NOOP("halfcell", "temperature at the glass, °C")},
    {"reference_kohm", QT_TRANSLATE_NOOP("halfcell", "reference, kΩ")},
    {"manual_from", QT_TRANSLATE_NOOP("halfcell", "loop in manual from")},
    {"auto_at", QT_TRANSLATE_NOOP("halfcell", "loop back in auto at")},
    {"bought", QT_TRANSLATE_NOOP("halfcell", "bought on")},
    {"opened", QT_TRANSLATE_NOOP("halfcell", "opened on")},
    {"expires", QT_TRANSLATE_NOOP("halfcell", "expires on")},
    {"u", QT_TRANSLATE_NOOP("halfcell", "standard uncertainty")},
    {"u_ph", QT_TRANSLATE_NOOP("halfcell", "standard uncertainty, pH")},
    {"u_mv", QT_TRANSLATE_NOOP("halfcell", "standard uncertainty, mV")},
    {"dip", QT_TRANSLATE_NOOP("halfcell", "which dip of the standard")},
    {"person", QT_TRANSLATE_NOOP("halfcell", "person, initials")},
}};

constexpr std::array<Words, 10> kEndings = {{{"_mv", ", mV"},
                                             {"_degc", ", °C"},
                                             {"_pct", ", %"},
                                             {"_ph", ", pH"},
                                             {"_mohm", ", MΩ"},
                                             {"_kohm", ", kΩ"},
                                             {"_s", ", s"},
                                             {"_k", ", K"},
                                             {"_days", ", days"},
                                             {"_hours", ", hours"}}};

QString readOut(std::string_view key)
{
    return plain(key).replace(QLatin1Char('_'), QLatin1Char(' '));
}

}  // namespace

QString fieldWords(std::string_view field)
{
    for (const auto& [key, words] : kFields)
        if (key == field)
            return said(words);
    for (const auto& [ending, words] : kEndings)
        if (field.ends_with(ending) && field.size() > ending.size())
            return readOut(field.substr(0, field.size() - ending.size())) + QString::fromUtf8(words);
    return readOut(field);
}

QString tableWords(db::PublicTable table)
{
    if (table == db::PublicTable::Legacy)
        return said(QT_TRANSLATE_NOOP("halfcell", "old records without millivolts"));
    if (table == db::PublicTable::Grabs)
        return said(QT_TRANSLATE_NOOP("halfcell", "grab samples"));
    return readOut(db::nameOf(table));
}

QString tableWords(std::string_view table)
{
    const auto named = db::tableNamed(table);
    return named ? tableWords(*named) : plain(table);
}

QString phaseWords(std::string_view phase)
{
    if (phase.empty())
        return said(QT_TRANSLATE_NOOP("halfcell", "as the row says"));
    return phase == "after_clean" ? said(QT_TRANSLATE_NOOP("halfcell", "after cleaning")) : readOut(phase);
}

QString choiceWords(const ColumnUse& use, db::PublicTable main)
{
    if (use.field.empty())
        return said(QT_TRANSLATE_NOOP("halfcell", "left out"));
    if (use.joined)
        return said(QT_TRANSLATE_NOOP("halfcell", "time behind the date"));
    QString words = fieldWords(use.field);
    if (use.table && *use.table != main)
        words += QStringLiteral(" (%1)").arg(tableWords(*use.table));
    return words;
}

QString useWords(const ColumnUse& use)
{
    QString words = choiceWords(use, db::PublicTable::Readings);
    if (use.table == db::PublicTable::Legacy && !use.field.empty())
        words = fieldWords(use.field);
    if (!use.standard.empty())
        words += said(QT_TRANSLATE_NOOP("halfcell", " in %1")).arg(standardWords(use.standard));
    if (!use.phase.empty())
        words += QStringLiteral(", ") + phaseWords(use.phase);
    if (!use.unit.empty())
        words += said(QT_TRANSLATE_NOOP("halfcell", ", written in %1")).arg(plain(use.unit));
    return words;
}

QString valueWords(std::string_view field, std::string_view value)
{
    if (value.empty())
        return {};
    if (field == "standard")
        return standardWords(value);
    if (field == "phase")
        return phaseWords(value);
    return plain(value);
}

QString separatorWords(char separator)
{
    switch (separator) {
    case ',': return said(QT_TRANSLATE_NOOP("halfcell", "comma"));
    case ';': return said(QT_TRANSLATE_NOOP("halfcell", "semicolon"));
    case '\t': return said(QT_TRANSLATE_NOOP("halfcell", "tab"));
    case '|': return said(QT_TRANSLATE_NOOP("halfcell", "upright bar"));
    default: return QString(QLatin1Char(separator));
    }
}

QString encodingWords(db::TextEncoding encoding)
{
    switch (encoding) {
    case db::TextEncoding::Utf8: return QStringLiteral("UTF-8");
    case db::TextEncoding::Utf16Little: return QStringLiteral("UTF-16 LE");
    case db::TextEncoding::Utf16Big: return QStringLiteral("UTF-16 BE");
    case db::TextEncoding::Windows1252: return QStringLiteral("Windows-1252");
    }
    return {};
}

}  // namespace halfcell::app
