#include "db/exchange/import_visits.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace halfcell::db {

using core::Errc;
using core::Error;
using core::Instant;
using core::Visit;

namespace {

std::string wordOf(const std::optional<core::VisitReason>& reason)
{
    return reason ? std::string(core::keyOf(*reason)) : std::string();
}

/// The first of serial, tag, person, reason in which a row contradicts what its visit says.
std::optional<Error> contradiction(const Visit& said, const Visit& agreed, const std::optional<VisitRow>& stored)
{
    const auto differs = [&](const char* field, const std::string& here, const std::string& there) -> std::optional<Error> {
        if (here.empty() || here == there)
            return std::nullopt;
        return Error{.code = Errc::Conflict,
                     .detail = there.empty() ? fmt::format("the visit {} in the book has no {}", agreed.visit, field)
                                             : fmt::format("other rows of visit {} say {} \"{}\"", agreed.visit, field, there),
                     .field = field,
                     .remedy = stored ? "correct the visit in the program or by corrections.csv"
                                      : "all rows of a visit must agree: check which is right"};
    };
    if (auto error = differs("serial", said.serial, agreed.serial))
        return error;
    if (auto error = differs("tag", said.tag.value_or(""), agreed.tag.value_or("")))
        return error;
    if (auto error = differs("person", said.person.value_or(""), agreed.person.value_or("")))
        return error;
    return differs("reason", wordOf(said.reason), wordOf(agreed.reason));
}

/// A row without `recorded` counts from its own time.
template <class Row>
void fillRecorded(const RowReader<Row>& reader, const CsvRecord& record, Row& row)
{
    if (!reader.filled(record, "recorded"))
        row.recorded = row.when;
}

template <class Row>
std::string rowWords(const Row& row)
{
    if constexpr (std::is_same_v<Row, core::Reading>)
        return fmt::format("{} in {}: {} mV", core::wordsOf(row.phase), row.standard,
                           row.mv ? core::findColumn<Row>("mv")->get(row) : "no");
    else if constexpr (std::is_same_v<Row, core::Action>)
        return fmt::format("step {}: {}", row.step, core::wordsOf(row.action));
    else if constexpr (std::is_same_v<Row, core::Grab>)
        return "grab sample";
    else
        return "checks";
}

}  // namespace

// Made and destroyed here, where the readers are known.
ImportEngine::ImportEngine(Book::Impl& book, const ImportOptions& options, const BookStamp& stamp, ImportReport& report)
    : m_book(book), m_options(options), m_stamp(stamp), m_report(report)
{
}

ImportEngine::~ImportEngine() = default;

void ImportEngine::refuse(const RowPlace& place, const Error& error)
{
    CsvRecord record;
    if (m_files[place.file].recordAt(place.offset, place.line, record))
        m_rowShown = &record;
    refuse(place.file, place.line, error);
    m_rowShown = nullptr;
}

bool ImportEngine::headIsKnown(const Visit& head, const RowPlace& place)
{
    if (!m_book.admission.knowsSensor(head.serial)) {
        refuse(place, {.code = Errc::NotFound,
                       .detail = fmt::format("the serial \"{}\" is not known", head.serial),
                       .field = "serial",
                       .remedy = "check it, or add the sensor to sensors.csv"});
        return false;
    }
    if (head.tag && !m_book.admission.knowsPoint(*head.tag)) {
        refuse(place, {.code = Errc::NotFound,
                       .detail = fmt::format("the tag \"{}\" is not known", *head.tag),
                       .field = "tag",
                       .remedy = "check it, or add the point to points.csv"});
        return false;
    }
    return true;
}

void ImportEngine::readOwn(const VisitPlaces& places, VisitRows& rows)
{
    for (const RowPlace& place : places.rows[0]) {
        const RowReader<Visit>& reader = m_readers[place.file]->head;
        CsvRecord record;
        m_files[place.file].recordAt(place.offset, place.line, record);
        Read<Visit> read{.place = place, .row = {}, .head = {}};
        if (auto bad = reader.read(record, read.row)) {
            refuse(std::move(*bad));
            continue;
        }
        fillRecorded(reader, record, read.row);
        if (!headIsKnown(read.row, place))
            continue;
        if (rows.own) {
            refuse(place, {.code = Errc::Conflict,
                           .detail = fmt::format("the visit is doubled: {} line {} is the same visit", m_files[rows.own->place.file].name(),
                                                 m_files[rows.own->place.file].sourceLine(rows.own->place.line)),
                           .field = "visit",
                           .remedy = "keep one of the two rows"});
            continue;
        }
        rows.own = std::move(read);
    }
}

