#pragma once

#include "app/plots/plot_table.h"
#include "app/style/palette.h"
#include "core/quantity/result.h"

#include <QWidget>

#include <memory>
#include <optional>

class QCustomPlot;
class QLabel;
class QStackedLayout;
class QTableView;

namespace halfcell::app {

struct PlotInk;

/// What stands under an exported plot.
struct PlotCaption {
    QString sensor = {};
    QString span = {};     ///< "28 Sep 2025 to 2 Mar 2026"; filled from the series if empty
    QString rules = {};    ///< "default@7"
    QString asKnown = {};  ///< "as known now" or a date
    [[nodiscard]] QString text() const;
};

/// What every plot has: one focus for the whole plot with a ring inside it, a name and a sentence for readers, a cursor
/// that snaps to real readings, a readout line under the drawing, a table twin with the same rows, export.
///
/// Keys: Left, Right walk the readings; End the last; + − zoom, Home all (again: first reading); Enter opens the visit;
/// Ctrl+E its working; Ctrl+Shift+T the table twin; Ctrl+Shift+S export; Ctrl+C copies the readout.
/// GUI thread only.
class PlotBase : public QWidget {
    Q_OBJECT
public:
    ~PlotBase() override;

    /// objectName ("record.life.line") and accessible name ("Life line of K7-0412").
    void setNames(const QString& objectName, const QString& accessibleName);
    void setCaption(const PlotCaption& caption) { m_caption = caption; }
    /// The surface the plot stands on: Ground (the default), Sheet or Well.
    void setGround(Role role);
    /// Shows or hides the readout line under the drawing (on by default).
    void setReadoutShown(bool shown);

    /// The trend in words; also the accessible description.
    [[nodiscard]] QString summary() const;
    /// The rows that are drawn now.
    [[nodiscard]] virtual PlotTable table() const = 0;
    [[nodiscard]] QByteArray csv() const { return toCsv(table()); }
    [[nodiscard]] bool tableShown() const;
    void setTableShown(bool shown);

    /// The reading under the cursor, counted in time order; absent when there is none yet.
    [[nodiscard]] std::optional<int> cursor() const { return m_cursor; }
    /// Clamped to the readings there are.
    void setCursor(std::optional<int> stop);
    [[nodiscard]] QString readout() const;
    /// Key of the visit under the cursor; empty when there is none.
    [[nodiscard]] QString cursorVisit() const { return m_cursor ? visitAt(*m_cursor) : QString(); }

    /// Writes what is drawn, black on white with the caption: .svg, .pdf, .png (2x) or .csv by the name's ending.
    /// Errc::BadInput for another ending, Errc::CannotWrite (with the reason) when the file cannot be written.
    [[nodiscard]] core::Result<void> exportTo(const QString& path);
    /// The drawing as it stands, for reports: vectors on white, `size` in px at scale 1.
    void paintOn(QPainter& painter, const QSize& size);

    [[nodiscard]] QSize sizeHint() const override { return {600, 320}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {160, 96}; }

Q_SIGNALS:
    /// The text line of the reading under the cursor; empty when there is none.
    void readoutChanged(const QString& text);
    void visitActivated(const QString& visit);
    void workingAsked(const QString& figure);
    void exportAsked();
    void tableToggled(bool shown);

protected:
    explicit PlotBase(QWidget* parent);

    [[nodiscard]] QCustomPlot& canvas() const { return *m_canvas; }
    [[nodiscard]] const PlotInk& ink() const { return *m_ink; }
    /// Call when the series has changed: words, table and cursor are renewed, the plot is drawn once.
    void seriesChanged();
    void drawLater();
    /// Px of the widget that the canvas can't have: margins of the focus ring, the readout where it is shown.
    [[nodiscard]] int heightBesideCanvas() const;
    /// Px the drawing is high: of the canvas, or of the paper while it is drawn for that.
    [[nodiscard]] int drawingHeight() const;

    /// Colours, fonts, sizes and ranges anew.
    virtual void restyle() = 0;
    [[nodiscard]] virtual int stopCount() const = 0;
    [[nodiscard]] virtual QString readoutAt(int stop) const = 0;
    [[nodiscard]] virtual QString composeSummary() const = 0;
    /// Marks the stop in the drawing.
    virtual void showStop(std::optional<int> stop) = 0;
    /// The stop nearest to a point of the canvas, if one is near.
    [[nodiscard]] virtual std::optional<int> stopAt(const QPointF& pixel) const = 0;
    [[nodiscard]] virtual QString visitAt(int stop) const;
    [[nodiscard]] virtual QString figureAt(int stop) const;
    virtual void zoomBy(double factor);
    /// Returns false when everything was already in view.
    virtual bool zoomAll();
    /// Keys of the plot itself; true when taken.
    virtual bool takeKey(QKeyEvent& event);
    [[nodiscard]] virtual bool wantsKey(const QKeyEvent& event) const;

    void changeEvent(QEvent* event) override;
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    void showEvent(QShowEvent* event) override;

private:
    void refreshInk();
    void layOutMargins();
    [[nodiscard]] bool baseWantsKey(const QKeyEvent& event) const;
    [[nodiscard]] core::Result<void> writeBytes(const QString& path, const QByteArray& bytes) const;

    QCustomPlot* m_canvas;
    std::unique_ptr<PlotInk> m_ink;
    PlotTableModel* m_tableModel;
    QTableView* m_tableView;
    QStackedLayout* m_stack;
    QLabel* m_readout;
    PlotCaption m_caption;
    Role m_ground = Role::Ground;
    std::optional<int> m_cursor;
    int m_paperHeight = 0;  ///< while drawn for paper
};

}  // namespace halfcell::app
