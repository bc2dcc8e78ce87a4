#pragma once

#include "app/cabinet/audit_page.h"
#include "app/cabinet/book_health_page.h"
#include "app/cabinet/import_page.h"
#include "app/evidence/effects_page.h"
#include "app/evidence/lifetimes_page.h"
#include "app/evidence/score_page.h"
#include "app/frame/prompts.h"

#include <QWidget>

class QListWidget;
class QStackedWidget;

namespace halfcell::app {

/// The Cabinet: what is used less. What the past says (lifetimes, effects, score), import and export, the audit, and the book's
/// health. GUI thread only.
class CabinetDesk : public QWidget {
    Q_OBJECT
public:
    CabinetDesk(Shop& shop, Prompts& prompts, QWidget* parent = nullptr);

    [[nodiscard]] ImportPage* importPage() const { return m_import; }
    [[nodiscard]] AuditPage* auditPage() const { return m_audit; }
    [[nodiscard]] BookHealthPage* healthPage() const { return m_health; }
    [[nodiscard]] LifetimesPage* lifetimesPage() const { return m_lifetimes; }
    [[nodiscard]] EffectsPage* effectsPage() const { return m_effects; }
    [[nodiscard]] ScorePage* scorePage() const { return m_score; }
    void showImport();
    void showAudit();
    void showHealth();
    [[nodiscard]] QList<QWidget*> regions() const;
    void shown();
    [[nodiscard]] QString sentence() const;

Q_SIGNALS:
    void sentenceChanged();
    void announced(const QString& sentence);
    void recordAsked(const QString& serial, const QString& visit);
    void workingReady(const WorkingPage& page);

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    enum Page { kImport, kAudit, kHealth, kLifetimes, kEffects, kScore };
    void turnTo(int page);
    void fitList();
    /// The page of evidence that is looked at; nullptr if it is another one.
    [[nodiscard]] EvidencePage* evidencePage() const;

    Shop& m_shop;
    QListWidget* m_list = nullptr;
    QStackedWidget* m_pages = nullptr;
    ImportPage* m_import = nullptr;
    AuditPage* m_audit = nullptr;
    BookHealthPage* m_health = nullptr;
    LifetimesPage* m_lifetimes = nullptr;
    EffectsPage* m_effects = nullptr;
    ScorePage* m_score = nullptr;
};

}  // namespace halfcell::app
