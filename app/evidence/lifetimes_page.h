#pragma once

#include "app/evidence/evidence_page.h"

class QComboBox;

namespace halfcell::app {

/// How long sensors last here and what ends them: survival with its band and the numbers in view, by model, application, design
/// or site; the reasons sensors were removed for; a Weibull law where there are ends enough. GUI thread only.
class LifetimesPage : public EvidencePage {
    Q_OBJECT
public:
    LifetimesPage(Shop& shop, AskFile ask, QWidget* parent = nullptr);

    [[nodiscard]] const std::vector<core::LifeGroup>& groups() const { return m_groups; }

protected:
    void fill() override;
    void explain(const QString& figure) override;
    void explain(const EvidenceTable& table, int row) override;

private:
    void showGroup(int row);
    void explainSurvival(std::size_t row, std::size_t last);
    void explainReason(std::size_t row, std::size_t cause, std::size_t last);

    QComboBox* m_by = nullptr;
    EvidenceTable* m_table = nullptr;
    CurvePlot* m_survival = nullptr;
    CurvePlot* m_causes = nullptr;
    std::vector<core::LifeGroup> m_groups;
    std::vector<core::LifeSummary> m_summaries;
    QString m_comparison;
};

}  // namespace halfcell::app
