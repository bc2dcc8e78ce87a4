#pragma once

#include "core/rules/assess.h"

#include <functional>

/// What the rules look at and what they say, before the verdict is made of it. Internal to core/rules.
namespace halfcell::core::judging {

/// A reading in a standard with the pH it stood for.
struct Dip {
    std::size_t index = 0;  ///< into Visit::readings
    std::string standard;
    double mv = 0.0;
    double temp_c = 25.0;
    double ph = 7.0;  ///< nominal where the temperature is missing
    bool tempKnown = false;
    double x = 0.0;  ///< theoretical slope times the distance from pH 7, mV
};

/// Glass resistance at 25 degC, MOhm; absent without its temperature.
[[nodiscard]] std::optional<double> glassAt25(const Check& check);

/// The dips of one phase whose standard is known, by pH. Readings without millivolts are left out.
[[nodiscard]] std::vector<Dip> dipsOf(const Visit& visit, Phase phase, const StandardsBook& standards);

/// Efficiency between neighbours at least `apart` pH apart, %, from the acid side; and the offset of the outermost line.
struct Legs {
    std::vector<double> pct;
    double offset_mv = 0.0;
    double overall_pct = 0.0;  ///< between the outermost standards
    [[nodiscard]] bool within(double low, double high) const;
};
[[nodiscard]] std::optional<Legs> legsOf(std::vector<Dip> dips, double apart);

/// Standards typed as known pH whose values are those that labels print for 25 degC, at another temperature: what they are
/// worth there, per dip, by the tables.
struct LabelValues {
    std::vector<double> ph;
    std::string text;  ///< "7.00 and 10.01 are the values at 25 degC; at 5 degC they are 7.09 and 10.25"
};
[[nodiscard]] std::optional<LabelValues> labelValues(const std::vector<Dip>& dips, const StandardsBook& standards);

/// No or reversed response of a set of dips (decision rules D1 and D2); from the millivolts alone, so that a missing
/// temperature does not hide it.
struct Response {
    bool dead = false, reversed = false;
    double apart_mv = 0.0, apart_ph = 0.0;  ///< between the outermost standards
    double pct = 0.0;
    std::string text;  ///< the readings in words
};
[[nodiscard]] Response responseOf(const std::vector<Dip>& dips, const std::optional<double>& efficiency, const RuleSet& rules,
                                  const StandardsBook& standards);

/// Everything one judgement looks at.
struct Case {
    const RuleSet* rules = nullptr;
    const StandardsBook* standards = nullptr;
    const Plant* plant = nullptr;            ///< absent for a set without a book
    const SensorHistory* history = nullptr;  ///< absent for a set without a book
    const LimitProfile* profile = nullptr;
    Model model;  ///< with what is recorded of the design
    const Point* point = nullptr;
    SensorKind kind = SensorKind::Ph;
    std::string referenceFill;
    const Visit* visit = nullptr;             ///< absent for a legacy record
    std::vector<const VisitFigures*> past;    ///< with readings, before the visit judged, oldest first
    const PhaseFigures* state = nullptr;      ///< the state judged
    const PhaseFigures* asFound = nullptr;    ///< of the same visit, may be the state itself
    std::vector<const PhaseFigures*> phases;  ///< of the visit judged, the state among them
    const Check* check = nullptr;
    const Grab* grab = nullptr;
    Instant when;   ///< of the visit judged
    Instant until;  ///< visits without readings up to here count for the wiring check

    // worked out once by `prepare`
    std::vector<Dip> dips;  ///< of the state's phase
    Response response;
    std::optional<double> lastLeftEfficiency, lastLeftOffset, firstEfficiency, firstT90, firstGlass25, firstReference;
    std::optional<double> uLastLeftEfficiency;
    std::optional<double> offsetTrend;  ///< mV per month, as left
    std::optional<double> glass25;      ///< MOhm at 25 degC
    std::optional<double> glassRatio, t90Ratio;
    std::optional<double> dropPct;  ///< efficiency below the last as left, beyond noise
    bool wiringChecked = false;
    bool deadBefore = false;  ///< found so at the visit before, too
    bool slow = false;        ///< the state's t90 against limit and own first value

