#include "app/cabinet/audit_lines.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"

#include <QCoreApplication>
#include <QDate>
#include <QLocale>

#include <algorithm>
#include <array>
#include <map>

namespace halfcell::app {

using namespace core;
using namespace Qt::Literals::StringLiterals;

namespace {

QString say(const char* text)
{
    return QCoreApplication::translate("halfcell::app::Audit", text);
}

struct KindWords {
    std::string_view kind;
    const char* words;
};

/// What the journal's kinds are called.
constexpr std::array kKinds = {KindWords{"visit", "visit"},
                               KindWords{"visit_head", "visit as a whole"},
                               KindWords{"visit_rows", "rows added to a visit"},
                               KindWords{"correction", "correction"},
                               KindWords{"site", "site"},
                               KindWords{"point", "point"},
                               KindWords{"model", "model"},
                               KindWords{"sensor", "sensor"},
                               KindWords{"placement", "placement"},
                               KindWords{"placement_end", "removal"},
                               KindWords{"part", "part"},
                               KindWords{"part_end", "part taken out"},
                               KindWords{"lot", "bottle"},
                               KindWords{"lot_event", "bottle opened or discarded"},
                               KindWords{"standard", "standard"},
                               KindWords{"equipment", "instrument"},
                               KindWords{"person", "person"},
                               KindWords{"hold", "loop in manual"},
                               KindWords{"hold_end", "loop back in auto"},
                               KindWords{"legacy", "older record without millivolts"},
                               KindWords{"shop_name", "name of the shop"},
                               KindWords{"rule_set", "rule set"},
                               KindWords{"rule_adoption", "rule set adopted"},
                               KindWords{"merge", "book merged"},
                               KindWords{"variant", "second content kept"},
                               KindWords{"settlement", "clash settled"}};

QString kindWords(const std::string& kind)
{
    const auto* at = std::ranges::find(kKinds, std::string_view(kind), &KindWords::kind);
    return at != kKinds.end() ? say(at->words) : plain(kind).replace(u'_', u' ');
}

constexpr std::array kFields = {KindWords{"mv", "millivolts"},
                                KindWords{"temp_degc", "temperature"},
                                KindWords{"temp_source", "source of the temperature"},
                                KindWords{"wait_s", "waited"},
                                KindWords{"t90_s", "response time"},
                                KindWords{"standard", "standard"},
                                KindWords{"lot", "bottle"},
                                KindWords{"shown_ph", "shown pH"},
                                KindWords{"loop_ph", "pH of the loop"},
                                KindWords{"grab_ph", "pH of the grab sample"},
                                KindWords{"loop_mv", "millivolts of the loop"},
                                KindWords{"grab_mv", "millivolts of the grab sample"},
                                KindWords{"glass_mohm", "resistance of the glass"},
                                KindWords{"reference_kohm", "resistance of the reference"},
                                KindWords{"when", "time"},
                                KindWords{"tag", "point"},
                                KindWords{"manual_from", "in manual from"},
                                KindWords{"auto_at", "back in auto at"},
                                KindWords{"agent", "agent"}};

constexpr std::array kTables = {KindWords{"readings", "reading"}, KindWords{"grabs", "grab sample"}, KindWords{"checks", "check"},
                                KindWords{"actions", "step"}, KindWords{"visits", "visit"}};

QString wordsFrom(std::span<const KindWords> list, const std::string& key)
{
    const auto at = std::ranges::find(list, std::string_view(key), &KindWords::kind);
    return at != list.end() ? say(at->words) : plain(key).replace(u'_', u' ');
}

QString fieldWords(const std::string& table, int row, const std::string& field)
{
    const QString name = wordsFrom(kTables, table);
    return table == "visits" ? u"%1, %2"_s.arg(name, wordsFrom(kFields, field))
                             : u"%1 %2, %3"_s.arg(name).arg(row).arg(wordsFrom(kFields, field));
}

QString valueWords(const std::string& value)
{
    return value.empty() ? say("nothing") : screenWords(value);
}

AuditLine lineOf(const db::JournalEntry& e)
{
    AuditLine line;
    line.entry = e.seq;
    line.when = e.time;
    line.who = plain(e.person);
    line.what = kindWords(e.what);
    line.subject = plain(e.serial.empty() ? e.key : e.serial);
    line.serial = plain(e.serial);
    if (e.what == "visit" || e.what == "visit_head" || e.what == "visit_rows")
        line.visit = plain(e.key);
    line.text = screenWords(e.text);
    if (e.what == "correction") {
        line.visit = plain(e.key.substr(0, e.key.find(' ')));
        // The key ends with the field: the sentence has its words instead.
        const std::string field = e.key.substr(e.key.rfind(' ') + 1);
        const QString named = u": %1 \""_s.arg(plain(field));
        if (const qsizetype at = line.text.indexOf(named); at >= 0)
            line.text.replace(at, named.size(), u": %1 \""_s.arg(wordsFrom(kFields, field)));
    }
    return line;
}

/// A change that the journal tells as one sentence: an end, a bottle, a name.
struct ToldChange {
    std::string_view kind;
    const char* field;
    const char* before;
};
constexpr std::array kTold = {ToldChange{"placement_end", "end of the placement", "in place"},
                              ToldChange{"part_end", "end of the part", "in use"}, ToldChange{"hold_end", "end of the hold", "in manual"},
                              ToldChange{"lot_event", "state of the bottle", "as before"},
                              ToldChange{"settlement", "which row is right", "two contents"}};

}  // namespace

QString auditTime(const Instant& when)
{
    return plain(formatInstant({when.utcSeconds, 0})).replace(u'T', u' ');
}

namespace {

void fold(AuditLine& line)
{
    line.folded = foldedKey(u"%1 %2 %3 %4 %5 %6"_s.arg(line.subject, line.serial, line.visit, line.field, line.after, line.text));
}

}  // namespace

std::vector<AuditLine> changedFields(const AuditBook& book)
{
    std::vector<AuditLine> lines;
    // The entry of a correction, by its key: one field may be corrected several times, in this order.
    std::map<std::string, std::vector<const db::JournalEntry*>> corrections;
    const std::string* rules = nullptr;
    std::size_t adopted = 0;
    QString shop;
    for (const db::JournalEntry& e : book.entries) {
        if (e.what == "correction") {
            corrections[e.key].push_back(&e);
            continue;
        }
        AuditLine line = lineOf(e);
        if (const auto* told = std::ranges::find(kTold, std::string_view(e.what), &ToldChange::kind); told != kTold.end()) {
            line.field = say(told->field);
            line.before = say(told->before);
            line.after = line.text;
            line.text.clear();
        } else if (e.what == "rule_adoption") {
            line.field = say("rule set in force");
            line.before = rules != nullptr ? plain(*rules) : say("none");
            line.after = plain(e.key);
            line.text.clear();
            for (; adopted < book.adoptions.size(); ++adopted)
                if (book.adoptions[adopted].id == e.key) {
                    line.text = plain(book.adoptions[adopted++].why);
                    break;
                }
            rules = &e.key;
        } else if (e.what == "shop_name") {
            line.field = say("name of the shop");
            line.before = shop.isEmpty() ? say("nothing") : shop;
            line.after = plain(e.key);
            line.text.clear();
            shop = line.after;
        } else {
            continue;
        }
        lines.push_back(std::move(line));
    }
    const auto add = [&](const auto& c, bool counts) {
        AuditLine line;
        auto& entries = corrections[c.visit + ' ' + c.table + ' ' + std::to_string(c.row) + ' ' + c.field];
        if (!entries.empty()) {
            line = lineOf(*entries.front());
            entries.erase(entries.begin());
        }
        line.when = c.recorded;
        line.who = plain(c.person);
        line.what = say("correction");
        line.visit = plain(c.visit);
        if (line.serial.isEmpty())
            for (const Visit& visit : book.overview->plant->records().visits)
                if (visit.visit == c.visit)
                    line.serial = plain(visit.serial);
        line.subject = line.serial;
        line.field = fieldWords(c.table, c.row, c.field);
        line.before = valueWords(c.old_value);
        line.after = valueWords(c.new_value);
        line.text = screenWords(c.why);
        line.counts = counts;
        if (!counts)
            line.text += say(" (it found another value there and does not count)");
        lines.push_back(std::move(line));
    };
    for (const AppliedCorrection& c : book.overview->plant->applied())
        add(c, true);
    for (const Correction& c : book.overview->plant->unfitting())
        add(c, false);
    std::ranges::stable_sort(lines, [](const AuditLine& a, const AuditLine& b) {
        return std::pair(b.when.utcSeconds, b.entry) < std::pair(a.when.utcSeconds, a.entry);
    });
    std::ranges::for_each(lines, fold);
    return lines;
}

std::vector<AuditLine> journalLines(const AuditBook& book)
{
    std::vector<AuditLine> lines;
    lines.reserve(book.entries.size());
    for (auto it = book.entries.rbegin(); it != book.entries.rend(); ++it)
        lines.push_back(lineOf(*it));
    std::ranges::for_each(lines, fold);
    return lines;
}

bool passes(const AuditLine& line, const AuditFilter& filter)
{
    return (filter.who.isEmpty() || line.who == filter.who) && (filter.what.isEmpty() || line.what == filter.what) &&
           (!filter.since || !(line.when < *filter.since)) && (!filter.until || !(*filter.until < line.when)) &&
           (filter.subject.isEmpty() || line.folded.contains(foldedKey(filter.subject)));
}

}  // namespace halfcell::app
