#include "app/evidence/score_page.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QLabel>
#include <QSplitter>
#include <QVBoxLayout>

#include <array>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;
using core::outlook::HorizonScore;
using core::outlook::kScoreLevels;

namespace {

double levelAt(std::size_t i)
{
    return 0.05 * static_cast<double>(i + 1);
}

/// Limits of a share, 95 % (Wilson 1927).
std::pair<double, double> limitsOfShare(double share, double n)
{
    constexpr double kZ = 1.959963984540054;
    const double middle = (share + kZ * kZ / (2.0 * n)) / (1.0 + kZ * kZ / n);
    const double half = kZ / (1.0 + kZ * kZ / n) * std::sqrt(share * (1.0 - share) / n + kZ * kZ / (4.0 * n * n));
    return {middle - half, middle + half};
}

std::array<std::size_t, kScoreLevels> belowLevels(const core::outlook::Walk& walk)
{
    std::array<std::size_t, kScoreLevels> below{};
    for (const core::outlook::PastForecast& past : walk.past)
        for (std::size_t i = 0; i < kScoreLevels; ++i)
            below[i] += past.outcome <= past.q[i] ? 1U : 0U;
    return below;
}

CurveSeries reliabilityOf(const core::outlook::Walk& walk)
{
    CurveSeries series;
    series.title = ScorePage::tr("Came out below, %, against said, %");
    series.xName = u"said_percent"_s;
    series.yName = u"came_below"_s;
    series.xWord = ScorePage::tr("% said");
    series.yUnit = u"%"_s;
    series.yScale = 100.0;
    series.xTo = 100.0;
    series.diagonal = true;
    const auto n = static_cast<double>(walk.past.size());
    if (walk.past.empty()) {
        series.summary = ScorePage::tr("No forecast has met its outcome yet.");
        return series;
    }
    const auto below = belowLevels(walk);
    Curve curve{.shape = Curve::Shape::Marks};
    double most = 0.0;
    for (std::size_t i = 0; i < kScoreLevels; ++i) {
        const double share = static_cast<double>(below[i]) / n;
        const auto [lower, upper] = limitsOfShare(share, n);
        most = std::max(most, std::abs(share - levelAt(i)));
        curve.points.push_back({.x = 100.0 * levelAt(i),
                                .y = share,
                                .lower = lower,
                                .upper = upper,
                                .words = ScorePage::tr("%1 of %2").arg(below[i]).arg(walk.past.size()),
                                .figure = u"level/%1"_s.arg(i)});
    }
    series.curves.push_back(std::move(curve));
    series.summary = ScorePage::tr("%1 forecasts with outcomes; furthest from what was said by %2 points.")
                         .arg(walk.past.size())
                         .arg(figureText(100.0 * most, 1, Sign::WhenNegative));
    return series;
}

QString percent(double share)
{
    return figureText(100.0 * share, 1, Sign::WhenNegative);
}

PlotCell percentCell(std::optional<double> share)
{
    return numberCell(share ? std::optional(100.0 * *share) : std::nullopt, 1, false);
}

}  // namespace

