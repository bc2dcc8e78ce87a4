#pragma once

#include "app/bench/bench_model.h"
#include "app/bench/sensor_in_hand.h"
#include "core/fleet/plant.h"

#include <memory>
#include <string>

/// A small invented plant for the tests of the Bench: one point with a double-junction gel sensor that was read on 16
/// February 2026, a permit point without history, an ORP point, a spare on the shelf, bottles and instruments.
namespace halfcell::test {

inline constexpr const char* kSerial = "K7-0412";       ///< at AE-3107: control loop, caustic with cyanide upstream
inline constexpr const char* kTag = "AE-3107";
inline constexpr const char* kOrpSerial = "M2-0141";    ///< at AE-4102: platinum, double-junction refillable, 3M KCl
inline constexpr const char* kPlainSerial = "K7-0500";  ///< at AE-5001: indication only, single-junction gel
inline constexpr const char* kSpare = "K7-0470";        ///< on the shelf

/// 2 March 2026, 08:12:00+01:00.
[[nodiscard]] core::Instant testNow();
[[nodiscard]] core::Records benchRecords();

/// The plant as known at testNow, with a sensor in hand.
class Hand {
public:
    explicit Hand(const std::string& serial = kSerial);
    [[nodiscard]] std::shared_ptr<const app::bench::SensorInHand> get() const { return m_hand; }

private:
    core::Plant m_plant;
    core::StandardsBook m_standards;
    core::RuleSet m_rules;
    std::shared_ptr<const app::bench::SensorInHand> m_hand;
};

/// Drives a BenchModel the way a hand does: digits are typed into the field, everything else is a key that is counted.
class Typist {
public:
    explicit Typist(std::shared_ptr<const app::bench::SensorInHand> hand, app::bench::SerialSeen seen = app::bench::SerialSeen::Scanned);

    app::bench::BenchModel& model() { return *m_model; }
    app::bench::Outcome type(const std::string& digits);
    app::bench::Outcome enter();
    app::bench::Outcome space();
    app::bench::Outcome press(char key);
    /// Digits and Enter.
    app::bench::Outcome take(const std::string& digits);
    void wait(double seconds);
    [[nodiscard]] int keys() const { return m_keys; }
    [[nodiscard]] app::bench::Moment moment() const { return m_moment; }

private:
    std::unique_ptr<app::bench::BenchModel> m_model;
    app::bench::Moment m_moment;
    int m_keys = 0;
};

}  // namespace halfcell::test
