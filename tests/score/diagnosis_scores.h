#pragma once

#include "core/rules/assess.h"

#include <array>
#include <map>
#include <string>
#include <utility>
#include <vector>

/// Counts of a scoring run.
namespace halfcell::score {

struct Scores {
    std::size_t n = 0, first = 0, third = 0;
    std::size_t faults = 0, faultFirst = 0, faultThird = 0;
    std::size_t dangerous = 0, missed = 0, missedWithoutRules = 0, deadMissed = 0, forbidden = 0;
    std::size_t plainFirst = 0, plainThird = 0, plainMissed = 0, plainFaultFirst = 0;
    std::size_t prompted = 0, promptRight = 0, shared = 0, sharedPrompted = 0;
    static constexpr std::size_t kBins = 20;
    std::array<double, kBins> said{}, hits{}, cases{};  ///< of the first cause's probability
    std::map<std::pair<std::string, std::string>, std::size_t> confused;
    std::map<std::string, std::array<std::size_t, 3>> byCause;                    ///< cases, first, among three
    std::map<std::string, std::map<std::string, std::array<double, 8>>> bandsOf;  ///< cause, observable, counts per band

    std::vector<std::string> missedCases;  ///< each dangerous miss with what was seen of it and what was said

    void add(const std::string& cause, const core::Assessment& a, const core::Model& model, const core::RuleSet& rules);
    void merge(const Scores& other);
    [[nodiscard]] double top1() const { return share(first, n); }
    [[nodiscard]] double top3() const { return share(third, n); }
    [[nodiscard]] double plainTop1() const { return share(plainFirst, n); }
    [[nodiscard]] double missShare() const { return share(missed, dangerous); }
    /// Mean over cases of |said - true| by bins of what was said of the first cause.
    [[nodiscard]] double calibrationError() const;
    [[nodiscard]] std::string line() const;
    [[nodiscard]] std::string report(bool why) const;

private:
    [[nodiscard]] static double share(std::size_t part, std::size_t whole)
    {
        return whole ? static_cast<double>(part) / static_cast<double>(whole) : 0.0;
    }
};

/// The plain way: points per symptom added up, the best three; `healthy` below the threshold.
[[nodiscard]] std::vector<std::string> plainScores(const core::DiagnosisReport& report, const core::Model& model);

}  // namespace halfcell::score
