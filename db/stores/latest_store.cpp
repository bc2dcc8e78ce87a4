#include "db/stores/latest_store.h"

#include "core/quantity/number.h"
#include "db/stores/table_store.h"

namespace halfcell::db {

template <>
struct Codec<std::int64_t> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, std::int64_t v) { s[0].set(static_cast<long long>(v)); }
    static void get(std::span<const Slot> s, std::int64_t& v) { v = s[0].integer; }
};
template <>
struct Codec<std::optional<std::int64_t>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, const std::optional<std::int64_t>& v)
    {
        if (v)
            s[0].set(static_cast<long long>(*v));
        else
            s[0].clear();
    }
    static void get(std::span<const Slot> s, std::optional<std::int64_t>& v)
    {
        if (!s[0].isNull())
            v = s[0].integer;
    }
};
/// A short series as `seconds:value;...`.
template <>
struct Codec<std::vector<std::pair<std::int64_t, double>>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const std::vector<std::pair<std::int64_t, double>>& v)
    {
        std::string text;
        for (const auto& [time, value] : v)
            text += fmt::format("{}{}:{}", text.empty() ? "" : ";", time, core::formatNumber(value));
        s[0].set(text);
    }
    static void get(std::span<const Slot> s, std::vector<std::pair<std::int64_t, double>>& v)
    {
        std::string_view rest = s[0].isNull() ? std::string_view() : std::string_view(s[0].text);
        while (!rest.empty()) {
            const std::size_t end = rest.find(';');
            const std::string_view item = rest.substr(0, end);
            rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
            const std::size_t colon = item.find(':');
            const auto time = core::parseNumber(item.substr(0, colon));
            const auto value = core::parseNumber(colon == std::string_view::npos ? std::string_view() : item.substr(colon + 1));
            if (!time || !value)
                throwUnknownWord(item);
            v.emplace_back(static_cast<std::int64_t>(*time), *value);
        }
    }
};

template <>
struct TableMap<LatestState> {
    using Row = LatestState;
    static constexpr std::string_view kTable = "latest_state", kWhat = "", kKeys = "serial", kOrder = "serial";
    static constexpr auto fields()
    {
        return std::tuple(Field{"serial", &Row::serial}, Field{"tag", &Row::tag}, Field{"place", &Row::place}, Field{"site", &Row::site},
                          Field{"area", &Row::area}, Field{"kind", &Row::kind}, Field{"model", &Row::model},
                          Field{"placed_since", &Row::placedSince}, Field{"measured", &Row::measured}, Field{"phase", &Row::phase},
                          Field{"efficiency_pct", &Row::efficiency_pct}, Field{"u_efficiency_pct", &Row::u_efficiency_pct},
                          Field{"offset_mv", &Row::offset_mv}, Field{"u_offset_mv", &Row::u_offset_mv}, Field{"t90_s", &Row::t90_s},
                          Field{"span_pct", &Row::span_pct}, Field{"signal", &Row::signal}, Field{"verdict", &Row::verdict},
                          Field{"guilty", &Row::guilty}, Field{"top_finding", &Row::topFinding}, Field{"sentence", &Row::sentence},
                          Field{"missing", &Row::missing}, Field{"next_due", &Row::nextDue}, Field{"last_as_left", &Row::lastAsLeft},
                          Field{"rules", &Row::rules}, Field{"engine", &Row::engine}, Field{"computed_at_s", &Row::computedAt});
    }
};

struct LatestStore::Impl {
    explicit Impl(Connection& c) : connection(c) {}
    Connection& connection;
    RowSlots<LatestState> in, out;
    std::unique_ptr<Statement> put, load;
};

LatestStore::LatestStore(Connection& connection) : m_impl(std::make_unique<Impl>(connection)) {}
LatestStore::~LatestStore() = default;

void LatestStore::put(const LatestState& state)
{
    Impl& d = *m_impl;
    d.in.fill(state);
    if (!d.put)
        d.put = std::make_unique<Statement>(d.connection, replaceSql("latest_state", d.in.names()), d.in.list());
    d.put->run();
}

std::vector<LatestState> LatestStore::load()
{
    Impl& d = *m_impl;
    if (!d.load)
        d.load = std::make_unique<Statement>(d.connection, fmt::format("SELECT {} FROM latest_state ORDER BY serial", joinNames(d.out.names())),
                                             SlotList{}, d.out.list());
    std::vector<LatestState> states;
    for (bool row = d.load->first(); row; row = d.load->next())
        d.out.read(states.emplace_back());
    return states;
}

}  // namespace halfcell::db
