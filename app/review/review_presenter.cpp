#include "app/review/review_presenter.h"

#include "app/panels/plain_words.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace core;

namespace {

constexpr OptionKind kOrder[4] = {OptionKind::Run, OptionKind::Service, OptionKind::Same, OptionKind::Change};

QString text(const std::string& s)
{
    return QString::fromStdString(s);
}

QString money(double value)
{
    return figureText(value, 0, Sign::WhenNegative);
}

/// Whole per cent; never more than "over 99", for the draws know only what was assumed.
void sureOf(Figure& figure, double probability)
{
    if (probability > 0.99)
        figure.reason = ReviewPresenter::tr("over 99");
    else
        figure.value = 100.0 * probability;
}

}  // namespace

QString optionWords(OptionKind option)
{
    switch (option) {
    case OptionKind::Run: return ReviewPresenter::tr("run on");
    case OptionKind::Service: return ReviewPresenter::tr("service now");
    case OptionKind::Same: return ReviewPresenter::tr("same again");
    case OptionKind::Change: return ReviewPresenter::tr("change design");
    }
    return {};
}

QString assumptionWords(const Assumption& assumption)
{
    const QString value = figureText(assumption.value, assumption.value == std::round(assumption.value) ? 0 : 2, Sign::WhenNegative);
    const QString kind = plain(sourceClassWords(assumption.sourceClass));
    QString source = screenWords(assumption.source);
    if (!source.contains(kind, Qt::CaseInsensitive))
        source =
            source.isEmpty() ? kind : ReviewPresenter::tr("%1: %2").arg(kind, source.replace(QStringLiteral(": "), QStringLiteral(", ")));
    QStringList parts{screenWords(assumption.what), value, screenWords(assumption.unit)};
    parts.removeAll(QString());
    return ReviewPresenter::tr("%1 (%2)").arg(parts.join(QLatin1Char(' ')), source);
}

ReviewPresenter::ReviewPresenter(Shop& shop, QObject* parent) : QObject(parent), m_shop(shop)
{
    connect(&m_shop, &Shop::overviewChanged, this, &ReviewPresenter::refresh);
    connect(&m_shop, &Shop::bookClosed, this, [this] {
        ++m_generation;
        m_review.reset();
        m_rows.clear();
        m_sentence.clear();
        Q_EMIT changed();
    });
}

void ReviewPresenter::setBudget(std::optional<double> budget)
{
    m_budget = budget;
    refresh();
}

void ReviewPresenter::refresh()
{
    if (!m_shop.overview()) {
        m_sentence = tr("The sensors are being judged.");
        Q_EMIT changed();
        return;
    }
    const quint64 generation = ++m_generation;
    m_shop.review(m_budget, this, [this, generation](Result<std::shared_ptr<const Review>> review) {
        if (generation != m_generation)
            return;
        if (!review) {
            m_sentence = userText(review.error());
            Q_EMIT changed();
            return;
        }
        take(std::move(*review));
    });
}

void ReviewPresenter::take(std::shared_ptr<const Review> review)
{
    m_review = std::move(review);
    m_rows.clear();
    std::size_t decisions = 0, close = 0;
    for (std::size_t i = 0; i < m_review->cases.size(); ++i) {
        const ReviewCase& c = m_review->cases[i];
        ReviewRow row;
        row.index = i;
        row.serial = text(c.serial);
        row.tag = text(c.tag);
        row.loopClass = text(c.loop_class);
        row.why = screenWords(c.abstained.empty() ? c.why : c.abstained);
        row.abstained = !c.abstained.empty();
        for (std::size_t k = 0; k < 4; ++k) {
            const auto option = std::ranges::find(c.options, kOrder[k], &ReviewOption::option);
            Figure& figure = row.options[k];
            figure.decimals = 1;
            figure.quiet = true;
            if (option == c.options.end())
                figure.reason = QStringLiteral(" ");
            else if (option->cost_per_month) {
                figure.value = option->cost_per_month;
                figure.guilty = c.recommended == kOrder[k];
                figure.quiet = !figure.guilty;
            } else {
                figure.reason = tr("no price");
            }
        }
        const auto best = c.recommended ? std::ranges::find(c.options, *c.recommended, &ReviewOption::option) : c.options.end();
        if (row.abstained)
            row.best = tr("not enough yet");
        else if (c.terminal)
            row.best = c.recommended ? optionWords(*c.recommended) : tr("replace");
        else if (c.recommended)
            row.best = c.closeCall ? tr("%1, close call").arg(optionWords(*c.recommended)) : optionWords(*c.recommended);
        row.sure.decimals = 0;
        row.sure.reason = QStringLiteral(" ");
        if (best != c.options.end()) {
            if (!c.terminal && !row.abstained)
                sureOf(row.sure, best->probability_best);
            row.asks = {.value = best->price, .decimals = 0};
        } else {
            row.asks.reason = QStringLiteral(" ");
        }
        row.paysBelow = {.value = c.break_even_price, .decimals = 0, .reason = QStringLiteral(" ")};
        if (c.recommended && *c.recommended != OptionKind::Run) {
            ++decisions;
            close += c.closeCall ? 1 : 0;
        }
        m_rows.push_back(std::move(row));
    }
    m_sentence = decisions == 0 ? tr("No decision waits.")
                                : (decisions == 1 ? tr("1 decision waits, ") : tr("%1 decisions wait, ").arg(decisions)) +
                                      (close == 1 ? tr("1 is a close call.") : tr("%1 are close calls.").arg(close));
    if (m_review->budget)
        m_sentence += tr("   Asked for: %1 of %2.   Expected saving %3 (best possible %4).")
                          .arg(money(m_review->asked), money(*m_review->budget), money(m_review->saving), money(m_review->savingBound));
    Q_EMIT changed();
}

