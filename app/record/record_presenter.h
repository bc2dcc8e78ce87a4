#pragma once

#include "app/panels/working_page.h"
#include "app/record/record_outlook.h"
#include "app/record/record_page.h"
#include "app/record/visit_page.h"

#include <QObject>
#include <QStringList>

#include <functional>
#include <memory>
#include <optional>

namespace halfcell::app {

/// Opens the Record of a sensor and keeps it up to date: loads the dossier as a job, turns it into a page off the GUI
/// thread, walks the list one came from, writes corrections. Late answers for another sensor are dropped. GUI thread only.
class RecordPresenter : public QObject {
    Q_OBJECT
public:
    explicit RecordPresenter(Shop& shop, QObject* parent = nullptr);

    /// Opens a sensor. `list`: the sensors of the list one came from, in its order.
    void open(const QString& serial, const QStringList& list = {});
    void close();
    [[nodiscard]] const QString& serial() const { return m_serial; }
    [[nodiscard]] bool isLoading() const { return m_loading; }
    /// The page; nullptr until it is there.
    [[nodiscard]] std::shared_ptr<const RecordPage> page() const { return m_page; }
    /// The outlook is worked out only while somebody looks: it takes the whole shop's past.
    void setLookedAt(bool looked);
    [[nodiscard]] const RecordOutlook& outlook() const { return m_outlook; }
    /// Working of the outlook; absent while there is none.
    [[nodiscard]] std::optional<WorkingPage> outlookWorking() const;
    /// Next (+1) or previous (-1) sensor of the list; false at its end.
    bool step(int direction);
    /// "3 of 9 in the list"; empty without a list.
    [[nodiscard]] QString placeInList() const;

    [[nodiscard]] std::optional<VisitPage> visit(const QString& visit) const;
    /// Working of a figure of the latest state (head), or of a phase of a visit.
    [[nodiscard]] std::optional<WorkingPage> headWorking(const QString& key) const;
    [[nodiscard]] std::optional<WorkingPage> visitWorking(const QString& visit, core::Phase phase, const QString& key) const;
    /// The working of a panel at a visit: of its last phase with that figure.
    [[nodiscard]] std::optional<WorkingPage> lineWorking(const QString& visit, const QString& key) const;

    /// Writes a correction; `refused` says why not, else `corrected` says what changed once the figures are renewed.
    void correct(const VisitSection& section, const VisitCell& cell, const QString& visit, const QString& typed, const QString& why);

    [[nodiscard]] Shop& shop() const { return m_shop; }

Q_SIGNALS:
    void loading(const QString& serial);
    void pageChanged();
    /// What is due for the sensor was worked out anew.
    void tasksChanged();
    /// The outlook came, or went with what it hung on.
    void outlookChanged();
    void failed(const QString& sentence);
    void refused(const QString& sentence);
    /// "Corrected: pH 10.01 −176 → −167, as found 92.1 → 87.0 %. The old figure stays in the history."
    void corrected(const QString& sentence);

private:
    struct Pending {
        QString label, oldValue, newValue, visit;
    };
    void load();
    void build(std::shared_ptr<const Dossier> dossier);
    void take(std::shared_ptr<RecordPage> page);
    void askTasks();
    void askOutlook();
    void takeOutlook(RecordOutlook outlook);
    [[nodiscard]] QString whatChanged(const RecordPage& was, const RecordPage& is) const;

    Shop& m_shop;
    QString m_serial;
    QStringList m_list;
    std::shared_ptr<const RecordPage> m_page;
    std::optional<Pending> m_pending;
    RecordOutlook m_outlook;
    bool m_loading = false;
    bool m_lookedAt = false;
    quint64 m_generation = 0;
};

}  // namespace halfcell::app
