#pragma once

#include "core/rules/assess.h"

/// Odd redox readings, named as questions. Internal to core/rules.
namespace halfcell::core::judging {

/// What a redox reading should be. By the table of the reference filling; of a differential sensor, which has no table, by what its
/// last as left read: another standard or temperature moves that by as much as it moves on the hydrogen scale.
class OrpExpectation {
public:
    /// `last` may be nullptr.
    OrpExpectation(const StandardsBook& standards, std::string_view fill, const PhaseFigures* last);
    /// In mV, of a sensor without an offset (a differential one: with the offset it was left with). Absent without a temperature, a
    /// standard of the book, or anything to compare with.
    [[nodiscard]] std::optional<double> of(const Reading& reading) const;
    /// The same with the offset the last visit left.
    [[nodiscard]] std::optional<double> asLastLeft(const Reading& reading) const;

private:
    const StandardsBook& m_standards;
    std::string_view m_fill;
    std::optional<double> m_offset_mv;        ///< as last left
    std::optional<double> m_ownReference_mv;  ///< against hydrogen, of a differential sensor as last left
};

/// Two standards in each other's beakers; a sign turned in one of them. All of them turned are leads, which the findings name.
/// `near`: mV within which a reading fits.
[[nodiscard]] std::vector<Question> questionsTogetherOrp(const Visit& visit, Phase phase, const OrpExpectation& expectation,
                                                         const StandardsBook& standards, double near);

}  // namespace halfcell::core::judging
