#pragma once

#include "core/simulator/observe.h"

#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core::simulation {

/// One visit while it is being done: takes readings, does steps on the hidden state, and at the end turns into a record
/// with its truth beside it. The sensor read is the one that really hangs there; the serial written is the recorded one.
class VisitDraft {
public:
    /// At a point; `recorded` and `physical` are probe indices (they differ after a move that nobody wrote down).
    VisitDraft(Workshop& shop, Round& round, std::size_t point, std::size_t recorded, std::size_t physical, VisitReason reason, std::int64_t seconds);
    /// On the bench or shelf.
    VisitDraft(Workshop& shop, Round& round, std::size_t probe, VisitReason reason, std::int64_t seconds);

    [[nodiscard]] Probe& probe() { return m_shop.probes[m_physical]; }
    [[nodiscard]] Probe& recorded() { return m_shop.probes[m_recorded]; }
    [[nodiscard]] const ModelSpec& model() const { return m_shop.modelOf(m_shop.probes[m_physical]); }
    [[nodiscard]] const PointPlan* point() const { return m_hasPoint ? &m_shop.layout.points[m_point] : nullptr; }
    [[nodiscard]] bool orp() const { return model().kind == SensorKind::Orp; }
    [[nodiscard]] const std::string& key() const { return visit.visit; }
    [[nodiscard]] const Habit& habit() const { return m_shop.staff.technicians[m_round.person]; }
    [[nodiscard]] std::int64_t seconds() const { return m_seconds; }
    void passMinutes(double minutes) { m_seconds += static_cast<std::int64_t>(minutes * 60.0); }
    [[nodiscard]] Instant now() const;

    /// Standards for this sensor here; a third one where the loop asks for it.
    [[nodiscard]] std::vector<std::string_view> standards(bool third);
    /// Reads a phase. `forget` multiplies the person's share of missing temperatures.
    Observed read(Phase phase, const std::vector<std::string_view>& standards, double forget);
    /// A phase that was due and not done, with the reason.
    void skip(Phase phase, std::string_view why);
    void takeGrab();
    /// Resistances and coating; `careful` measures more.
    Check& check();
    void measureResistances();
    void noteCoating();
    Action& act(ActionKey action, double minutes, std::string_view agent = {}, std::string_view strength = {});
    /// Cleans as the deposit and the design ask; `second` = another agent than the first time.
    void clean(bool second);
    void startHold();
    void endHold();
    void fault(std::string_view code);
    void remark(std::string_view text);
    /// What the film at hand is: the finding code.
    [[nodiscard]] FindingCode filmCode() const { return m_film; }

    /// Stores the visit and its truth; clerical errors are made on the way. The draft is spent.
    void finish();

    Visit visit;
    bool holdStays = false;            ///< the loop stays in manual after the visit
    double stays = 0.6;                ///< chance of waiting a creeping reading out
    bool quiet = false;                ///< no clerical errors, no remark (scripted)

private:
    void begin(VisitReason reason);
    [[nodiscard]] TemperatureEntry temperatureEntry(double forget);
    void noteTruth();

    Workshop& m_shop;
    Round& m_round;
    std::size_t m_point = 0, m_recorded = 0, m_physical = 0;
    bool m_hasPoint = false;
    std::int64_t m_seconds = 0;
    double m_previousMv = 0;
    FindingCode m_film = FindingCode::FilmScale;
    std::optional<std::size_t> m_hold;
    TruthState m_truth;
    std::vector<std::string> m_codes;
    bool m_tooSoon = false;
};

/// Entry errors of a visit, made on the record after it is complete (rates of the trade: see clerical.cpp). Notes them in
/// the truth and, for a few, writes the later correction.
void makeClericalErrors(Workshop& shop, Round& round, Visit& visit);
/// A second copy under another key, for double entry; empty if none.
[[nodiscard]] std::optional<Visit> doubleEntry(Workshop& shop, const Visit& visit);
/// Something a technician might jot down; empty for nothing.
[[nodiscard]] std::string jotting(const Probe& probe, const Visit& visit, FindingCode film, Generator& random);

}  // namespace halfcell::core::simulation
