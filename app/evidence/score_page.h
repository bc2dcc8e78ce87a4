#pragma once

#include "app/evidence/evidence_page.h"

namespace halfcell::app {

/// How past outlooks came true: coverage and skill by horizon, the reliability diagram, and the worst misses, each one key away
/// from its Record. GUI thread only.
class ScorePage : public EvidencePage {
    Q_OBJECT
public:
    ScorePage(Shop& shop, AskFile ask, QWidget* parent = nullptr);

protected:
    void fill() override;
    void explain(const QString& figure) override;
    void explain(const EvidenceTable& table, int row) override;

private:
    EvidenceTable* m_horizons = nullptr;
    EvidenceTable* m_misses = nullptr;
    CurvePlot* m_reliability = nullptr;
};

}  // namespace halfcell::app
