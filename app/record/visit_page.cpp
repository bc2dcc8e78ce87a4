#include "app/record/visit_page.h"
#include "app/record/say.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/marks.h"
#include "core/fleet/columns.h"
#include "core/quantity/number.h"

#include <QLocale>

#include <algorithm>
#include <map>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

/// Head of a column: name and unit in words.
QString headOf(std::string_view field)
{
    static const std::map<std::string_view, QString> heads{{"when", RecordSay::tr("When")},
                                                           {"person", RecordSay::tr("By")},
                                                           {"tag", RecordSay::tr("Point")},
                                                           {"reason", RecordSay::tr("Reason")},
                                                           {"round", RecordSay::tr("Sheet")},
                                                           {"manual_from", RecordSay::tr("In manual")},
                                                           {"auto_at", RecordSay::tr("Back in auto")},
                                                           {"cleaned_before", RecordSay::tr("Cleaned before")},
                                                           {"confirmed_cause", RecordSay::tr("Confirmed cause")},
                                                           {"confirmed_how", RecordSay::tr("Confirmed how")},
                                                           {"remark", RecordSay::tr("Remark")},
                                                           {"phase", RecordSay::tr("Phase")},
                                                           {"standard", RecordSay::tr("Standard")},
                                                           {"lot", RecordSay::tr("Lot")},
                                                           {"mv", RecordSay::tr("mV")},
                                                           {"temp_degc", RecordSay::tr("°C")},
                                                           {"temp_source", RecordSay::tr("°C from")},
                                                           {"wait_s", RecordSay::tr("Waited s")},
                                                           {"t90_s", RecordSay::tr("t90 s")},
                                                           {"settled", RecordSay::tr("Settled")},
                                                           {"meter", RecordSay::tr("Meter")},
                                                           {"thermometer", RecordSay::tr("Thermometer")},
                                                           {"dip", RecordSay::tr("Dip")},
                                                           {"shown_ph", RecordSay::tr("Analyser pH")},
                                                           {"keyed", RecordSay::tr("Keyed in")},
                                                           {"why_missing", RecordSay::tr("Why none")},
                                                           {"note", RecordSay::tr("Note")},
                                                           {"loop_ph", RecordSay::tr("Loop pH")},
                                                           {"grab_ph", RecordSay::tr("Grab pH")},
                                                           {"loop_mv", RecordSay::tr("Loop mV")},
                                                           {"grab_mv", RecordSay::tr("Grab mV")},
                                                           {"grab_when", RecordSay::tr("Grab taken")},
                                                           {"step", RecordSay::tr("Step")},
                                                           {"action", RecordSay::tr("Action")},
                                                           {"agent", RecordSay::tr("Agent")},
                                                           {"strength", RecordSay::tr("Strength")},
                                                           {"minutes", RecordSay::tr("Minutes")},
                                                           {"elapsed_minutes", RecordSay::tr("Elapsed min")},
                                                           {"part_lot", RecordSay::tr("Part lot")},
                                                           {"glass_mohm", RecordSay::tr("Glass MΩ")},
                                                           {"glass_temp_degc", RecordSay::tr("at °C")},
                                                           {"reference_kohm", RecordSay::tr("Reference kΩ")},
                                                           {"noise_mv", RecordSay::tr("Noise mV")},
                                                           {"hysteresis_mv", RecordSay::tr("Hysteresis mV")},
                                                           {"dilution_ph", RecordSay::tr("Dilution pH")},
                                                           {"stir_ph", RecordSay::tr("Stir pH")},
                                                           {"reread_pct", RecordSay::tr("Read again %")},
                                                           {"second_bottle", RecordSay::tr("Second bottle")},
                                                           {"cable", RecordSay::tr("Spare cable")},
                                                           {"short_open", RecordSay::tr("Shorted, open")},
                                                           {"earth_wire", RecordSay::tr("Earth wire")},
                                                           {"thermometer_off_k", RecordSay::tr("Thermometer off K")},
                                                           {"coating", RecordSay::tr("Coating")},
                                                           {"coating_kind", RecordSay::tr("Look")},
                                                           {"dry_hours", RecordSay::tr("Dry h")}};
    const auto it = heads.find(field);
    return it != heads.end() ? it->second : plain(field).replace(u'_', u' ');
}

template <class E>
std::optional<QString> wordsFor(std::string_view cell)
{
    const auto value = core::findKey<E>(cell);
    return value ? std::optional(plain(core::wordsOf(*value))) : std::nullopt;
}

