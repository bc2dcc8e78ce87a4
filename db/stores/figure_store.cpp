#include "db/stores/figure_store.h"

#include "db/stores/table_store.h"

namespace halfcell::db {

template <>
struct TableMap<StoredFigures> {
    using Row = StoredFigures;
    static constexpr std::string_view kTable = "visit_figures", kWhat = "", kKeys = "visit phase", kOrder = "visit, phase";
    static constexpr auto fields()
    {
        return std::tuple(Field{"visit", &Row::visit}, Field{"phase", &Row::phase}, Field{"kind", &Row::kind},
                          Field{"efficiency_pct", &Row::efficiency_pct}, Field{"u_efficiency_pct", &Row::u_efficiency_pct},
                          Field{"slope_mv_per_ph", &Row::slope_mv_per_ph}, Field{"offset_mv", &Row::offset_mv},
                          Field{"u_offset_mv", &Row::u_offset_mv}, Field{"zero_point_ph", &Row::zero_point_ph},
                          Field{"residual_mv", &Row::residual_mv}, Field{"acid_leg_pct", &Row::acid_leg_pct},
                          Field{"alkaline_leg_pct", &Row::alkaline_leg_pct}, Field{"span_pct", &Row::span_pct},
                          Field{"u_span_pct", &Row::u_span_pct}, Field{"t90_s", &Row::t90_s}, Field{"u_at_process_ph", &Row::u_at_process_ph},
                          Field{"covariance_00", &Row::covariance_00}, Field{"covariance_01", &Row::covariance_01},
                          Field{"covariance_11", &Row::covariance_11}, Field{"missing", &Row::missing}, Field{"engine", &Row::engine},
                          Field{"rules", &Row::rules});
    }
};

struct FigureStore::Impl {
    explicit Impl(Connection& c) : connection(c) {}
    Connection& connection;
    RowSlots<StoredFigures> in, out;
    Slot key{Slot::Kind::Text}, phase{Slot::Kind::Text};
    std::unique_ptr<Statement> put, ofVisit, ofSensor, drop;
};

FigureStore::FigureStore(Connection& connection) : m_impl(std::make_unique<Impl>(connection)) {}
FigureStore::~FigureStore() = default;

void FigureStore::put(const StoredFigures& figures)
{
    Impl& d = *m_impl;
    d.in.fill(figures);
    if (!d.put)
        d.put = std::make_unique<Statement>(d.connection, replaceSql("visit_figures", d.in.names()), d.in.list());
    d.put->run();
}

std::vector<StoredFigures> FigureStore::ofVisit(std::string_view visit)
{
    Impl& d = *m_impl;
    d.key.set(visit);
    if (!d.ofVisit)
        d.ofVisit = std::make_unique<Statement>(
            d.connection, fmt::format("SELECT {} FROM visit_figures WHERE visit = :visit ORDER BY phase", joinNames(d.out.names())),
            SlotList{&d.key}, d.out.list());
    std::vector<StoredFigures> rows;
    for (bool row = d.ofVisit->first(); row; row = d.ofVisit->next())
        d.out.read(rows.emplace_back());
    return rows;
}

std::vector<StoredFigures> FigureStore::ofSensor(std::string_view serial)
{
    Impl& d = *m_impl;
    d.key.set(serial);
    if (!d.ofSensor)
        d.ofSensor = std::make_unique<Statement>(d.connection,
                                                 fmt::format("SELECT {} FROM visits v JOIN visit_figures f ON f.visit = v.visit "
                                                             "WHERE v.serial = :serial ORDER BY f.visit, f.phase",
                                                             joinNames(d.out.names(), "f.")),
                                                 SlotList{&d.key}, d.out.list());
    std::vector<StoredFigures> rows;
    for (bool row = d.ofSensor->first(); row; row = d.ofSensor->next())
        d.out.read(rows.emplace_back());
    return rows;
}

void FigureStore::drop(std::string_view visit, core::Phase phase)
{
    Impl& d = *m_impl;
    d.key.set(visit);
    d.phase.set(core::keyOf(phase));
    if (!d.drop)
        d.drop = std::make_unique<Statement>(d.connection, "DELETE FROM visit_figures WHERE visit = :visit AND phase = :phase",
                                             SlotList{&d.key, &d.phase});
    d.drop->run();
}

}  // namespace halfcell::db
