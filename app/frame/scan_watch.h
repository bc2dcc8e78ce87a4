#pragma once

#include <QElapsedTimer>
#include <QList>
#include <QObject>
#include <QPointer>
#include <QString>
#include <QVariant>
#include <QWidget>

#include <functional>

class QKeyEvent;

namespace halfcell::app {

/// A field of our own that can put itself back as it was before a scanner typed into it. Line edits, text edits and spin
/// boxes are known without it.
class ScanRestorable {
public:
    virtual ~ScanRestorable() = default;
    [[nodiscard]] virtual QVariant stateBeforeScan() const = 0;
    virtual void restoreAfterScan(const QVariant& state) = 0;
};

/// Tells a bar-code scanner from a hand: a scanner is a fast keyboard that ends in Enter. A burst (5 or more characters,
/// gaps under 35 ms, closed by Enter; both settable) is announced, and what it had typed into a field is taken out again:
/// text, cursor and selection, in every field the burst reached, with the field's own "edited" signal, and the focus goes
/// back to where it was. Characters are never held back; the closing Enter reaches nobody.
///
/// Gaps are taken from the events' own time where the platform gives one, so that a program busy for a moment does not
/// take a hand for a scanner. Held keys (auto-repeat) and keys with Ctrl or Alt end a burst. Installed on the application.
/// GUI thread only.
class ScanWatch : public QObject {
    Q_OBJECT
public:
    using Clock = std::function<qint64()>;  ///< milliseconds, any origin

    explicit ScanWatch(QObject* parent = nullptr);

    void setLimits(int leastCharacters, int longestGapMs);
    [[nodiscard]] int leastCharacters() const { return m_least; }
    [[nodiscard]] int longestGapMs() const { return m_gapMs; }
    void setActive(bool active) { m_active = active; }
    /// A field that others pass typed letters to (the box): it is kept from the first character on.
    void keep(QWidget* field) { m_kept.append(field); }
    /// For tests.
    void setClock(Clock clock) { m_now = std::move(clock); }

Q_SIGNALS:
    void scanned(const QString& text);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Snapshot {
        QPointer<QWidget> field;
        QVariant state;
    };

    [[nodiscard]] bool closes(const QKeyEvent& key, bool late);
    void remember(QWidget* field);
    void restore();

    int m_least = 5;
    int m_gapMs = 35;
    bool m_active = true;
    Clock m_now;
    QElapsedTimer m_clock;
    qint64 m_last = 0;
    QString m_burst;
    QPointer<QWidget> m_focusBefore;
    QList<Snapshot> m_snapshots;  // in the order the burst reached them
    QList<QPointer<QWidget>> m_kept;
};

}  // namespace halfcell::app