/// A cell text of a table as a screen says it.
QString screenCell(std::string_view field, const std::string& cell)
{
    if (cell.empty())
        return {};
    std::optional<QString> words;
    if (field == "standard")
        return standardWords(cell);
    if (field == "phase")
        words = wordsFor<core::Phase>(cell);
    else if (field == "action")
        words = wordsFor<core::ActionKey>(cell);
    else if (field == "reason")
        words = wordsFor<core::VisitReason>(cell);
    else if (field == "temp_source")
        words = wordsFor<core::TemperatureSource>(cell);
    else if (field == "coating_kind")
        words = wordsFor<core::CoatingKind>(cell);
    else if (field == "second_bottle" || field == "cable" || field == "short_open" || field == "earth_wire")
        words = wordsFor<core::Comparison>(cell);
    if (!words)
        words = wordsFor<core::NoAnswer>(cell);
    if (words)
        return *words;
    if (field == "when" || field.ends_with("_when") || field == "manual_from" || field == "auto_at") {
        if (const auto instant = core::parseInstant(cell))
            return fullDate(*instant) + u' ' + clockWords(*instant);
    }
    if (core::parseNumber(cell)) {
        QString text = plain(cell);
        text.replace(u'.', QLocale().decimalPoint());
        if (text.startsWith(u'-'))
            text[0] = QChar(0x2212);
        else if (field.ends_with("mv") && cell != "0")
            text.prepend(u'+');
        return text;
    }
    return wordsOfKey(plain(cell));
}

void noteOld(VisitCell& cell, std::span<const core::AppliedCorrection> applied, std::string_view visit, std::string_view table,
             std::string_view field)
{
    for (const core::AppliedCorrection& c : applied)
        if (c.visit == visit && c.table == table && c.row == cell.row && c.field == field) {
            cell.old.append(c.old_value.empty() ? RecordSay::tr("nothing") : screenCell(field, c.old_value));
            cell.why = RecordSay::tr("%1 (%2, %3)").arg(plain(c.why), plain(c.person), fullDate(c.recorded));
        }
}

/// One table of the visit: columns that hold something in any row, or did before a correction.
template <class Row>
VisitSection sectionOf(const Dossier& dossier, const core::Visit& visit, std::string_view table, const QString& title,
                       const std::vector<Row>& rows, std::span<const std::string_view> skipped)
{
    VisitSection section{.table = plain(table), .title = title};
    for (const auto& column : core::columnsOf<Row>()) {
        if (std::ranges::find(skipped, column.name) != skipped.end())
            continue;
        std::vector<VisitCell> cells;
        bool any = false;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const std::string raw = column.get(rows[i]);
            VisitCell cell{
                .screen = screenCell(column.name, raw), .raw = plain(raw), .field = plain(column.name), .row = static_cast<int>(i) + 1};
            noteOld(cell, dossier.plant->applied(), visit.visit, table, column.name);
            any = any || !raw.empty() || !cell.old.isEmpty();
            cells.push_back(std::move(cell));
        }
        if (!any)
            continue;
        section.heads.append(headOf(column.name));
        section.rows.resize(rows.size());
        for (std::size_t i = 0; i < cells.size(); ++i)
            section.rows[i].push_back(std::move(cells[i]));
    }
    return section;
}

}  // namespace

std::optional<VisitPage> visitPage(const Dossier& dossier, const QString& key, std::int64_t today)
{
    const std::string wanted = key.toStdString();
    const auto it = std::ranges::find_if(dossier.history->visits, [&](const core::Visit* v) { return v->visit == wanted; });
    if (it == dossier.history->visits.end())
        return std::nullopt;
    const core::Visit& visit = **it;
    VisitPage page;
    page.visit = key;
    page.title = RecordSay::tr("Visit of %1").arg(momentWords(visit.when, today));
    if (visit.tag && !visit.tag->empty())
        page.title += RecordSay::tr(" at %1").arg(plain(*visit.tag));
    if (visit.reason)
        page.title += u", "_s + plain(core::wordsOf(*visit.reason));
    if (visit.person && !visit.person->empty())
        page.title += RecordSay::tr(", by %1").arg(plain(*visit.person));
    const auto add = [&](VisitSection section) {
        if (!section.rows.empty() && !section.heads.isEmpty())
            page.sections.push_back(std::move(section));
    };
    static constexpr std::string_view kOfVisit[] = {"visit", "serial", "recorded"};
    static constexpr std::string_view kOfRow[] = {"visit", "serial", "when", "recorded"};
    add(sectionOf(dossier, visit, "readings", RecordSay::tr("Readings"), visit.readings, kOfRow));
    add(sectionOf(dossier, visit, "actions", RecordSay::tr("Did"), visit.actions, kOfRow));
    add(sectionOf(dossier, visit, "grabs", RecordSay::tr("Loop and grab sample"), visit.grabs, kOfRow));
    add(sectionOf(dossier, visit, "checks", RecordSay::tr("Checks"), visit.checks, kOfRow));
    add(sectionOf(dossier, visit, "visits", RecordSay::tr("The visit"), std::vector<core::Visit>{visit}, kOfVisit));
    return page;
}

