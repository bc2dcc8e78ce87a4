#pragma once

#include <QWidget>

class QLabel;
class QLineEdit;
class QVBoxLayout;
class QListWidget;

namespace halfcell::app::bench {

class BenchPresenter;
class NoteLine;

/// The Bench without a visit: "Scan a sensor", today's lines, drafts to go on with, sensors in soak. GUI thread only.
class StartPage : public QWidget {
    Q_OBJECT
public:
    explicit StartPage(BenchPresenter& presenter, QWidget* parent = nullptr);

    void refresh();
    void takeFocus();

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    void refreshDrafts();
    void openChosen();

    BenchPresenter& m_presenter;
    QLineEdit* m_scan;
    NoteLine* m_note;
    QWidget* m_drafts;
    QVBoxLayout* m_draftRows;
    QLabel* m_jobsHead;
    QLabel* m_jobsWords;
    QListWidget* m_jobs;
    QLabel* m_soak;
};

}  // namespace halfcell::app::bench