template <class Row>
void ImportEngine::readChildren(const VisitPlaces& places, PublicTable table, std::vector<Read<Row>>& out)
{
    for (const RowPlace& place : places.rows[static_cast<std::size_t>(table) - static_cast<std::size_t>(PublicTable::Visits)]) {
        const FileReaders& readers = *m_readers[place.file];
        CsvRecord record;
        m_files[place.file].recordAt(place.offset, place.line, record);
        Read<Row> read{.place = place, .row = {}, .head = {}};
        if constexpr (std::is_same_v<Row, core::Reading>)
            read.row.dip = 0;  // counted if the file does not say
        if (auto bad = readers.head.read(record, read.head)) {
            refuse(std::move(*bad));
            continue;
        }
        if (auto bad = readers.of<Row>().read(record, read.row)) {
            refuse(std::move(*bad));
            continue;
        }
        fillRecorded(readers.of<Row>(), record, read.row);
        if (headIsKnown(read.head, place))
            out.push_back(std::move(read));
    }
}

void ImportEngine::settleHead(VisitRows& rows)
{
    Visit& head = rows.head;
    if (rows.stored)
        head = static_cast<const Visit&>(*rows.stored);
    if (rows.stored && rows.own && rows.own->row.serial != head.serial) {
        // The row that is wrong goes alone; what else the import says about the visit is judged by itself.
        refuse(rows.own->place, {.code = Errc::Conflict,
                                 .detail = fmt::format("the visit {} in the book is to \"{}\"", head.visit, head.serial),
                                 .field = "serial",
                                 .remedy = "give this visit another key, or correct the one in the book"});
        rows.own.reset();
    }
    if (rows.stored)
        return;
    if (rows.own)
        head = rows.own->row;
    rows.eachHead([&](const Visit& said) {
        if (head.serial.empty())
            head.serial = said.serial;
        if (said.serial != head.serial)
            return;
        if (!head.tag)
            head.tag = said.tag;
        if (!head.person)
            head.person = said.person;
        if (!head.reason)
            head.reason = said.reason;
    });
}

template <class Row>
void ImportEngine::dropDisagreeing(const VisitRows& rows, std::vector<Read<Row>>& list)
{
    std::erase_if(list, [&](const Read<Row>& read) {
        const auto error = contradiction(read.head, rows.head, rows.stored);
        if (error)
            refuse(read.place, *error);
        return error.has_value();
    });
}

/// Dips that are not numbered are counted, so a line that stands twice would pass for a second dip: the same millivolts at
/// the same moment are the same dip.
void ImportEngine::dropRepeated(VisitRows& rows)
{
    std::vector<Read<core::Reading>> kept;
    m_repeated.clear();
    for (Read<core::Reading>& read : rows.readings) {
        const auto before = std::ranges::find_if(kept, [&](const auto& other) { return read.row.dip == 0 && other.row == read.row; });
        if (before == kept.end()) {
            kept.push_back(std::move(read));
            continue;
        }
        m_repeated.push_back(read.place);
        refuse(read.place, {.code = Errc::Conflict,
                            .detail = fmt::format("{}: {} line {} is the same", kDoubledReading, m_files[before->place.file].name(),
                                                  m_files[before->place.file].sourceLine(before->place.line)),
                            .field = "standard",
                            .remedy = "keep one of the two rows; number a true second dip in the column dip"});
    }
    rows.readings = std::move(kept);
}

