#include "app/record/record_page.h"
#include "app/record/say.h"

#include "app/panels/plain_words.h"
#include "app/record/figure_working.h"
#include "app/record/phase_figure.h"
#include "core/fleet/columns.h"

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString placeOf(const Dossier& dossier, const core::Instant& now)
{
    const core::Placement* placement = dossier.history->placementAt(now);
    if (placement == nullptr)
        return RecordSay::tr("no place on record");
    QString place = placeWord(placement->place);
    if (dossier.point != nullptr && dossier.point->description)
        place += u' ' + plain(*dossier.point->description);
    return RecordSay::tr("%1 since %2").arg(place, fullDate(placement->from));
}

std::vector<KeyFigure> keyFigures(const Dossier& dossier, core::SensorKind kind, const core::Instant& now)
{
    std::vector<KeyFigure> figures;
    const core::PhaseFigures* last = dossier.lastAsLeft();
    for (const std::string_view key : shownFigures(kind)) {
        KeyFigure entry{.label = figureName(key), .figure = {}, .key = plain(key)};
        if (last != nullptr) {
            entry.figure = phaseFigure(*last, key);
            if (key == shownFigures(kind).front())
                entry.label = RecordSay::tr("%1, %2").arg(entry.label, phaseWord(last->phase));
        } else {
            entry.figure.reason = RecordSay::tr("not measured");
        }
        figures.push_back(std::move(entry));
    }
    Figure service{.value = monthsInService(*dossier.history, now), .decimals = 1, .unit = RecordSay::tr("months")};
    if (*service.value <= 0)
        service = {.reason = RecordSay::tr("not yet")};
    figures.push_back({.label = figureName("in_service"), .figure = service, .key = u"in_service"_s});
    const std::string_view guilty = [&]() -> std::string_view {
        switch (dossier.assessment.guilty) {
        case core::GuiltyFigure::Efficiency: return "efficiency_pct";
        case core::GuiltyFigure::Span: return "span_pct";
        case core::GuiltyFigure::Offset: return "offset_mv";
        case core::GuiltyFigure::Response: return "t90_s";
        default: return {};
        }
    }();
    for (KeyFigure& entry : figures)
        entry.figure.guilty = !guilty.empty() && entry.key == plain(guilty);
    return figures;
}

std::vector<QStringList> partLines(const Dossier& dossier)
{
    std::vector<QStringList> lines;
    for (auto it = dossier.history->parts.rbegin(); it != dossier.history->parts.rend(); ++it) {
        const core::PartRecord& part = **it;
        lines.push_back({plain(core::wordsOf(part.part)), fullDate(part.from), part.to ? fullDate(*part.to) : RecordSay::tr("in place"),
                         plain(part.lot.value_or(std::string()))});
    }
    return lines;
}

/// What was measured in a check, one word per value that is there: "glass MΩ 120, reference kΩ 8.2".
QString checkWords(const core::Check& check)
{
    static const std::vector<std::pair<std::string_view, QString>> names{
        {"glass_mohm", RecordSay::tr("glass MΩ")},     {"reference_kohm", RecordSay::tr("reference kΩ")},
        {"noise_mv", RecordSay::tr("noise mV")},       {"hysteresis_mv", RecordSay::tr("hysteresis mV")},
        {"dilution_ph", RecordSay::tr("dilution pH")}, {"stir_ph", RecordSay::tr("stir pH")},
        {"reread_pct", RecordSay::tr("read again %")}, {"second_bottle", RecordSay::tr("second bottle")},
        {"cable", RecordSay::tr("spare cable")},       {"short_open", RecordSay::tr("shorted and open")},
        {"earth_wire", RecordSay::tr("earth wire")},   {"thermometer_off_k", RecordSay::tr("thermometer off K")},
        {"coating", RecordSay::tr("coating")},         {"coating_kind", RecordSay::tr("look")},
        {"dry_hours", RecordSay::tr("dry h")}};
    QStringList words;
    for (const auto& [field, name] : names) {
        const auto* column = core::findColumn<core::Check>(field);
        QString text = column != nullptr ? plain(column->get(check)) : QString();
        if (text.isEmpty())
            continue;
        text.replace(u'_', u' ');
        words.append(name + u' ' + toScreen(text));
    }
    return words.join(u", "_s);
}

