#pragma once

#include "app/cabinet/column_use.h"
#include "app/cabinet/page_table.h"
#include "db/mapping/look.h"

#include <QWidget>

class QComboBox;
class QGridLayout;
class QLabel;
class QLineEdit;

namespace halfcell::app {

class TextTableModel;

/// The columns of a file, each with samples and what it is taken as; below, the chosen one to be changed. Columns that the mapping wants
/// and the file has not got stand among them, and so do values that every row has. A table from wide to long is made by giving columns
/// a standard. GUI thread only.
class ColumnsEditor : public QWidget {
    Q_OBJECT
public:
    explicit ColumnsEditor(QWidget* parent = nullptr);

    void show(const db::Mapping& mapping, const db::TableLook& look);
    [[nodiscard]] QTableView* view() const { return m_view; }

Q_SIGNALS:
    void edited(const db::Mapping& mapping);
    /// What was typed and is none of the choices.
    void notUnderstood(const QString& sentence);

private:
    enum class Kind { Column, Missing, Fixed, New };
    struct Line {
        Kind kind;
        std::string name;  ///< theirs; of a fixed value the field
    };
    void build();
    void fillTable();
    void chooseLine();
    void showColumn(const Line& line);
    void showFixed(const Line& line);
    void takeColumn();
    void takeFixed();
    void take();
    void emitEdited();
    [[nodiscard]] const Line* current() const;
    [[nodiscard]] std::vector<std::string> samplesOf(const std::string& column) const;
    [[nodiscard]] std::optional<ColumnUse> chosenUse() const;

    db::Mapping m_mapping;
    db::TableLook m_look;
    std::vector<Line> m_lines;
    std::vector<ColumnUse> m_uses;  ///< the choices, in the order of the box; the first leaves out
    TextTableModel* m_model = nullptr;
    PageTable* m_view = nullptr;
    QLabel* m_title = nullptr;
    QLabel* m_useLabel = nullptr;
    QComboBox* m_use = nullptr;
    QLabel* m_standardLabel = nullptr;
    QComboBox* m_standard = nullptr;
    QLabel* m_phaseLabel = nullptr;
    QComboBox* m_phase = nullptr;
    QLabel* m_unitLabel = nullptr;
    QLineEdit* m_unit = nullptr;
    QLabel* m_wordsLabel = nullptr;
    QLineEdit* m_words = nullptr;
    QLabel* m_valueLabel = nullptr;
    QLineEdit* m_value = nullptr;
};

}  // namespace halfcell::app
