#include "app/evidence/effects_page.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QSplitter>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;
using core::EffectBy;

namespace {

EffectBy effectsByAt(int index)
{
    switch (index) {
    case 0: return EffectBy::ActionApplication;
    case 1: return EffectBy::ActionDesign;
    case 2: return EffectBy::ActionDesignApplication;
    default: return EffectBy::Action;
    }
}

/// "clean detergent, clean acid" for clean_detergent+clean_acid.
QString actionsOf(const std::string& joined)
{
    QStringList words;
    for (const QString& key : plain(joined).split(u'+'))
        words.append(screenWords(key));
    return words.join(u", "_s);
}

QString factorWord(core::SharedFactor factor)
{
    switch (factor) {
    case core::SharedFactor::Lot: return EffectsPage::tr("bottle");
    case core::SharedFactor::Meter: return EffectsPage::tr("meter");
    case core::SharedFactor::Person: return EffectsPage::tr("person");
    case core::SharedFactor::Day: return EffectsPage::tr("day");
    }
    return {};
}

bool ofOffsets(const core::Suspects::Found& found)
{
    return found.quantity == core::ShiftOf::OffsetMv;
}

}  // namespace

EffectsPage::EffectsPage(Shop& shop, AskFile ask, QWidget* parent)
    : EvidencePage(shop, std::move(ask), u"cabinet.effects"_s, tr("What services bought"), parent)
{
    const Metrics metrics = Metrics::of(this);
    auto* bar = new QHBoxLayout;
    auto* label = new QLabel(tr("&Groups by"), this);
    m_by = new QComboBox(this);
    m_by->setObjectName(u"cabinet.effects.by"_s);
    m_by->setAccessibleName(tr("Groups by"));
    for (const QString& item :
         {tr("action and application"), tr("action and reference design"), tr("action, design and application"), tr("action")})
        m_by->addItem(item);
    label->setBuddy(m_by);
    bar->addWidget(label);
    bar->addWidget(m_by);
    bar->addStretch(1);
    body()->addLayout(bar);
    auto* split = new QSplitter(Qt::Vertical, this);
    split->setChildrenCollapsible(false);
    m_table = new EvidenceTable(u"cabinet.effects.actions"_s, tr("What each action bought"), split);
    auto* below = new QWidget(split);
    auto* column = new QVBoxLayout(below);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(evidenceHeading(tr("Moved many sensors alike"), below));
    m_suspectsSentence = evidenceSentence(u"cabinet.effects.suspects.sentence"_s, below);
    column->addWidget(m_suspectsSentence);
    m_suspects =
        new EvidenceTable(u"cabinet.effects.suspects"_s, tr("Bottles, meters, persons and days that moved many sensors alike"), below);
    column->addWidget(m_suspects, 1);
    split->setSizes({metrics.px(380), metrics.px(220)});
    body()->addWidget(split, 1);
    adopt(m_table, u"effects"_s);
    adopt(m_suspects, u"suspects"_s);
    connect(m_by, &QComboBox::currentIndexChanged, this, [this] {
        if (evidence())
            fill();
    });
}

void EffectsPage::fill()
{
    fillEffects();
    fillSuspects();
    const core::ServiceList& list = evidence()->services;
    if (list.services.empty())
        say(tr("No service has readings before and after it yet; such pairs are what this page learns from."));
    else
        say(tr("%1 services with readings before and after; %2 more had no forecast to compare with. A low reading is partly luck: the "
               "gain "
               "is counted from between what was forecast and what was read.")
                .arg(list.services.size())
                .arg(list.withoutForecast));
}

void EffectsPage::fillEffects()
{
    m_effects = core::effectsOf(evidence()->services.services, effectsByAt(m_by->currentIndex()));
    PlotTable table;
    table.head = {u"action"_s,
                  u"design"_s,
                  u"application"_s,
                  u"visits"_s,
                  u"sensors"_s,
                  u"gain_pct"_s,
                  u"lower_90"_s,
                  u"upper_90"_s,
                  u"chance_over_1_pct"_s,
                  u"lasted_days"_s,
                  u"plain_difference_pct"_s,
                  u"note"_s};
    for (const core::Effect& e : m_effects) {
        QString note;
        if (!e.gain_pct)
            note = tr("fewer than three visits on two sensors, here and elsewhere");
        else if (e.borrowed)
            note = tr("too few here: the value of all places");
        else if (!e.lasted_days && e.heldAtLeast_days > 0.0)
            note = tr("held %1 d at least").arg(figureText(e.heldAtLeast_days, 0, Sign::WhenNegative));
        const auto word = [](const std::string& key) { return PlotCell{plain(key), shopWords(key)}; };
        table.rows.push_back({{plain(e.action), actionsOf(e.action)},
                              word(e.design),
                              word(e.application),
                              numberCell(static_cast<double>(e.n), 0, false),
                              numberCell(static_cast<double>(e.sensors), 0, false),
                              numberCell(e.gain_pct, 1, true),
                              numberCell(e.lower, 1, true),
                              numberCell(e.upper, 1, true),
                              {numberCell(e.gain_pct ? std::optional(e.chanceWorthwhile) : std::nullopt, 3, false).file,
                               e.gain_pct ? probabilityText(e.chanceWorthwhile) : QString()},
                              numberCell(e.lasted_days, 0, false),
                              numberCell(e.plain_pct, 1, true),
                              textCell(note)});
    }
    m_table->setRows(std::move(table), {tr("Action"), tr("Design"), tr("Application"), tr("Visits"), tr("Sensors"), tr("Gain, %"),
                                        tr("from"), tr("to (90 %)"), tr("Over 1 %"), tr("Lasted, d"), tr("Plain, %"), tr("Note")});
    const int by = m_by->currentIndex();
    m_table->setColumnHidden(1, by == 0 || by == 3);
    m_table->setColumnHidden(2, by == 1 || by == 3);
    m_table->choose(0);
}

