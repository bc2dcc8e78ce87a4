#pragma once

#include "db/stores/table_store.h"

namespace halfcell::db {

/// Rows that belong to a visit and are known by it and their place in it, from 1. Same rules as TableStore.
template <class Row>
class ChildStore {
    using Map = TableMap<Row>;

public:
    explicit ChildStore(Connection& connection) : m_connection(connection) {}

    void appendContent(std::string& out, std::string_view visit, std::int64_t seq, const Row& row)
    {
        fill(visit, seq, row);
        db::appendContent(out, Map::kTable, m_inKey, keyNames());
        db::appendContent(out, {}, m_in.slots(), m_in.names());
    }
    void insert(std::string_view visit, std::int64_t seq, const Row& row, std::int64_t entry)
    {
        fill(visit, seq, row);
        m_entry.set(static_cast<long long>(entry));
        if (!m_insert) {
            std::vector<std::string> names = keyNames();
            names.insert(names.end(), m_in.names().begin(), m_in.names().end());
            SlotList uses{&m_inKey[0], &m_inKey[1]};
            for (Slot* slot : m_in.list())
                uses.push_back(slot);
            uses.push_back(&m_entry);
            m_insert = std::make_unique<Statement>(m_connection, insertSql(Map::kTable, names), uses);
        }
        m_insert->run();
    }

    /// All rows by visit key and place; `take(visit, row)`.
    template <class Take>
    void scan(Take&& take)
    {
        read("ORDER BY visit, seq", {}, std::forward<Take>(take));
    }
    /// The rows of one visit by place.
    std::vector<Row> ofVisit(std::string_view visit)
    {
        m_visit.set(visit);
        if (!m_ofVisit)
            m_ofVisit = std::make_unique<Statement>(
                m_connection, fmt::format("SELECT {} FROM {} WHERE visit = :visit ORDER BY seq", joinNames(m_out.names()), Map::kTable),
                SlotList{&m_visit}, m_out.list());
        std::vector<Row> rows;
        for (bool row = m_ofVisit->first(); row; row = m_ofVisit->next())
            m_out.read(rows.emplace_back());
        return rows;
    }
    /// The rows of one visit by place, each with its place, its journal entry and its canonical text.
    struct Written {
        std::int64_t seq = 0, entry = 0;
        std::string text;
    };
    std::vector<Written> writtenOf(std::string_view visit)
    {
        Slot seq(Slot::Kind::Integer), entry(Slot::Kind::Integer);
        m_visit.set(visit);
        SlotList intos = m_out.list();
        intos.push_back(&seq);
        intos.push_back(&entry);
        Statement query(m_connection,
                        fmt::format("SELECT {}, seq, entry FROM {} WHERE visit = :visit ORDER BY seq", joinNames(m_out.names()), Map::kTable),
                        SlotList{&m_visit}, intos);
        std::vector<Written> rows;
        for (bool row = query.first(); row; row = query.next()) {
            Written& w = rows.emplace_back();
            w.seq = seq.integer;
            w.entry = entry.integer;
            m_inKey[0].set(visit);
            m_inKey[1].set(seq.integer);
            db::appendContent(w.text, Map::kTable, m_inKey, keyNames());
            db::appendContent(w.text, {}, m_out.slots(), m_out.names());
        }
        return rows;
    }
    /// A row read back from its canonical text.
    Row fromContent(const ContentRow& content)
    {
        fillSlots(m_out.slots(), m_out.names(), content);
        Row row;
        m_out.read(row);
        return row;
    }

    /// The rows of a sensor's visits in the order of time, visit, place; `take(visit, row)`.
    template <class Take>
    void ofSensor(std::string_view serial, Take&& take)
    {
        m_serial.set(serial);
        if (!m_ofSensor)
            m_ofSensor = std::make_unique<Statement>(
                m_connection,
                fmt::format("SELECT r.visit, {} FROM visits v JOIN {} r ON r.visit = v.visit WHERE v.serial = :serial "
                            "ORDER BY v.when_s, v.visit, r.seq",
                            joinNames(m_out.names(), "r."), Map::kTable),
                SlotList{&m_serial}, outList());
        for (bool row = m_ofSensor->first(); row; row = m_ofSensor->next())
            give(take);
    }

    [[nodiscard]] static TableShape shape()
    {
        constexpr std::pair<std::string_view, Slot::Kind> kKeys[] = {{"visit", Slot::Kind::Text}, {"seq", Slot::Kind::Integer}};
        return tableShape<Row>(kKeys);
    }

private:
    static const std::vector<std::string>& keyNames()
    {
        static const std::vector<std::string> kNames = {"visit", "seq"};
        return kNames;
    }
    void fill(std::string_view visit, std::int64_t seq, const Row& row)
    {
        m_inKey[0].set(visit);
        m_inKey[1].set(static_cast<long long>(seq));
        m_in.fill(row);
    }
    SlotList outList()
    {
        SlotList intos{&m_outVisit};
        for (Slot* slot : m_out.list())
            intos.push_back(slot);
        return intos;
    }
    template <class Take>
    void give(Take&& take)
    {
        Row row;
        m_out.read(row);
        take(std::string_view(m_outVisit.text), std::move(row));
    }
    template <class Take>
    void read(const std::string& rest, const SlotList& uses, Take&& take)
    {
        Statement query(m_connection, fmt::format("SELECT visit, {} FROM {} {}", joinNames(m_out.names()), Map::kTable, rest), uses, outList());
        for (bool row = query.first(); row; row = query.next())
            give(take);
    }

    Connection& m_connection;
    std::vector<Slot> m_inKey{Slot(Slot::Kind::Text), Slot(Slot::Kind::Integer)};
    RowSlots<Row> m_in, m_out;
    Slot m_entry{Slot::Kind::Integer}, m_outVisit{Slot::Kind::Text}, m_visit{Slot::Kind::Text}, m_serial{Slot::Kind::Text};
    std::unique_ptr<Statement> m_insert, m_ofVisit, m_ofSensor;
};

extern template class ChildStore<core::Reading>;
extern template class ChildStore<core::Grab>;
extern template class ChildStore<core::Check>;
extern template class ChildStore<core::Action>;
extern template class ChildStore<core::Correction>;

}  // namespace halfcell::db
