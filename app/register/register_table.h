#pragma once

#include "app/register/register_model.h"

#include <QTableView>
#include <QTreeView>

namespace halfcell::app {

/// The table of the Register: whole rows chosen, one current cell (its figure answers Ctrl+E and Ctrl+C). Letters go to the
/// box; the first two columns stay when it is narrower than its columns. GUI thread only.
class RegisterTable : public QTableView {
    Q_OBJECT
public:
    explicit RegisterTable(RegisterModel& model, QWidget* parent = nullptr);

    /// The row the next key acts on; nullptr if none.
    [[nodiscard]] const RegisterRow* currentRow() const;
    /// Chooses a row by key without moving the column; false if it is not shown.
    bool choose(const QString& key);
    /// True once a key or the mouse acted on the table.
    [[nodiscard]] bool touched() const { return m_touched; }
    /// Columns that fit, least needed ones left out first; with room to spare Place, Class and By come in.
    void fitColumns(int width);

Q_SIGNALS:
    void opened();
    void peekAsked();
    void typed(const QString& letters);
    void rowChosen();

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;

private:
    void setRowHeight();
    void applySpans();
    void copy(bool full) const;

    RegisterModel& m_model;
    bool m_spanned = false;
    bool m_touched = false;
    QString m_keptKey;
    int m_keptColumn = 0;
};

/// The left column. Left and Right fold a site, letters go to the box. GUI thread only.
class PlacesTree : public QTreeView {
    Q_OBJECT
public:
    explicit PlacesTree(PlacesModel& model, QWidget* parent = nullptr);

Q_SIGNALS:
    void placeChosen(const halfcell::app::Place& place);
    void opened();
    void typed(const QString& letters);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;

private:
    PlacesModel& m_model;
};

/// True for a key press that types a letter, digit or sign and is no chord.
[[nodiscard]] bool typesText(const QKeyEvent& event);

}  // namespace halfcell::app
