#pragma once

#include "app/evidence/evidence_page.h"

class QComboBox;

namespace halfcell::app {

/// What each action bought and for how long, freed of regression to the mean; and the bottles, meters, persons and days that moved
/// many sensors alike. GUI thread only.
class EffectsPage : public EvidencePage {
    Q_OBJECT
public:
    EffectsPage(Shop& shop, AskFile ask, QWidget* parent = nullptr);

    [[nodiscard]] const std::vector<core::Effect>& effects() const { return m_effects; }

protected:
    void fill() override;
    void explain(const QString& figure) override;
    void explain(const EvidenceTable& table, int row) override;

private:
    void fillEffects();
    void fillSuspects();

    QComboBox* m_by = nullptr;
    EvidenceTable* m_table = nullptr;
    EvidenceTable* m_suspects = nullptr;
    QLabel* m_suspectsSentence = nullptr;
    std::vector<core::Effect> m_effects;
};

}  // namespace halfcell::app
