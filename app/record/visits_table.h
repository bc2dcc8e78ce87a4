#pragma once

#include "app/record/record_page.h"

#include <QAbstractTableModel>
#include <QHeaderView>
#include <QTableView>

namespace halfcell::app {

/// The visits of a sensor, newest first, one line each. GUI thread only.
class VisitsModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum Column {
        When,
        Reason,
        FoundFirst,
        FoundOffset,
        FoundT90,
        Did,
        CleanFirst,
        CleanOffset,
        CleanT90,
        LeftFirst,
        LeftOffset,
        LeftT90,
        By,
        Sheet,
        kColumnCount
    };

    using QAbstractTableModel::QAbstractTableModel;

    void setLines(std::vector<VisitLine> lines, core::SensorKind kind);
    [[nodiscard]] const VisitLine* lineAt(int row) const;
    [[nodiscard]] int rowOf(const QString& visit) const;
    [[nodiscard]] core::SensorKind kind() const { return m_kind; }
    /// Phase and figure of a column that shows one.
    struct Shown {
        core::Phase phase = core::Phase::AsFound;
        std::size_t figure = 0;
    };
    [[nodiscard]] static std::optional<Shown> shownIn(int column);
    /// "As found" over the first of three columns; empty elsewhere.
    [[nodiscard]] static QString groupHead(int column);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;

private:
    std::vector<VisitLine> m_lines;
    core::SensorKind m_kind = core::SensorKind::Ph;
};

/// Head with two lines: the phase over its three figures, the unit over each.
class VisitsHead : public QHeaderView {
    Q_OBJECT
public:
    explicit VisitsHead(QWidget* parent = nullptr);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintSection(QPainter* painter, const QRect& rect, int section) const override;
};

/// The table: Enter opens the visit, Ctrl+E the working of the current figure, Ctrl+C copies. GUI thread only.
class VisitsTable : public QTableView {
    Q_OBJECT
public:
    explicit VisitsTable(VisitsModel& model, QWidget* parent = nullptr);

    /// Columns as wide as what stands in them; the dispensable ones are left out where there is no room for all.
    void fitColumns();

Q_SIGNALS:
    void visitAsked(const QString& visit);
    void workingAsked(const QString& visit, halfcell::core::Phase phase, const QString& figure);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void openCurrent();
    [[nodiscard]] int neededWidth(int column) const;

    VisitsModel& m_model;
};

}  // namespace halfcell::app
