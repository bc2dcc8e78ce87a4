#pragma once

#include "app/presenters/shop.h"

#include <QAbstractTableModel>
#include <QString>

#include <optional>
#include <vector>

/// What the Audit page lists: who changed what, the journal, and what stood open. Values out of an AuditBook, ready to show.
namespace halfcell::app {

/// One line of the changes or of the journal.
struct AuditLine {
    std::int64_t entry = 0;  ///< in the journal; 0: not known
    core::Instant when;      ///< written
    QString who;             ///< as entered; empty: nobody named
    QString what;            ///< what kind of record: "visit", "correction"
    QString subject;         ///< serial, tag, bottle, rule set
    QString serial, visit;   ///< where the Record opens; empty: nowhere
    QString field;           ///< "reading 2, millivolts"
    QString before, after;
    QString text;        ///< the reason, or the journal's own words
    bool counts = true;  ///< false: a correction that no longer found what it corrects
    QString folded;      ///< what a search looks in, folded once
};

/// Every field that was changed after it was first written, newest first: corrections, ends of placements, parts and holds,
/// bottles opened and discarded, rule sets adopted, clashes settled, the shop's name.
[[nodiscard]] std::vector<AuditLine> changedFields(const AuditBook& book);
/// Every entry, newest first.
[[nodiscard]] std::vector<AuditLine> journalLines(const AuditBook& book);

/// The rules in force, work that was due, a sensor's verdict, a bottle that was open, an instrument with its certificate.
struct StandingLine {
    QString group;  ///< "Rule set", "Work", "Sensor", "Bottle", "Instrument"
    QString subject, place, what, due, latest, state, why;
    QString serial;  ///< where the Record opens; empty: nowhere
    QString folded;  ///< what a search looks in, folded once
};
/// How it stood at the book's moment: the rule set in force, overdue work, what was due, every sensor's verdict, open bottles,
/// instruments.
[[nodiscard]] std::vector<StandingLine> standingThen(const AuditBook& book);

/// The chain of one sensor at the book's moment, in sentences: place, last visit with its figures, bottles and person, verdict,
/// whether it was overdue, rule set. `subject` is a serial or a tag, in any case and with or without hyphens; empty if it names
/// neither then.
[[nodiscard]] QString sensorThen(const AuditBook& book, const QString& subject);

struct AuditFilter {
    QString who;      ///< exactly; empty: everyone
    QString subject;  ///< part of a serial, tag, visit or key
    QString what;     ///< exactly a kind of record; empty: any
    std::optional<core::Instant> since, until;
    bool operator==(const AuditFilter&) const = default;
};
[[nodiscard]] bool passes(const AuditLine& line, const AuditFilter& filter);
[[nodiscard]] bool passes(const StandingLine& line, const AuditFilter& filter);
/// "2026-03-02 08:47:11Z": audit times are UTC, as in files.
[[nodiscard]] QString auditTime(const core::Instant& when);

/// The lines that pass a filter. GUI thread only.
class AuditModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum class Kind { Changes, Journal, Standing };
    explicit AuditModel(Kind kind, QObject* parent = nullptr);

    void setLines(std::vector<AuditLine> lines);
    void setStanding(std::vector<StandingLine> lines);
    void setFilter(const AuditFilter& filter);
    /// nullptr outside the table, and in one of how it stood.
    [[nodiscard]] const AuditLine* line(int row) const;
    [[nodiscard]] const std::vector<AuditLine>& lines() const { return m_lines; }
    [[nodiscard]] const std::vector<StandingLine>& standing() const { return m_standing; }
    /// The serial a row leads to; empty where it leads nowhere.
    [[nodiscard]] QString serialOf(int row) const;
    /// Every line, shown or not.
    [[nodiscard]] int total() const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    void sift();
    [[nodiscard]] QString cell(std::size_t row, int column) const;

    Kind m_kind;
    QStringList m_heads;
    std::vector<AuditLine> m_lines;
    std::vector<StandingLine> m_standing;
    std::vector<std::size_t> m_shown;
    AuditFilter m_filter;
};

}  // namespace halfcell::app
