#pragma once

#include "app/presenters/shop.h"

#include <QDialog>

class QListWidget;

namespace halfcell::app {

/// F9: loops in manual. The control room switches; this only writes it down. Space: the sensor is back and the loop in
/// auto. H: not back, the control room keeps it. GUI thread only.
class HoldBox : public QDialog {
    Q_OBJECT
public:
    /// `point` is chosen first if it is held.
    HoldBox(Shop& shop, const QString& point, QWidget* parent = nullptr);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void close(core::HoldClosed how);

    Shop& m_shop;
    std::vector<core::Hold> m_holds;
    QListWidget* m_list = nullptr;
};

}  // namespace halfcell::app