/// Counts the dips that are not numbered, in the order of the files. A row that was refused keeps its place in the count, so
/// that it still fits once it is mended.
void ImportEngine::countDips(const VisitPlaces& places, VisitRows& rows)
{
    std::map<std::pair<std::string, std::string>, int> counts;
    std::size_t next = 0;
    for (const RowPlace& place :
         places.rows[static_cast<std::size_t>(PublicTable::Readings) - static_cast<std::size_t>(PublicTable::Visits)]) {
        const auto isAt = [&](const RowPlace& other) { return other.file == place.file && other.offset == place.offset; };
        if (next < rows.readings.size() && isAt(rows.readings[next].place)) {
            core::Reading& reading = rows.readings[next++].row;
            if (reading.dip == 0)
                reading.dip = ++counts[{std::string(core::keyOf(reading.phase)), reading.standard}];
            continue;
        }
        if (std::ranges::any_of(m_repeated, isAt))
            continue;
        const TableFile& file = m_files[place.file];
        CsvRecord record;
        file.recordAt(place.offset, place.line, record);
        ++counts[{std::string(cellText(record, file.place("phase"))), std::string(cellText(record, file.place("standard")))}];
    }
}

template <class Row>
void ImportEngine::count(const std::vector<Read<Row>>& list, const std::vector<RowVerdict>& verdicts, PublicTable table,
                         const std::string& key)
{
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (verdicts[i].refused())
            refuse(list[i].place, verdicts[i].error);
        else
            taken(table, verdicts[i].kind, key, rowWords(list[i].row));
    }
}

void ImportEngine::visit(const VisitPlaces& places)
{
    VisitRows rows;
    readOwn(places, rows);
    readChildren(places, PublicTable::Readings, rows.readings);
    readChildren(places, PublicTable::Grabs, rows.grabs);
    readChildren(places, PublicTable::Checks, rows.checks);
    readChildren(places, PublicTable::Actions, rows.actions);
    if (rows.empty())
        return;
    if (m_book.visits.known(places.key))
        rows.stored = m_book.visits.find(places.key);
    rows.head.visit = places.key;
    settleHead(rows);
    rows.head.visit = places.key;
    dropDisagreeing(rows, rows.readings);
    dropDisagreeing(rows, rows.grabs);
    dropDisagreeing(rows, rows.checks);
    dropDisagreeing(rows, rows.actions);
    dropRepeated(rows);
    countDips(places, rows);
    if (rows.empty())
        return;

    VisitRow offered;
    static_cast<Visit&>(offered) = rows.own ? rows.own->row : rows.head;
    offered.stated = rows.own.has_value();
    offered.readings.clear();
    offered.grabs.clear();
    offered.checks.clear();
    offered.actions.clear();
    if (rows.own && !rows.stored) {
        offered.tag = rows.head.tag;
        offered.person = rows.head.person;
        offered.reason = rows.head.reason;
    }
    if (rows.own && rows.stored && rows.stored->stated) {
        // What the row left to the visit's other rows, it leaves to them again.
        if (!offered.person)
            offered.person = rows.stored->person;
        if (!offered.reason)
            offered.reason = rows.stored->reason;
    }
    std::optional<Instant> when, recorded;
    const auto offer = [&](auto& list, auto& to) {
        for (const auto& read : list) {
            to.push_back(read.row);
            if (!when || read.row.when < *when)
                when = read.row.when;
            if (!recorded || read.row.recorded < *recorded)
                recorded = read.row.recorded;
        }
    };
    offer(rows.readings, offered.readings);
    offer(rows.grabs, offered.grabs);
    offer(rows.checks, offered.checks);
    offer(rows.actions, offered.actions);
    if (!rows.own && !rows.stored) {
        offered.when = *when;
        offered.recorded = *recorded;
    }

    const VisitPlan plan = m_book.admission.plan(std::move(offered));
    if (plan.anyNew()) {
        m_book.append(plan, m_stamp);
        if (plan.parts.own)
            ++m_report.visits;
    }
    if (rows.own) {
        if (plan.head.refused())
            refuse(rows.own->place, plan.head.error);
        else
            taken(PublicTable::Visits, plan.head.kind, places.key, describe(plan.visit).text);
    }
    count(rows.readings, plan.readings, PublicTable::Readings, places.key);
    count(rows.grabs, plan.grabs, PublicTable::Grabs, places.key);
    count(rows.checks, plan.checks, PublicTable::Checks, places.key);
    count(rows.actions, plan.actions, PublicTable::Actions, places.key);
}

}  // namespace halfcell::db
