#pragma once

#include "app/cabinet/audit_lines.h"
#include "app/cabinet/page_table.h"
#include "app/jobs/job_queue.h"
#include "app/presenters/shop.h"

#include <QWidget>

class QBoxLayout;
class QButtonGroup;
class QComboBox;
class QLabel;
class QLineEdit;
class QProgressBar;
class QPushButton;
class QVBoxLayout;

namespace halfcell::app {

/// Cabinet: who changed what, when and why, field by field; the journal; how it stood at a date; whether the chain is whole and
/// holds a head that was noted once. Shows the moment the whole program shows: another date is asked of the Shop. GUI thread only.
class AuditPage : public QWidget {
    Q_OBJECT
public:
    explicit AuditPage(Shop& shop, QWidget* parent = nullptr);

    /// Reads the journal and what stood open, at the Shop's moment.
    void refresh();
    [[nodiscard]] AuditModel* model(AuditModel::Kind kind) const;
    /// Shows one of the three lists.
    void showList(AuditModel::Kind kind);
    /// What the Cabinet's shop line says while this page is open.
    [[nodiscard]] QString sentence() const;

Q_SIGNALS:
    void announced(const QString& sentence);
    void sentenceChanged();
    /// Open the Record of a sensor; `visit` may be empty.
    void recordAsked(const QString& serial, const QString& visit);

protected:
    void showEvent(QShowEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    struct Lines;
    void build();
    void applyMetrics();
    void buildMoment(QVBoxLayout* layout);
    void buildChain(QVBoxLayout* layout);
    void buildList(QVBoxLayout* layout);
    QLineEdit* field(const QString& label, const QString& name, const QString& spoken, QBoxLayout* row);
    void showMoment();
    void showBook(const core::Result<std::shared_ptr<const AuditBook>>& book);
    void showLines(Lines lines);
    void showChain();
    void checkNoted();
    void fillChoices();
    void filter();
    void saySensor();
    void openRow(int row);
    /// Sets a sentence and has it read out.
    void say(QLabel* where, const QString& sentence);

    Shop& m_shop;
    std::shared_ptr<const AuditBook> m_book;
    std::optional<core::Instant> m_shown;  ///< the moment asked for last
    bool m_stale = true;
    quint64 m_reading = 0;  ///< counts refreshes; late answers are dropped
    AuditModel::Kind m_kind = AuditModel::Kind::Changes;
    AuditModel* m_models[3] = {};
    QLineEdit* m_subject = nullptr;
    QLineEdit* m_date = nullptr;
    QLabel* m_then = nullptr;
    QLabel* m_chain = nullptr;
    QLabel* m_head = nullptr;
    QProgressBar* m_progress = nullptr;
    QPushButton* m_verify = nullptr;
    QPushButton* m_stop = nullptr;
    QPushButton* m_copy = nullptr;
    QLineEdit* m_noted = nullptr;
    QPushButton* m_check = nullptr;
    QLabel* m_answer = nullptr;
    QButtonGroup* m_lists = nullptr;
    QComboBox* m_what = nullptr;
    QComboBox* m_who = nullptr;
    QLineEdit* m_since = nullptr;
    QLineEdit* m_until = nullptr;
    QLabel* m_count = nullptr;
    PageTable* m_view = nullptr;
    JobQueue m_jobs;  ///< last: its jobs end before the rest goes
};

}  // namespace halfcell::app
