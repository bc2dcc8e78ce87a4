#include "app/evidence/lifetimes_page.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;
using core::LivesBy;

namespace {

constexpr double kDaysAMonth = 365.25 / 12.0;
constexpr double kMonthsAStep = 6.0;  // between numbers in view

double months(double days)
{
    return days / kDaysAMonth;
}

QString monthsText(double days)
{
    return figureText(months(days), 1, Sign::WhenNegative);
}

std::vector<LivesBy> groupingAt(int index)
{
    switch (index) {
    case 0: return {LivesBy::Model, LivesBy::Application};
    case 1: return {LivesBy::Application};
    case 2: return {LivesBy::Model};
    case 3: return {LivesBy::Design};
    case 4: return {LivesBy::Site};
    default: return {};
    }
}

QString nameOf(const core::LifeGroup& group)
{
    return group.key.empty() ? LifetimesPage::tr("all sensors") : shopWords(group.name);
}

CurveSeries survivalOf(const core::LifeGroup& group, const core::LifeSummary& summary)
{
    CurveSeries series;
    series.title = LifetimesPage::tr("Still in service, %, against months in the process: %1").arg(nameOf(group));
    series.xName = u"age_months"_s;
    series.yName = u"in_service"_s;
    series.xWord = LifetimesPage::tr("months");
    series.yUnit = u"%"_s;
    series.yScale = 100.0;
    series.summary = summary.curveMissing.empty() ? QString() : screenWords(summary.curveMissing);
    if (!summary.curveMissing.empty())
        return series;
    const double until = months(summary.curve.drawnUntil());
    Curve curve;
    curve.until = until;
    for (const core::SurvivalStep& step : summary.curve.steps)
        curve.points.push_back({.x = months(step.time),
                                .y = step.survival,
                                .lower = step.lower,
                                .upper = step.upper,
                                .words = LifetimesPage::tr("%1 in view, %2 ended").arg(step.atRisk, 0, 'g', 6).arg(step.ended, 0, 'g', 6),
                                .figure = u"survival/%1"_s.arg(curve.points.size())});
    for (const core::LifeRecord& life : group.records)
        if (!life.failed)
            curve.ticks.push_back(months(life.exit));
    std::ranges::sort(curve.ticks);
    series.xTo = std::max(kMonthsAStep, std::ceil(until / kMonthsAStep) * kMonthsAStep);
    std::vector<double> ages;
    for (double at = 0.0; at <= until + 1e-9; at += kMonthsAStep)
        ages.push_back(at * kDaysAMonth);
    CurveRow row{.name = LifetimesPage::tr("in view")};
    const auto counts = core::atRisk(group.records, ages);
    for (std::size_t i = 0; i < ages.size(); ++i)
        row.words.emplace_back(months(ages[i]), QString::number(counts[i], 'g', 6));
    series.rows.push_back(std::move(row));
    series.curves.push_back(std::move(curve));
    const QString half = summary.medianMissing.empty() && summary.curve.median
                             ? LifetimesPage::tr("half have ended by %1 months").arg(monthsText(*summary.curve.median))
                             : screenWords(summary.medianMissing);
    series.summary = LifetimesPage::tr("%1: %2 lives, %3 ended; %4").arg(nameOf(group)).arg(summary.lives).arg(summary.ended).arg(half);
    return series;
}

CurveSeries causesOf(const core::LifeGroup& group, const core::LifeSummary& summary)
{
    CurveSeries series;
    series.title = LifetimesPage::tr("Ended by then for this reason, %");
    series.xName = u"age_months"_s;
    series.yName = u"ended_for_this_reason"_s;
    series.xWord = LifetimesPage::tr("months");
    series.yUnit = u"%"_s;
    series.yScale = 100.0;
    series.summary = LifetimesPage::tr("Nothing ended here yet.");
    if (!summary.incidence || summary.incidence->steps.empty())
        return series;
    const double until = months(summary.curve.drawnUntil());
    constexpr double kRoomForNames = 1.3;
    series.xTo = std::max(kMonthsAStep, until * kRoomForNames);
    double top = 0.0;
    QStringList parts;
    for (std::size_t c = 0; c < summary.incidence->causes.size(); ++c) {
        const auto name = group.causes.find(summary.incidence->causes[c]);
        Curve curve{.name = name == group.causes.end() ? LifetimesPage::tr("other") : screenWords(name->second), .start = 0.0};
        curve.until = until;
        double before = 0.0, last = 0.0;
        for (std::size_t i = 0; i < summary.incidence->steps.size(); ++i) {
            const core::IncidenceStep& step = summary.incidence->steps[i];
            if (step.byCause[c] > before && months(step.time) <= until + 1e-9)
                curve.points.push_back({.x = months(step.time),
                                        .y = step.byCause[c],
                                        .lower = {},
                                        .upper = {},
                                        .words = {},
                                        .figure = u"reason/%1/%2"_s.arg(c).arg(i)});
            before = step.byCause[c];
            last = before;
        }
        if (curve.points.empty())
            continue;
        top = std::max(top, curve.points.back().y);
        parts.append(LifetimesPage::tr("%1 %2").arg(curve.name, probabilityText(last)));
        series.curves.push_back(std::move(curve));
    }
    series.yTo = std::min(1.0, std::max(0.1, std::ceil(top * 1.2 * 10.0) / 10.0));
    series.summary = LifetimesPage::tr("In the end: %1.").arg(parts.join(u", "_s));
    return series;
}

}  // namespace

