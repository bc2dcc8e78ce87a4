#pragma once

#include "app/cabinet/audit_page.h"
#include "app/cabinet/book_health_page.h"
#include "app/cabinet/import_page.h"
#include "app/frame/prompts.h"

#include <QWidget>

class QListWidget;
class QStackedWidget;

namespace halfcell::app {

/// The Cabinet: what is used less. Import and export, the audit, and the book's health. GUI thread only.
class CabinetDesk : public QWidget {
    Q_OBJECT
public:
    CabinetDesk(Shop& shop, Prompts& prompts, QWidget* parent = nullptr);

    [[nodiscard]] ImportPage* importPage() const { return m_import; }
    [[nodiscard]] AuditPage* auditPage() const { return m_audit; }
    [[nodiscard]] BookHealthPage* healthPage() const { return m_health; }
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

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    enum Page { kImport, kAudit, kHealth };
    void turnTo(int page);
    void fitList();

    Shop& m_shop;
    QListWidget* m_list = nullptr;
    QStackedWidget* m_pages = nullptr;
    ImportPage* m_import = nullptr;
    AuditPage* m_audit = nullptr;
    BookHealthPage* m_health = nullptr;
};

}  // namespace halfcell::app
