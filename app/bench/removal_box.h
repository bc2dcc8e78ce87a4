#pragma once

#include <QFrame>

class QComboBox;
class QLabel;
class QLineEdit;

namespace halfcell::app::bench {

class BenchPresenter;

/// Replace or scrap: why the sensor comes out (compulsory, from the list) and, for a replacement, which goes in. Opens in
/// the form; Esc closes it without a step. GUI thread only.
class RemovalBox : public QFrame {
    Q_OBJECT
public:
    explicit RemovalBox(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    void finish();

    BenchPresenter& m_presenter;
    QLabel* m_title;
    QComboBox* m_reason;
    QLabel* m_serialLabel;
    QLineEdit* m_serial;
};

}  // namespace halfcell::app::bench