    /// A number of the rule set; of the shipped one where a stored set is older than the rule that asks for it.
    [[nodiscard]] double number(std::string_view key) const;
    [[nodiscard]] bool differential() const { return model.reference && isDifferential(*model.reference); }
    [[nodiscard]] bool glass() const { return kind == SensorKind::Ph && (!model.sensing || isGlass(*model.sensing)); }
    [[nodiscard]] bool allowed(ActionKey a) const { return rules->allowsAt(model, a, point).offer != DesignAllows::Offer::No; }
    [[nodiscard]] std::string application() const;
    /// Done in this visit before the readings judged, or (with `visits` > 1) in so many visits in a row up to this one.
    [[nodiscard]] bool done(ActionKey a) const;
    [[nodiscard]] bool cleaned() const;                      ///< any cleaning step in this visit before the state
    [[nodiscard]] std::size_t timesDone(ActionKey a) const;  ///< in the sensor's life up to the state
    [[nodiscard]] std::optional<Instant> lastDone(ActionKey a) const;
    /// Visits in a row, this one included, whose last state fulfils `bad`.
    [[nodiscard]] std::size_t running(const std::function<bool(const PhaseFigures&)>& bad) const;
    /// Done in the visits of such a row.
    [[nodiscard]] bool doneInRow(ActionKey a, std::size_t rows) const;
    [[nodiscard]] bool cleanedInRow(std::size_t rows) const;
};
void prepare(Case& c);

/// A finding in the making.
struct Draft {
    Finding finding;
    bool drives = false;  ///< may set the verdict
    int weight = 0;       ///< more is more important
    Verdict verdict = Verdict::Leave;
    std::vector<ActionKey> cures;  ///< the cheapest that can work first
    std::string cause;             ///< in the sentence: "a scale film is the likeliest cause"
    std::string advice;            ///< "Clean before judging the glass."
};

/// Collects drafts; one finding per code, the weightier one stays and takes over the other's reasons.
class Findings {
public:
    explicit Findings(const Case& c) : m_case(c) {}
    Draft& add(FindingCode code, int weight, bool drives, Verdict verdict, std::vector<ActionKey> cures);
    [[nodiscard]] bool has(FindingCode code) const;
    [[nodiscard]] Draft* find(FindingCode code);
    std::vector<Draft>& drafts() { return m_drafts; }

private:
    const Case& m_case;
    std::vector<Draft> m_drafts;
};

void speaksFor(Draft& d, std::string text);
void speaksAgainst(Draft& d, std::string text);
void notMeasured(Draft& d, std::string text);
void notPossible(Draft& d, std::string text);

// The rules, by what they look at. Each adds what it finds.
void findEntries(const Case& c, Findings& f);       ///< temperature, tables, standards and their bottles, typing
void findResponse(const Case& c, Findings& f);      ///< dead, reversed, shorted, open
void findGlass(const Case& c, Findings& f);         ///< film, dry, aged, etched, shunted; ISFET and antimony
void findReference(const Case& c, Findings& f);     ///< contaminated, diluted, poisoned, clogged, blocked
void findSurroundings(const Case& c, Findings& f);  ///< ground loop, temperature element, process and grab sample, wrong sensor
void findOrp(const Case& c, Findings& f);
/// Platinum where the process holds cyanide, gold where it holds strong chlorine.
[[nodiscard]] bool wrongMetal(const Case& c);
void addTests(const Case& c, Findings& f);  ///< the next test, what was not measured or is not possible

/// One limit compared.
struct LimitCheck {
    GuiltyFigure figure = GuiltyFigure::None;
    std::string name, unit;
    double value = 0.0;
    const Limit* limit = nullptr;
    bool upper = false;     ///< the limit is an upper one
    bool absolute = false;  ///< of the figure without its sign
    bool broken = false;
    Signal signal = Signal::Normal;
};
/// All limits of the profile that the figures of the state can be compared with.
[[nodiscard]] std::vector<LimitCheck> compareWithLimits(const Case& c);

/// Makes the assessment out of the drafts; `hold` says why the loop still counts as in manual, if it does.
struct Diagnosed;
[[nodiscard]] Assessment conclude(const Case& c, Findings& f, const std::optional<std::string>& hold, const Diagnosed* diagnosed = nullptr);

/// Open hold of the sensor's point or a visit that did not go back to auto.
[[nodiscard]] std::optional<std::string> openHold(const Plant& plant, const SensorHistory& history, const Point* point);

// Words
[[nodiscard]] std::string fixed(double v, int decimals = 1);
[[nodiscard]] std::string mv(double v);  ///< "+160 mV", "-3.4 mV"
[[nodiscard]] bool isCleaning(ActionKey a);
[[nodiscard]] const Reading* readingAt(const Visit* v, std::size_t index);

/// Odd things in a set of dips, as questions; shared by the bench and the findings.
[[nodiscard]] std::optional<std::pair<std::size_t, std::size_t>> exchangeThatFits(const std::vector<Dip>& dips, const RuleSet& rules);
struct OtherStandard {
    std::size_t dip = 0;
    std::string standard;
    Legs legs;
};
[[nodiscard]] std::optional<OtherStandard> otherStandardThatFits(const std::vector<Dip>& dips, const Visit& visit,
                                                                 const StandardsBook& standards, const RuleSet& rules);
[[nodiscard]] std::optional<std::size_t> signThatFits(const std::vector<Dip>& dips, const RuleSet& rules);

}  // namespace halfcell::core::judging
