#pragma once

#include <QFrame>

#include <string>
#include <vector>

class QComboBox;
class QFormLayout;

namespace halfcell::app::bench {

class BenchPresenter;

/// The bottle of each standard on the form, the meter and the thermometer: chosen once a round. Enter takes them, Esc
/// leaves them. GUI thread only.
class KitPanel : public QFrame {
    Q_OBJECT
public:
    explicit KitPanel(BenchPresenter& presenter, QWidget* parent = nullptr);

    void open();

Q_SIGNALS:
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    void take();
    QComboBox* addChoice(const QString& label, const QString& name);

    BenchPresenter& m_presenter;
    QFormLayout* m_form;
    std::vector<std::pair<std::string, QComboBox*>> m_lots;
    QComboBox* m_meter = nullptr;
    QComboBox* m_thermometer = nullptr;
};

}  // namespace halfcell::app::bench
