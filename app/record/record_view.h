#pragma once

#include "app/record/record_presenter.h"

#include <QWidget>

class QBoxLayout;
class QLabel;
class QScrollArea;
class QStackedWidget;
class QTabWidget;

namespace halfcell::app {

class KeyFigureButton;
class LifeLinePlot;
class RecordSide;
class StatusLabel;
class TextTableModel;
class VisitsModel;
class VisitsTable;
class VisitView;

/// The Record of a sensor: head, life line, what it is, what next, visits with all their readings, parts, checks, notes.
///
/// Keys: Ctrl+E the working of what has the focus; Ctrl+Shift+E corrects the reading chosen in the opened visit; PgUp,
/// PgDn the sensors of the list one came from; Ctrl+L a visit; Ctrl+M moves; Esc closes the opened visit. GUI thread only.
class RecordView : public QWidget {
    Q_OBJECT
public:
    explicit RecordView(Shop& shop, QWidget* parent = nullptr);

    [[nodiscard]] RecordPresenter& presenter() { return m_presenter; }
    void open(const QString& serial, const QStringList& list = {});
    /// "Record of K7-0412. 3 of 9 in the list. Alt+Left returns.", as rich text.
    [[nodiscard]] QString sentence() const;
    [[nodiscard]] const QString& serial() const { return m_presenter.serial(); }
    void takeFocus();
    /// Head, life line, tables, side: what F6 walks.
    [[nodiscard]] QList<QWidget*> regions() const;
    /// Opens a visit read-only, with its sensor if another one is shown.
    void openVisit(const QString& visit);
    /// The same with the focus on a reading ("as_found/ph7.00/1").
    void showReading(const QString& visit, const QString& reading);
    /// Ctrl+Shift+E: corrects what is chosen in the opened visit, else opens the visit chosen in table or life line.
    void correct();
    [[nodiscard]] const LifeLinePlot& plot() const { return *m_plot; }

Q_SIGNALS:
    void sentenceChanged();
    void workingReady(const halfcell::app::WorkingPage& page);
    void visitAsked(const QString& serial);
    void moveAsked(const QString& serial);
    /// A line for the work strip.
    void said(const QString& sentence);
    void backAsked();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void showEvent(QShowEvent* event) override;
    void hideEvent(QHideEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void buildHead();
    void buildTables();
    void buildLayout();
    void connectParts();
    void arrange();
    void showPage();
    void showOutlook();
    void showLine(const RecordPage& page);
    void showHead(const RecordPage& page);
    void showTables(const RecordPage& page);
    void showNote(const QString& sentence);
    void closeVisit();
    [[nodiscard]] bool openWanted();
    void showWorking(const std::optional<WorkingPage>& page);
    void explainCurrent();

    RecordPresenter m_presenter;
    QWidget* m_head = nullptr;
    QLabel* m_serial = nullptr;
    StatusLabel* m_status = nullptr;
    QLabel* m_design = nullptr;
    std::vector<KeyFigureButton*> m_figures;
    QBoxLayout* m_headRow = nullptr;
    QLabel* m_note = nullptr;
    QLabel* m_says = nullptr;
    LifeLinePlot* m_plot = nullptr;
    QLabel* m_empty = nullptr;
    RecordSide* m_side = nullptr;
    QScrollArea* m_centre = nullptr;
    QStackedWidget* m_lower = nullptr;
    QTabWidget* m_tabs = nullptr;
    VisitsModel* m_visitsModel = nullptr;
    VisitsTable* m_visits = nullptr;
    TextTableModel* m_parts = nullptr;
    TextTableModel* m_checks = nullptr;
    TextTableModel* m_notes = nullptr;
    TextTableModel* m_issued = nullptr;
    VisitView* m_visit = nullptr;
    QBoxLayout* m_row = nullptr;
    bool m_focusWhenReady = false;
    QString m_wantedVisit, m_wantedReading;  ///< to be opened when its sensor's page is there
};

}  // namespace halfcell::app
