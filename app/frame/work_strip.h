#pragma once

#include <QWidget>

#include <vector>

class QHBoxLayout;
class QPushButton;

namespace halfcell::app {

class ElidedLabel;

/// A loop in manual as the strip shows it.
struct HeldLoop {
    QString point;
    QString since;          ///< "08:12", or "Sun 23:52" on another day
    qint64 minutes = 0;
};

/// The strip at the bottom: loops in manual (always in sight), the last thing written with Correct…, background work with
/// stop. GUI thread only.
class WorkStrip : public QWidget {
    Q_OBJECT
public:
    explicit WorkStrip(QWidget* parent = nullptr);

    /// Oldest first; `now` is said when there is none ("no hold recorded here, 08:47").
    void setHolds(const std::vector<HeldLoop>& holds, const QString& now);
    void setWritten(const QString& line, bool correctable);
    /// An empty sentence: nothing runs.
    void setBackground(const QString& sentence, double fraction);
    /// From this many minutes on a held loop is written heavier.
    void setWarnMinutes(qint64 minutes) { m_warnMinutes = minutes; }
    [[nodiscard]] QString holdText() const;

Q_SIGNALS:
    void holdsAsked();
    void correctAsked();
    void stopAsked();

protected:
    void changeEvent(QEvent* event) override;

private:
    void applyMetrics();
    void drawMark();

    QHBoxLayout* m_layout = nullptr;
    QPushButton* m_holds = nullptr;
    ElidedLabel* m_written = nullptr;
    QPushButton* m_correct = nullptr;
    ElidedLabel* m_work = nullptr;
    QPushButton* m_stop = nullptr;
    bool m_held = false;
    qint64 m_warnMinutes = 60;
};

}  // namespace halfcell::app