std::vector<OptionLine> ReviewPresenter::optionsOf(std::size_t caseIndex) const
{
    std::vector<OptionLine> lines;
    if (!m_review || caseIndex >= m_review->cases.size())
        return lines;
    const ReviewCase& c = m_review->cases[caseIndex];
    for (const OptionKind kind : kOrder) {
        const auto option = std::ranges::find(c.options, kind, &ReviewOption::option);
        if (option == c.options.end())
            continue;
        QString name = optionWords(kind);
        if (!option->design.empty())
            name += QStringLiteral(" (") + text(option->design) + QLatin1Char(')');
        lines.push_back({name, option->cost_per_month, option->ci_low, option->ci_high, option->probability_best, c.recommended == kind});
    }
    return lines;
}

std::vector<QString> ReviewPresenter::assumptionsOf(std::size_t caseIndex) const
{
    std::vector<QString> lines;
    if (!m_review || caseIndex >= m_review->cases.size())
        return lines;
    for (const Assumption& a : m_review->cases[caseIndex].assumptions)
        lines.push_back(assumptionWords(a));
    return lines;
}

std::vector<QString> ReviewPresenter::spareLines() const
{
    std::vector<QString> lines;
    if (!m_review)
        return lines;
    for (const SpareType& s : m_review->spares)
        lines.push_back(tr("%1: %2 in use, %3 ready, expected need %4 in the lead time, hold %5, order %6%7")
                            .arg(text(s.interchange))
                            .arg(s.inUse)
                            .arg(s.ready)
                            .arg(figureText(s.expectedDemand, 1, Sign::WhenNegative))
                            .arg(s.hold)
                            .arg(s.order)
                            .arg(s.note.empty() ? QString() : QStringLiteral(". ") + screenWords(s.note)));
    return lines;
}

std::vector<QString> ReviewPresenter::fleetLines() const
{
    std::vector<QString> lines;
    if (!m_review)
        return lines;
    const FleetFigures& f = m_review->fleet;
    if (f.asFoundJudged > 0)
        lines.push_back(tr("As found in tolerance: %1 of %2 (%3 %, 95 % limits %4 to %5 %). %6 visits had no as-found reading.")
                            .arg(countText(f.asFoundInTolerance), countText(f.asFoundJudged),
                                 figureText(100.0 * f.share, 1, Sign::WhenNegative),
                                 figureText(100.0 * f.shareLower, 1, Sign::WhenNegative),
                                 figureText(100.0 * f.shareUpper, 1, Sign::WhenNegative), countText(f.visitsWithoutAsFound)));
    if (f.replacements > 0) {
        QStringList reasons;
        for (const auto& [reason, n] : f.replacementsByReason) {
            const auto known = findKey<RemovalReason>(reason);
            reasons << tr("%1 %2").arg(known ? plain(wordsOf(*known)) : screenWords(reason), countText(n));
        }
        lines.push_back(tr("Replaced: %1 (%2).").arg(countText(f.replacements), reasons.join(QStringLiteral(", "))));
    }
    return lines;
}

}  // namespace halfcell::app