void addChecksAndNotes(RecordPage& page, const Dossier& dossier, std::int64_t today)
{
    for (auto it = dossier.history->visits.rbegin(); it != dossier.history->visits.rend(); ++it) {
        const core::Visit& visit = **it;
        const QString when = momentWords(visit.when, today);
        const QString by = plain(visit.person.value_or(std::string()));
        for (const core::Check& check : visit.checks)
            if (const QString words = checkWords(check); !words.isEmpty())
                page.checks.push_back({when, words, by});
        const auto note = [&](const QString& text) {
            if (!text.isEmpty())
                page.notes.push_back({when, by, text});
        };
        note(plain(visit.remark.value_or(std::string())));
        for (const core::Reading& reading : visit.readings)
            if (reading.note && !reading.note->empty())
                note(RecordSay::tr("%1, %2: %3").arg(phaseWord(reading.phase), standardWords(reading.standard), plain(*reading.note)));
        for (const core::Action& action : visit.actions)
            if (action.note && !action.note->empty())
                note(RecordSay::tr("%1: %2").arg(plain(core::wordsOf(action.action)), plain(*action.note)));
    }
    if (dossier.history->sensor->note && !dossier.history->sensor->note->empty())
        page.notes.push_back({QString(), QString(), plain(*dossier.history->sensor->note)});
}

}  // namespace

const core::VisitFigures* RecordPage::figuresOf(const QString& visit) const
{
    for (const core::VisitFigures& f : dossier->figures)
        if (visit == (f.visit != nullptr ? plain(f.visit->visit) : legacyKey(f)))
            return &f;
    return nullptr;
}

QString legacyKey(const core::VisitFigures& record)
{
    return u"legacy/%1"_s.arg(record.when.utcSeconds);
}

RecordPage recordPage(std::shared_ptr<const Dossier> dossier, const core::Instant& now)
{
    const std::int64_t today = localDay(now);
    RecordPage page;
    page.before = firstWritten(*dossier);
    const core::SensorHistory& history = *dossier->history;
    page.kind = history.model != nullptr ? history.model->kind : core::SensorKind::Ph;
    page.head.serial = plain(history.sensor->serial);
    page.head.condition = dossier->assessment.signal;
    page.head.signalWords = signalWord(page.head.condition);
    page.head.design = history.model != nullptr ? designWords(*history.model) : RecordSay::tr("model not in the book");
    page.head.place = placeOf(*dossier, now);
    page.head.figures = keyFigures(*dossier, page.kind, now);
    page.line = lifeLine(*dossier, page.before.get(), now);
    page.findings = findingWords(dossier->assessment);
    page.remainder = remainderWords(dossier->assessment);
    page.testWords = page.findings.empty() || page.findings.front().nextTest.isEmpty() ? RecordSay::tr("No test is worth its time.")
                                                                                       : page.findings.front().nextTest;
    page.next = nextWords(*dossier, today);
    page.visits = visitLines(*dossier, today);
    page.parts = partLines(*dossier);
    addChecksAndNotes(page, *dossier, today);
    page.says = recordSays(*dossier);
    if (dossier->figures.empty())
        page.empty = page.kind == core::SensorKind::Orp
                         ? RecordSay::tr("First readings make its baseline. Put it in a redox standard; Ctrl+L starts the visit.")
                         : RecordSay::tr("First readings make its baseline. Put it in pH 7.00; Ctrl+L starts the visit.");
    page.dossier = std::move(dossier);
    return page;
}

}  // namespace halfcell::app
