#pragma once

#include "app/panels/working_page.h"
#include "app/plots/life_line_series.h"
#include "app/presenters/shop.h"
#include "app/register/register_acts.h"
#include "app/register/register_row.h"

#include <QObject>

#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app {

/// A piece of the shop line: words, and the filter it links to.
struct ShopLinePart {
    QString text = {};
    QString link = {};  ///< "need/now", "need/week", "need/within", "need/few", "overdue", "clear"; empty: plain words
    bool operator==(const ShopLinePart&) const = default;
};

/// The little page under (or beside) the table about the chosen row.
struct PeekPage {
    QString serial = {};
    QString place = {};  ///< "at AE-3107 Neutralisation tank 2, since 28 Sep 2025"
    QString sentence = {};
    LifeLineSeries line = {};  ///< as left, one year
    QString keys = {};         ///< "Enter opens the Record · Ctrl+L starts a visit · Ctrl+M moves it"
};

/// The Register without widgets: rows out of the shop's stored states, the shop line, what the peek shows, and the acts
/// (move, new sensor, working of a figure). GUI thread only.
class RegisterPresenter : public QObject {
    Q_OBJECT
public:
    using Rows = std::shared_ptr<const std::vector<RegisterRow>>;

    explicit RegisterPresenter(Shop& shop, QObject* parent = nullptr);

    [[nodiscard]] Rows rows() const { return m_rows; }
    /// False while the book is being read: the last known rows stay, the sentence says so.
    [[nodiscard]] bool ready() const { return m_shop.isOpen(); }
    /// True once the due work is known: the order as first seen is final then.
    [[nodiscard]] bool outlineKnown() const { return m_outline != nullptr; }
    [[nodiscard]] std::vector<ShopLinePart> shopLine() const;
    [[nodiscard]] PeekPage peek(const RegisterRow& row) const;
    [[nodiscard]] const db::LatestState* stateOf(const QString& serial) const;
    [[nodiscard]] Shop& shop() const { return m_shop; }

    void move(const QString& serial, const QString& place, const QString& when, std::optional<core::RemovalReason> reason);
    void addSensor(const QString& serial, const QString& model, const QString& place, const QString& when);
    /// Loads the dossier and answers with `workingReady`, or `refused`.
    void askWorking(const QString& serial, const QString& figure);

Q_SIGNALS:
    void rowsChanged();
    void shopLineChanged();
    void refused(const QString& sentence);
    void moved(const QString& sentence);
    void added(const QString& serial, const QString& sentence);
    void workingReady(const halfcell::app::WorkingPage& page);

private:
    /// Once what is on the way has been gone through; rows are made off the GUI thread.
    void rebuild();
    void makeRows();
    void workOutOutline();
    [[nodiscard]] bool writable();

    Shop& m_shop;
    Rows m_rows;
    std::shared_ptr<const UpkeepOutline> m_outline;
    quint64 m_generation = 0;
    quint64 m_rowsWanted = 0;
    QTimer m_rebuild;
};

}  // namespace halfcell::app