void EffectsPage::fillSuspects()
{
    const core::Suspects& suspects = evidence()->suspects;
    PlotTable table;
    table.head = {u"kind"_s, u"name"_s, u"quantity"_s, u"shift"_s, u"expanded"_s, u"p"_s, u"q"_s, u"readings"_s, u"sensors"_s, u"alike"_s};
    for (const core::Suspects::Found& found : suspects.found) {
        const core::SharedShift& s = found.shift;
        QStringList alike;
        for (const std::string& other : s.alike)
            alike.append(plain(other));
        table.rows.push_back({textCell(factorWord(s.factor)), textCell(plain(s.id)),
                              textCell(ofOffsets(found) ? tr("offset, mV") : tr("efficiency, %")), numberCell(s.shift, 1, true),
                              numberCell(2.0 * s.u, 1, false), chanceCell(s.p), chanceCell(s.q),
                              numberCell(static_cast<double>(s.readings), 0, false), numberCell(static_cast<double>(s.sensors), 0, false),
                              textCell(alike.join(u", "_s))});
    }
    m_suspects->setRows(std::move(table), {tr("What"), tr("Which"), tr("Moved"), tr("By"), tr("± (k = 2)"), tr("p"), tr("q"),
                                           tr("Readings"), tr("Sensors"), tr("Cannot be told from")});
    QStringList said;
    if (suspects.found.empty())
        said.append(tr("None: no bottle, meter, person or day stands out at a false share of one in ten."));
    for (const std::string& why : suspects.abstained)
        if (!why.empty())
            said.append(screenWords(why));
    if (said.isEmpty())
        said.append(tr("Found at a false share of one in ten. Look at the bottle or meter before any sensor is blamed."));
    m_suspectsSentence->setText(said.join(u' '));
}

void EffectsPage::explain(const QString& figure)
{
    Q_UNUSED(figure);
}

void EffectsPage::explain(const EvidenceTable& table, int row)
{
    if (&table == m_suspects) {
        const core::Suspects::Found& found = evidence()->suspects.found[static_cast<std::size_t>(row)];
        const std::string unit = ofOffsets(found) ? "mV" : "%";
        giveWorking(
            tr("%1 %2").arg(factorWord(found.shift.factor), plain(found.shift.id)),
            {evidenceStep("readings with a forecast that share it", "count", {}, static_cast<double>(found.shift.readings), {},
                          "readings in the book", core::SourceClass::Record),
             evidenceStep("shared shift", "least squares of (read - forecast) on bottle, meter, person and day", {}, found.shift.shift,
                          unit, {}, core::SourceClass::Computed),
             evidenceStep("its standard uncertainty", "from the same fit", {}, found.shift.u, unit, {}, core::SourceClass::Computed),
             evidenceStep("chance of such a shift by luck", "two-sided p", {}, found.shift.p, {}, {}, core::SourceClass::Computed),
             evidenceStep("false share if all as small are believed", "q = p m / (k + 1)", {}, found.shift.q, {},
                          "Benjamini and Hochberg 1995, forward steps", core::SourceClass::Law)});
        return;
    }
    const core::Effect& e = m_effects[static_cast<std::size_t>(row)];
    std::vector<core::WorkingStep> steps;
    steps.push_back(evidenceStep("visits", "services with readings before and after, and a forecast", {}, static_cast<double>(e.n), {},
                                 "visits in the book", core::SourceClass::Record));
    steps.push_back(evidenceStep("plain difference", "mean of (after - found)", {}, e.plain_pct, "%", "visits in the book",
                                 core::SourceClass::Computed));
    if (e.gain_pct) {
        steps.push_back(evidenceStep(
            "gain, freed of regression to the mean",
            "after - (m + w (found - m)), w = u_m^2 / (u_m^2 + u_y^2), m the forecast; pooled with the other groups", {}, *e.gain_pct, "%",
            e.borrowed ? "the value of all groups: too few visits here" : "this group and, by its size, all groups",
            core::SourceClass::Computed));
        steps.push_back(evidenceStep("90 % interval, lower", {}, {}, e.lower, "%", {}, core::SourceClass::Computed));
        steps.push_back(evidenceStep("90 % interval, upper", {}, {}, e.upper, "%", {}, core::SourceClass::Computed));
        steps.push_back(evidenceStep("chance that it is worth an hour", "P(gain > 1 %)", {}, e.chanceWorthwhile, {}, "1 %: our choice",
                                     core::SourceClass::Computed));
    }
    if (e.lasted_days)
        steps.push_back(evidenceStep("lasted", "median time until a later as-found kept less than half of it", {}, *e.lasted_days, "d",
                                     "Kaplan and Meier 1958", core::SourceClass::Law));
    giveWorking(actionsOf(e.action), std::move(steps));
}

}  // namespace halfcell::app
