#pragma once

#include "app/register/register_acts.h"

#include <QWidget>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;

namespace halfcell::app {

/// Where a sensor goes, when, and why it leaves. Stands in the place of the peek; Esc closes it, nothing typed is lost
/// meanwhile. GUI thread only.
class MoveForm : public QWidget {
    Q_OBJECT
public:
    explicit MoveForm(QWidget* parent = nullptr);

    /// Opens for a sensor. `leavesPoint`: the reason removed is needed.
    void open(const QString& serial, const QString& from, bool leavesPoint, const std::vector<PlaceChoice>& places);
    [[nodiscard]] const QString& serial() const { return m_serial; }
    /// A sentence under the field that caused it.
    void say(const QString& sentence);

Q_SIGNALS:
    void moveAsked(const QString& serial, const QString& place, const QString& when, std::optional<halfcell::core::RemovalReason> reason);
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void ask();

    QString m_serial;
    QLabel* m_title;
    QComboBox* m_place;
    QLineEdit* m_when;
    QLabel* m_reasonLabel;
    QComboBox* m_reason;
    QLabel* m_note;
};

/// A new sensor: serial, model, place, since when; the rest later. GUI thread only.
class NewSensorForm : public QWidget {
    Q_OBJECT
public:
    explicit NewSensorForm(QWidget* parent = nullptr);

    void open(const std::vector<PlaceChoice>& places, const QStringList& models);
    void say(const QString& sentence);

Q_SIGNALS:
    void addAsked(const QString& serial, const QString& model, const QString& place, const QString& when);
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void ask();

    QLineEdit* m_serial;
    QComboBox* m_model;
    QComboBox* m_place;
    QLineEdit* m_when;
    QLabel* m_note;
};

}  // namespace halfcell::app
