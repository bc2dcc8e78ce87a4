#pragma once

#include "app/record/visit_page.h"

#include <QAbstractTableModel>
#include <QStyledItemDelegate>
#include <QTableView>
#include <QWidget>

class QComboBox;
class QLabel;
class QLineEdit;
class QScrollArea;
class QVBoxLayout;

namespace halfcell::app {

/// One section of a visit as a table. GUI thread only.
class VisitSectionModel : public QAbstractTableModel {
    Q_OBJECT
public:
    explicit VisitSectionModel(VisitSection section, QObject* parent = nullptr);

    [[nodiscard]] const VisitSection& section() const { return m_section; }
    [[nodiscard]] const VisitCell* cellAt(const QModelIndex& index) const;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;

private:
    VisitSection m_section;
};

/// Draws a cell with what stood there before struck through beside it.
class VisitCellDelegate : public QStyledItemDelegate {
    Q_OBJECT
public:
    explicit VisitCellDelegate(const VisitSectionModel& model, QObject* parent);
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;

private:
    const VisitSectionModel& m_model;
};

/// The form of a correction: the old value struck through beside the new one, and why. GUI thread only.
class CorrectForm : public QWidget {
    Q_OBJECT
public:
    explicit CorrectForm(QWidget* parent = nullptr);

    void open(const QString& label, const VisitCell& cell);
    void say(const QString& sentence);

Q_SIGNALS:
    void correctAsked(const QString& typed, const QString& why);
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void ask();

    QLabel* m_label;
    QLabel* m_old;
    QLineEdit* m_new;
    QComboBox* m_why;
    QLabel* m_note;
};

/// A visit read-only: all raw millivolts, standards, lots, temperatures, actions, checks, corrections. Ctrl+Shift+E
/// corrects the current cell; Esc closes. GUI thread only.
class VisitView : public QWidget {
    Q_OBJECT
public:
    explicit VisitView(QWidget* parent = nullptr);

    void setPage(VisitPage page);
    [[nodiscard]] const VisitPage& page() const { return m_page; }
    /// Puts the focus on the reading of a working ("as_found/ph7.00/1"); false if the visit has none such.
    bool goToReading(const QString& reading);
    void takeFocus();
    /// Opens the form for the current cell.
    void openCorrection();
    void closeCorrection();
    void say(const QString& sentence);

Q_SIGNALS:
    void correctAsked(const halfcell::app::VisitSection& section, const halfcell::app::VisitCell& cell, const QString& typed, const QString& why);
    void closed();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    [[nodiscard]] QTableView* currentTable() const;
    void addSection(QVBoxLayout& column, const VisitSection& section, int number);

    VisitPage m_page;
    QLabel* m_title;
    QScrollArea* m_area;
    CorrectForm* m_form;
    std::vector<QTableView*> m_tables;
    std::optional<VisitPage::Spot> m_correcting;
};

}  // namespace halfcell::app
