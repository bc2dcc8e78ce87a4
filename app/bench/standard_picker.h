#pragma once

#include "core/fleet/keys.h"

#include <QFrame>

#include <string>

class QLabel;
class QLineEdit;
class QListWidget;

namespace halfcell::app::bench {

class BenchPresenter;

/// F2 on a standard: another one from the list, a known pH typed ("9.05"), a further dip with +, the dip away with Delete.
/// For ORP the sum behind the expected value stands beside the list. Opens in the form, Esc closes. GUI thread only.
class StandardPicker : public QFrame {
    Q_OBJECT
public:
    explicit StandardPicker(BenchPresenter& presenter, QWidget* parent = nullptr);

    void openFor(core::Phase phase, std::size_t dip);

Q_SIGNALS:
    void closed();

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void fill(const QString& fragment);
    void explain();
    [[nodiscard]] std::string chosen() const;
    void close();

    BenchPresenter& m_presenter;
    core::Phase m_phase = core::Phase::AsFound;
    std::size_t m_dip = 0;
    QLineEdit* m_find;
    QListWidget* m_list;
    QLabel* m_why;
};

}  // namespace halfcell::app::bench
