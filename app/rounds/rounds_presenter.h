#pragma once

#include "app/presenters/shop.h"
#include "app/rounds/board.h"

#include <QObject>
#include <QString>

#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app {

/// One line of the due list.
struct DueLine {
    QString group;  ///< "Can't slip", "By expected loss", "Undone this week"
    QString tag, serial, task, why, allWhys, due, latest, materials;
    double minutes = 0;
    double loss = 0;
    bool cannotSlip = false;
    std::string jobKey;  ///< key on the board; empty if not a job of the week
};

/// What the Rounds desk shows: the week's due work, its plan, and what a move by hand does to it. No widgets. GUI thread
/// only.
class RoundsPresenter : public QObject {
    Q_OBJECT
public:
    explicit RoundsPresenter(Shop& shop, QObject* parent = nullptr);

    [[nodiscard]] const core::IsoWeek& week() const { return m_week; }
    void setWeek(const core::IsoWeek& week);
    void stepWeek(int by);
    [[nodiscard]] const std::vector<DueLine>& due() const { return m_due; }
    [[nodiscard]] std::shared_ptr<const core::WeekPlan> plan() const;
    [[nodiscard]] const Board& board() const { return m_board; }
    [[nodiscard]] const QString& sentence() const { return m_sentence; }
    /// Kit and shortages, one line each.
    [[nodiscard]] std::vector<QString> kitLines() const;

public Q_SLOTS:
    /// Plans the week anew (throws moves by hand away).
    void replan();
    void move(const std::string& key, std::int64_t day, const QString& person);

Q_SIGNALS:
    void changed();
    /// A move was refused, or something else to say under the board.
    void note(const QString& text);

private:
    void take(std::shared_ptr<const PlannedWeek> week);
    void rebuildDue();

    Shop& m_shop;
    core::IsoWeek m_week;
    bool m_weekChosen = false;
    std::shared_ptr<const PlannedWeek> m_planned;
    const core::WeekPlan* m_plan = nullptr;  ///< of m_planned
    Board m_board;
    std::vector<DueLine> m_due;
    QString m_sentence;
    quint64 m_generation = 0;
};

}  // namespace halfcell::app
