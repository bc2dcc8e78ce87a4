#pragma once

#include <QApplication>

#include <cstdint>
#include <string>
#include <vector>

namespace halfcell::test {

/// One event that kept the GUI thread busy for too long.
struct HeldEvent {
    double wallMs = 0;   ///< from delivery to return
    double cpuMs = 0;    ///< processor time of the thread in between
    std::string what;    ///< receiver (object name or class) and event type
};

/// QApplication that times every event it delivers: the watchdog of the promise that the GUI thread is never held
/// over 50 ms. Only the outermost delivery counts, so an event is reported once. GUI thread only.
class WatchedApplication : public QApplication {
    Q_OBJECT
public:
    WatchedApplication(int& argc, char** argv);

    bool notify(QObject* receiver, QEvent* event) override;

    /// Events that took longer than the limit since the last `forgetHeld`. Processor time is compared as well, because a
    /// loaded machine takes the thread away without its doing: an event is kept when its wall time is over the limit,
    /// and `cpuMs` says how much of that was its own.
    [[nodiscard]] const std::vector<HeldEvent>& held() const { return m_held; }
    void forgetHeld() { m_held.clear(); }
    void setHeldLimit(double ms) { m_limitMs = ms; }
    [[nodiscard]] double heldLimit() const { return m_limitMs; }

private:
    std::vector<HeldEvent> m_held;
    double m_limitMs = 50.0;
    int m_depth = 0;
};

/// The running application.
[[nodiscard]] WatchedApplication& application();

}  // namespace halfcell::test
