#pragma once

#include "app/presenters/shop.h"
#include "app/style/figures.h"

#include <QObject>
#include <QString>

#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app {

/// One row of the ranked list: the four options side by side as figures, the best one marked.
struct ReviewRow {
    QString serial, tag, loopClass;
    Figure options[4];  ///< run, service, same, change: cost a month
    QString best;       ///< "change now", "look again", "not enough yet"
    Figure sure, asks, paysBelow;
    QString why;
    std::size_t index = 0;  ///< into Review::cases
    bool abstained = false;
};

/// One option of the opened case, for the dot-and-whisker rule.
struct OptionLine {
    QString name;
    std::optional<double> cost, low, high;
    double probabilityBest = 0.0;
    bool best = false;
};

/// What the Review desk shows: ranked list, the case in words, spares and fleet figures, a budget. No widgets. GUI
/// thread only.
class ReviewPresenter : public QObject {
    Q_OBJECT
public:
    explicit ReviewPresenter(Shop& shop, QObject* parent = nullptr);

    void setBudget(std::optional<double> budget);
    [[nodiscard]] std::optional<double> budget() const { return m_budget; }
    [[nodiscard]] std::shared_ptr<const core::Review> review() const { return m_review; }
    [[nodiscard]] const std::vector<ReviewRow>& rows() const { return m_rows; }
    [[nodiscard]] const QString& sentence() const { return m_sentence; }
    [[nodiscard]] std::vector<OptionLine> optionsOf(std::size_t caseIndex) const;
    /// Assumptions of a case, one line each; assumed ones say so.
    [[nodiscard]] std::vector<QString> assumptionsOf(std::size_t caseIndex) const;
    [[nodiscard]] std::vector<QString> spareLines() const;
    [[nodiscard]] std::vector<QString> fleetLines() const;

public Q_SLOTS:
    void refresh();

Q_SIGNALS:
    void changed();

private:
    void take(std::shared_ptr<const core::Review> review);

    Shop& m_shop;
    std::optional<double> m_budget;
    std::shared_ptr<const core::Review> m_review;
    std::vector<ReviewRow> m_rows;
    QString m_sentence;
    quint64 m_generation = 0;
};

/// "a service visit 60 (assumed: rule set default@1)": what, value, unit, and where it comes from.
[[nodiscard]] QString assumptionWords(const core::Assumption& assumption);
/// The words of an option: "run on", "service now", "same again", "change design".
[[nodiscard]] QString optionWords(core::OptionKind option);

}  // namespace halfcell::app