LifetimesPage::LifetimesPage(Shop& shop, AskFile ask, QWidget* parent)
    : EvidencePage(shop, std::move(ask), u"cabinet.lifetimes"_s, tr("Lifetimes"), parent)
{
    const Metrics metrics = Metrics::of(this);
    auto* bar = new QHBoxLayout;
    auto* label = new QLabel(tr("&Groups by"), this);
    m_by = new QComboBox(this);
    m_by->setObjectName(u"cabinet.lifetimes.by"_s);
    m_by->setAccessibleName(tr("Groups by"));
    for (const QString& item :
         {tr("model and application"), tr("application"), tr("model"), tr("reference design"), tr("site"), tr("all together")})
        m_by->addItem(item);
    label->setBuddy(m_by);
    bar->addWidget(label);
    bar->addWidget(m_by);
    bar->addStretch(1);
    body()->addLayout(bar);
    auto* split = new QSplitter(Qt::Horizontal, this);
    split->setChildrenCollapsible(false);
    m_table = new EvidenceTable(u"cabinet.lifetimes.groups"_s, tr("Groups of sensors and how long they last"), split);
    auto* plots = new QSplitter(Qt::Vertical, split);
    plots->setChildrenCollapsible(false);
    m_survival = new CurvePlot(plots);
    m_survival->setNames(u"cabinet.lifetimes.survival"_s, tr("Share still in service"));
    m_causes = new CurvePlot(plots);
    m_causes->setNames(u"cabinet.lifetimes.causes"_s, tr("Reasons of removal"));
    plots->setStretchFactor(0, 3);
    plots->setStretchFactor(1, 2);
    split->setStretchFactor(0, 2);
    split->setStretchFactor(1, 3);
    split->setSizes({metrics.px(430), metrics.px(600)});
    body()->addWidget(split, 1);
    adopt(m_table, u"lifetimes"_s);
    adopt(m_survival, u"survival"_s);
    adopt(m_causes, u"reasons"_s);
    connect(m_by, &QComboBox::currentIndexChanged, this, [this] {
        if (evidence())
            fill();
    });
    connect(m_table, &EvidenceTable::chosenChanged, this, &LifetimesPage::showGroup);
}