ScorePage::ScorePage(Shop& shop, AskFile ask, QWidget* parent)
    : EvidencePage(shop, std::move(ask), u"cabinet.score"_s, tr("How past outlooks came true"), parent)
{
    const Metrics metrics = Metrics::of(this);
    m_horizons = new EvidenceTable(u"cabinet.score.horizons"_s, tr("Score by horizon"), this);
    m_horizons->setMaximumHeight(metrics.row() * 8);
    body()->addWidget(m_horizons);
    auto* split = new QSplitter(Qt::Horizontal, this);
    split->setChildrenCollapsible(false);
    m_reliability = new CurvePlot(split);
    m_reliability->setNames(u"cabinet.score.reliability"_s, tr("Reliability of past outlooks"));
    auto* right = new QWidget(split);
    auto* column = new QVBoxLayout(right);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(evidenceHeading(tr("Worst misses (Enter opens the Record)"), right));
    m_misses = new EvidenceTable(u"cabinet.score.misses"_s, tr("Worst misses"), right);
    column->addWidget(m_misses, 1);
    split->setSizes({metrics.px(480), metrics.px(520)});
    body()->addWidget(split, 1);
    adopt(m_horizons, u"outlook-score"_s);
    adopt(m_misses, u"outlook-misses"_s);
    adopt(m_reliability, u"reliability"_s);
    connect(m_misses, &EvidenceTable::opened, this, [this](int row) {
        const auto& worst = evidence()->score.worst;
        if (row >= 0 && static_cast<std::size_t>(row) < worst.size())
            Q_EMIT recordAsked(plain(worst[static_cast<std::size_t>(row)].serial));
    });
}

void ScorePage::fill()
{
    const core::outlook::Score& score = evidence()->score;
    PlotTable table;
    table.head = {u"weeks"_s,
                  u"forecasts"_s,
                  u"sensors"_s,
                  u"covered_50"_s,
                  u"covered_80"_s,
                  u"covered_80_lower"_s,
                  u"covered_80_upper"_s,
                  u"covered_90"_s,
                  u"skill_last_value"_s,
                  u"skill_straight_line"_s,
                  u"median_error_pct"_s,
                  u"abstained"_s,
                  u"verdict"_s};
    const auto add = [&](const HorizonScore& h, const QString& name) {
        table.rows.push_back({textCell(name), numberCell(static_cast<double>(h.n), 0, false),
                              numberCell(static_cast<double>(h.sensors), 0, false), percentCell(h.coverage50), percentCell(h.coverage80),
                              percentCell(h.coverage80Lower), percentCell(h.coverage80Upper), percentCell(h.coverage90),
                              percentCell(h.skillLastValue), percentCell(h.skillStraightLine), numberCell(h.medianAbsError, 2, false),
                              percentCell(h.abstainedShare), textCell(plain(h.verdict))});
    };
    for (const HorizonScore& h : score.horizons)
        add(h, QString::number(h.weeks));
    if (!score.horizons.empty())
        add(score.all, tr("all"));
    m_horizons->setRows(std::move(table), {tr("Weeks"), tr("Forecasts"), tr("Sensors"), tr("50 % held"), tr("80 % held"), tr("from"),
                                           tr("to"), tr("90 % held"), tr("Better than last, %"), tr("than a line, %"), tr("Median error"),
                                           tr("Withheld, %"), tr("Verdict")});
    m_horizons->choose(0);
    PlotTable misses;
    misses.head = {u"serial"_s, u"said_on"_s, u"for"_s, u"said_10"_s, u"said_50"_s, u"said_90"_s, u"came"_s};
    for (const core::outlook::Miss& miss : score.worst)
        misses.rows.push_back({textCell(plain(miss.serial)),
                               {plain(core::formatDate(miss.origin)), fullDate(miss.origin)},
                               {plain(core::formatDate(miss.at)), fullDate(miss.at)},
                               numberCell(miss.said10, 1, false),
                               numberCell(miss.said50, 1, false),
                               numberCell(miss.said90, 1, false),
                               numberCell(miss.came, 1, false)});
    m_misses->setRows(std::move(misses), {tr("Sensor"), tr("Said on"), tr("For"), tr("10 %"), tr("50 %"), tr("90 %"), tr("Came")});
    m_reliability->setSeries(reliabilityOf(evidence()->book.walk));
    if (!score.abstained.empty())
        say(screenWords(score.abstained));
    else
        say(tr("%1 forecasts met their outcome: the 80 % band held %2 % of them; %3 % better than saying \"as it was last time\".")
                .arg(score.all.n)
                .arg(percent(score.all.coverage80), percent(score.all.skillLastValue.value_or(0.0))));
}

