#pragma once

#include <QElapsedTimer>
#include <QObject>
#include <QPointer>
#include <QString>

class QLineEdit;

namespace halfcell::app {

/// Tells a bar-code scanner from a hand: a scanner is a fast keyboard that ends in Enter. A burst (5 or more characters,
/// gaps under 35 ms, closed by Enter; both settable) is announced, and what it had typed into a field is taken out again.
/// Characters are never held back. Installed on the application. GUI thread only.
class ScanWatch : public QObject {
    Q_OBJECT
public:
    explicit ScanWatch(QObject* parent = nullptr);

    void setLimits(int leastCharacters, int longestGapMs);
    [[nodiscard]] int leastCharacters() const { return m_least; }
    [[nodiscard]] int longestGapMs() const { return m_gapMs; }
    void setActive(bool active) { m_active = active; }

Q_SIGNALS:
    void scanned(const QString& text);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void begin(QLineEdit* field);

    int m_least = 5;
    int m_gapMs = 35;
    bool m_active = true;
    QElapsedTimer m_clock;
    QString m_burst;
    QPointer<QLineEdit> m_field;
    QString m_before;
    int m_cursorBefore = 0;
};

}  // namespace halfcell::app