void LifetimesPage::fill()
{
    m_groups.clear();
    m_summaries.clear();
    const auto by = groupingAt(m_by->currentIndex());
    for (core::LifeGroup& group : core::lifeGroupsOf(*evidence()->overview->plant, by)) {
        auto summary = core::summaryOf(group, true);
        if (!summary)
            continue;
        m_groups.push_back(std::move(group));
        m_summaries.push_back(std::move(*summary));
    }
    // Most ends first: those have something to say.
    std::vector<std::size_t> order(m_groups.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return m_summaries[a].ended > m_summaries[b].ended; });
    std::vector<core::LifeGroup> groups;
    std::vector<core::LifeSummary> summaries;
    for (const std::size_t i : order) {
        groups.push_back(std::move(m_groups[i]));
        summaries.push_back(std::move(m_summaries[i]));
    }
    m_groups = std::move(groups);
    m_summaries = std::move(summaries);
    PlotTable table;
    table.head = {u"group"_s,        u"lives"_s,        u"ended"_s,         u"median_months"_s,
                  u"median_lower"_s, u"median_upper"_s, u"weibull_shape"_s, u"weibull_scale_months"_s,
                  u"note"_s};
    for (std::size_t i = 0; i < m_groups.size(); ++i) {
        const core::LifeSummary& s = m_summaries[i];
        const bool median = s.curveMissing.empty() && s.medianMissing.empty();
        const auto asMonths = [&](const std::optional<double>& days) {
            return numberCell(median && days ? std::optional(months(*days)) : std::nullopt, 1, false);
        };
        const std::string& note = !s.curveMissing.empty() ? s.curveMissing : !s.medianMissing.empty() ? s.medianMissing : s.fitMissing;
        table.rows.push_back({textCell(nameOf(m_groups[i])), numberCell(s.lives, 0, false), numberCell(s.ended, 0, false),
                              asMonths(s.curve.median), asMonths(s.curve.medianLower), asMonths(s.curve.medianUpper),
                              numberCell(s.fit ? std::optional(s.fit->shape) : std::nullopt, 2, false),
                              numberCell(s.fit ? std::optional(months(s.fit->scale)) : std::nullopt, 1, false),
                              textCell(screenWords(note))});
    }
    m_table->setRows(std::move(table), {tr("Group"), tr("Lives"), tr("Ended"), tr("Half by, mo"), tr("from"), tr("to"), tr("Shape"),
                                        tr("Life, mo"), tr("Note")});
    const auto test = core::comparisonOf(m_groups);
    m_comparison = test ? tr(" Log-rank over %1 groups: chi-square %2, p %3.")
                              .arg(test->groups.size())
                              .arg(figureText(test->chiSquare, 1, Sign::WhenNegative), chanceText(test->p))
                        : QString();
    m_table->choose(0);
    showGroup(0);
}

void LifetimesPage::showGroup(int row)
{
    if (row < 0 || static_cast<std::size_t>(row) >= m_groups.size()) {
        say(tr("No sensor has been in service yet."));
        return;
    }
    const auto at = static_cast<std::size_t>(row);
    CurveSeries survival = survivalOf(m_groups[at], m_summaries[at]);
    say(survival.summary + (survival.summary.endsWith(u'.') ? QString() : u"."_s) + m_comparison);
    m_survival->setSeries(std::move(survival));
    m_causes->setSeries(causesOf(m_groups[at], m_summaries[at]));
}

void LifetimesPage::explain(const QString& figure)
{
    const int row = m_table->chosen();
    if (row < 0)
        return;
    const auto part = [&](int n) { return static_cast<std::size_t>(figure.section(u'/', n, n).toULongLong()); };
    if (figure.startsWith(u"reason/"_s))
        explainReason(static_cast<std::size_t>(row), part(1), part(2));
    else if (figure.startsWith(u"survival/"_s))
        explainSurvival(static_cast<std::size_t>(row), part(1));
}

void LifetimesPage::explainReason(std::size_t row, std::size_t cause, std::size_t last)
{
    const core::LifeSummary& summary = m_summaries[row];
    if (!summary.incidence || cause >= summary.incidence->causes.size() || last >= summary.incidence->steps.size())
        return;
    const int code = summary.incidence->causes[cause];
    std::vector<core::WorkingStep> steps;
    double before = 0.0, service = 1.0;
    for (std::size_t i = 0; i <= last; ++i) {
        const core::IncidenceStep& s = summary.incidence->steps[i];
        double inView = 0.0, ended = 0.0;
        for (const core::LifeRecord& life : m_groups[row].records) {
            inView += life.entry < s.time && s.time <= life.exit ? life.weight : 0.0;
            ended += life.failed && life.cause == code && life.exit == s.time ? life.weight : 0.0;
        }
        if (s.byCause[cause] > before)
            steps.push_back(evidenceStep("ended for this reason by " + toPlain(monthsText(s.time)).toStdString() + " months",
                                         "I = I_before + S_before * d / n",
                                         {{.name = "I_before", .value = before, .unit = {}, .text = {}, .readingRef = {}},
                                          {.name = "S_before", .value = service, .unit = {}, .text = "still in service", .readingRef = {}},
                                          {.name = "d", .value = ended, .unit = {}, .text = "ended for it at this age", .readingRef = {}},
                                          {.name = "n", .value = inView, .unit = {}, .text = "in view just before", .readingRef = {}}},
                                         s.byCause[cause], {}, "Aalen and Johansen 1978", core::SourceClass::Law));
        before = s.byCause[cause];
        service = s.inService;
    }
    giveWorking(tr("Reason of removal: %1").arg(nameOf(m_groups[row])), std::move(steps), tr("nothing ended for this reason"));
}