std::optional<VisitPage::Spot> VisitPage::spotOf(const QString& reading) const
{
    const QStringList parts = reading.split(u'/');
    if (parts.size() != 3)
        return std::nullopt;
    for (std::size_t s = 0; s < sections.size(); ++s) {
        const VisitSection& section = sections[s];
        if (section.table != u"readings")
            continue;
        for (std::size_t r = 0; r < section.rows.size(); ++r) {
            const auto raw = [&](QStringView field) {
                const auto cell = std::ranges::find(section.rows[r], field, [](const VisitCell& c) { return QStringView(c.field); });
                return cell == section.rows[r].end() ? QString() : cell->raw;
            };
            if (raw(u"phase") != parts[0] || raw(u"standard") != parts[1] || raw(u"dip") != parts[2])
                continue;
            const auto mv = std::ranges::find(section.rows[r], QStringView(u"mv"), [](const VisitCell& c) { return QStringView(c.field); });
            const auto column = mv == section.rows[r].end() ? 0 : static_cast<int>(mv - section.rows[r].begin());
            return Spot{static_cast<int>(s), static_cast<int>(r), column};
        }
    }
    return std::nullopt;
}

QString cellLabel(const VisitSection& section, int row, int column)
{
    QStringList parts;
    const auto& cells = section.rows[static_cast<std::size_t>(row)];
    for (const VisitCell& cell : cells)
        if (cell.field == u"phase" || cell.field == u"standard" || cell.field == u"action")
            parts.append(cell.screen);
    parts.append(section.heads.value(column));
    QString label = parts.join(u", "_s);
    if (!label.isEmpty())
        label[0] = label[0].toUpper();
    return label;
}

QString cellText(const QString& typed)
{
    QString text = toPlain(typed).trimmed();
    const QString decimal = QLocale().decimalPoint();
    if (decimal != u".") {
        QString number = text;
        number.replace(decimal, u"."_s);
        if (core::parseNumber(number.toStdString()))
            return number;
    }
    if (text.startsWith(u'+') && core::parseNumber(text.mid(1).toStdString()))
        return text.mid(1);
    return text;
}

CorrectionAsk askCorrection(const Dossier& dossier, const QString& visit, const VisitSection& section, const VisitCell& cell,
                            const QString& typed, const QString& why, const QString& person, const core::Instant& now)
{
    if (why.trimmed().isEmpty())
        return {.refusal = RecordSay::tr("Why? A correction needs its reason: choose one or write it.")};
    if (person.trimmed().isEmpty())
        return {.refusal = RecordSay::tr("Who corrects this? Enter your initials first (Ctrl+I).")};
    const QString text = cellText(typed);
    if (text == cell.raw)
        return {.refusal = RecordSay::tr("That is what stands there now.")};
    core::Correction correction{.visit = visit.toStdString(),
                                .table = section.table.toStdString(),
                                .row = cell.row,
                                .field = cell.field.toStdString(),
                                .old_value = cell.raw.toStdString(),
                                .new_value = text.toStdString(),
                                .recorded = now,
                                .person = person.trimmed().toStdString(),
                                .why = why.trimmed().toStdString()};
    const auto it = std::ranges::find_if(dossier.history->visits, [&](const core::Visit* v) { return v->visit == correction.visit; });
    if (it == dossier.history->visits.end())
        return {.refusal = RecordSay::tr("This visit is not in the book any more.")};
    core::Visit tried = **it;
    if (const auto done = core::applyCorrection(tried, correction); !done)
        return {.refusal = userText(done.error())};
    return {.correction = std::move(correction)};
}

QStringList correctionReasons()
{
    return {RecordSay::tr("digit lost or added"),
            RecordSay::tr("sign"),
            RecordSay::tr("typed in the wrong field"),
            RecordSay::tr("wrong standard or bottle"),
            RecordSay::tr("misread"),
            RecordSay::tr("wrong sensor"),
            RecordSay::tr("wrong time")};
}

}  // namespace halfcell::app
