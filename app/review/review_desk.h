#pragma once

#include "app/review/review_presenter.h"

#include <QWidget>

class QLabel;
class QLineEdit;

namespace halfcell::app {

class FrozenTable;
class OptionRule;
class ReviewModel;

/// The Review desk: which sensors need a decision, what each choice costs, how sure that is. GUI thread only.
class ReviewDesk : public QWidget {
    Q_OBJECT
public:
    explicit ReviewDesk(Shop& shop, QWidget* parent = nullptr);

    [[nodiscard]] const QString& sentence() const { return m_presenter.sentence(); }
    [[nodiscard]] ReviewPresenter& presenter() { return m_presenter; }

Q_SIGNALS:
    void sentenceChanged();
    void recordAsked(const QString& serial);
    /// The working of the chosen case.
    void workingAsked(const core::Working& working, const QString& title);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void applyMetrics();
    /// Columns as wide as what stands in them; the reason gets what is left.
    void fitColumns();
    void showReview();
    void showCase();
    void applyBudget();

    ReviewPresenter m_presenter;
    ReviewModel* m_model = nullptr;
    FrozenTable* m_view = nullptr;
    QLineEdit* m_budget = nullptr;
    QLabel* m_budgetNote = nullptr;
    QLabel* m_caseHead = nullptr;
    QLabel* m_caseSentence = nullptr;
    OptionRule* m_options = nullptr;
    QLabel* m_assumptions = nullptr;
    QLabel* m_spares = nullptr;
    QLabel* m_fleet = nullptr;
};

}  // namespace halfcell::app