void ScorePage::explain(const QString& figure)
{
    const auto& walk = evidence()->book.walk;
    const auto level = static_cast<std::size_t>(figure.section(u'/', 1).toULongLong());
    if (!figure.startsWith(u"level/"_s) || level >= kScoreLevels || walk.past.empty())
        return;
    const auto n = static_cast<double>(walk.past.size());
    const auto below = static_cast<double>(belowLevels(walk)[level]);
    const auto [lower, upper] = limitsOfShare(below / n, n);
    giveWorking(tr("Reliability at %1 %").arg(percent(levelAt(level))),
                {evidenceStep("outcomes below the value that was said for this level", "count of outcome <= quantile", {}, below, {},
                              "past forecasts, each made from what was known then", core::SourceClass::Record),
                 evidenceStep("share", "k / n",
                              {{.name = "k", .value = below, .unit = {}, .text = {}, .readingRef = {}},
                               {.name = "n", .value = n, .unit = {}, .text = {}, .readingRef = {}}},
                              below / n, {}, {}, core::SourceClass::Computed),
                 evidenceStep("95 % limits, lower", "score interval of a share", {}, lower, {}, "Wilson 1927", core::SourceClass::Law),
                 evidenceStep("95 % limits, upper", "score interval of a share", {}, upper, {}, "Wilson 1927", core::SourceClass::Law)});
}

void ScorePage::explain(const EvidenceTable& table, int row)
{
    const core::outlook::Score& score = evidence()->score;
    const auto at = static_cast<std::size_t>(row);
    if (&table == m_misses) {
        const core::outlook::Miss& miss = score.worst[at];
        const double width = miss.said90 - miss.said10;
        const double out = miss.came > miss.said90 ? miss.came - miss.said90 : miss.said10 - miss.came;
        giveWorking(
            tr("Miss of %1").arg(plain(miss.serial)),
            {evidenceStep("weeks from the forecast to its outcome", "t - t0", {}, miss.weeks, "weeks", {}, core::SourceClass::Record),
             evidenceStep("width of the 80 % band", "q90 - q10",
                          {{.name = "q90", .value = miss.said90, .unit = "%", .text = {}, .readingRef = {}},
                           {.name = "q10", .value = miss.said10, .unit = "%", .text = {}, .readingRef = {}}},
                          width, "%", "the forecast as it stood then", core::SourceClass::Computed),
             evidenceStep("outside of it by", "(came - nearest edge) / width",
                          {{.name = "came", .value = miss.came, .unit = "%", .text = {}, .readingRef = {}}},
                          width > 0.0 ? out / width : 0.0, "widths", {}, core::SourceClass::Computed)});
        return;
    }
    const HorizonScore& h = at < score.horizons.size() ? score.horizons[at] : score.all;
    std::vector<core::WorkingStep> steps = {
        evidenceStep("share of outcomes inside the 80 % band", "count of q10 <= outcome <= q90, over n",
                     {{.name = "n", .value = static_cast<double>(h.n), .unit = {}, .text = {}, .readingRef = {}}}, h.coverage80, {},
                     "past forecasts, each made from what was known then", core::SourceClass::Record),
        evidenceStep("error of a forecast (CRPS)", "2 * mean pinball loss over 5 ... 95 %", {}, h.crps, "%", "Gneiting and Raftery 2007",
                     core::SourceClass::Law)};
    if (h.skillLastValue)
        steps.push_back(evidenceStep("better than the last value with its learnt spread", "1 - CRPS / CRPS of the last value", {},
                                     *h.skillLastValue, {}, {}, core::SourceClass::Computed));
    if (h.skillStraightLine)
        steps.push_back(evidenceStep("better than a straight line through the last six", "1 - CRPS / CRPS of the line", {},
                                     *h.skillStraightLine, {}, {}, core::SourceClass::Computed));
    giveWorking(tr("Score of past outlooks"), std::move(steps));
}

}  // namespace halfcell::app