void LifetimesPage::explainSurvival(std::size_t row, std::size_t last)
{
    const core::LifeSummary& summary = m_summaries[row];
    std::vector<core::WorkingStep> steps;
    double before = 1.0;
    for (std::size_t i = 0; i <= last && i < summary.curve.steps.size(); ++i) {
        const core::SurvivalStep& s = summary.curve.steps[i];
        steps.push_back(evidenceStep("share still in service after " + toPlain(monthsText(s.time)).toStdString() + " months",
                                     "S = S_before * (1 - d / n)",
                                     {{.name = "S_before", .value = before, .unit = {}, .text = {}, .readingRef = {}},
                                      {.name = "d", .value = s.ended, .unit = {}, .text = "ended at this age", .readingRef = {}},
                                      {.name = "n", .value = s.atRisk, .unit = {}, .text = "in view just before", .readingRef = {}}},
                                     s.survival, {}, "Kaplan and Meier 1958", core::SourceClass::Law));
        before = s.survival;
    }
    if (!steps.empty()) {
        const core::SurvivalStep& s = summary.curve.steps[std::min(last, summary.curve.steps.size() - 1)];
        steps.push_back(evidenceStep("standard error", "se = S * sqrt(sum d / (n (n - d)))", {}, s.standardError, {}, "Greenwood 1926",
                                     core::SourceClass::Law));
        steps.push_back(evidenceStep("95 % band, lower", "S^exp(+1.96 se / (S |ln S|))", {}, s.lower, {}, "on the scale ln(-ln S)",
                                     core::SourceClass::Law));
        steps.push_back(evidenceStep("95 % band, upper", "S^exp(-1.96 se / (S |ln S|))", {}, s.upper, {}, "on the scale ln(-ln S)",
                                     core::SourceClass::Law));
    }
    giveWorking(tr("Still in service: %1").arg(nameOf(m_groups[row])), std::move(steps), tr("nothing ended yet"));
}

void LifetimesPage::explain(const EvidenceTable& table, int row)
{
    Q_UNUSED(table);
    const core::LifeGroup& group = m_groups[static_cast<std::size_t>(row)];
    const core::LifeSummary& s = m_summaries[static_cast<std::size_t>(row)];
    std::vector<core::WorkingStep> steps;
    steps.push_back(evidenceStep("lives", "stretches of service in one application; shelf and bench do not count", {}, s.lives, {},
                                 "placements in the book", core::SourceClass::Record));
    steps.push_back(evidenceStep("ended", "removed for good, planned removals left out (they count as going on)", {}, s.ended, {},
                                 "placements in the book", core::SourceClass::Record));
    if (s.curveMissing.empty() && s.medianMissing.empty() && s.curve.median)
        steps.push_back(evidenceStep("half have ended by", "first age with S <= 0.5", {}, *s.curve.median, "d", "Kaplan and Meier 1958",
                                     core::SourceClass::Law));
    if (s.fit) {
        const char* source = s.shapePrior ? "maximum likelihood, shape leaning on ln N(ln 2, 0.4): fewer than ten ends (our choice)"
                                          : "maximum likelihood; late entry and ends between two visits counted";
        steps.push_back(
            evidenceStep("Weibull shape", "S(t) = exp(-(t / scale)^shape)", {}, s.fit->shape, {}, source, core::SourceClass::Computed));
        steps.push_back(
            evidenceStep("Weibull scale", "S(t) = exp(-(t / scale)^shape)", {}, s.fit->scale, "d", source, core::SourceClass::Computed));
        steps.push_back(evidenceStep("log-likelihood", "sum of ln f for ends, ln S for those that go on", {}, s.fit->logLikelihood, {},
                                     source, core::SourceClass::Computed));
    }
    giveWorking(tr("Lifetimes: %1").arg(nameOf(group)), std::move(steps));
}

}  // namespace halfcell::app
