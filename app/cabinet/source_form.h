#pragma once

#include "db/mapping/look.h"
#include "db/mapping/mapping.h"

#include <QWidget>

class QComboBox;
class QLabel;
class QLineEdit;
class QSpinBox;

namespace halfcell::app {

/// How the file is written: encoding, separator, where the names stand, decimals, dates, and what its lines are. Every field is a
/// guess until it is changed. GUI thread only.
class SourceForm : public QWidget {
    Q_OBJECT
public:
    explicit SourceForm(QWidget* parent = nullptr);

    /// Shows a mapping and what was found where it leaves a thing to the file.
    void show(const db::Mapping& mapping, const db::TableLook& look);

Q_SIGNALS:
    /// The mapping as the fields say now; everything else in it is as it was shown.
    void edited(const db::Mapping& mapping);

private:
    void build();
    void take();
    void choices();

    db::Mapping m_mapping;
    QComboBox* m_encoding = nullptr;
    QComboBox* m_separator = nullptr;
    QComboBox* m_sheet = nullptr;
    QLabel* m_encodingLabel = nullptr;
    QLabel* m_separatorLabel = nullptr;
    QLabel* m_sheetLabel = nullptr;
    QComboBox* m_table = nullptr;
    QSpinBox* m_headerLine = nullptr;
    QSpinBox* m_headerLines = nullptr;
    QComboBox* m_visit = nullptr;
    QComboBox* m_decimal = nullptr;
    QComboBox* m_thousands = nullptr;
    QComboBox* m_dates = nullptr;
    QSpinBox* m_years = nullptr;
    QLineEdit* m_offset = nullptr;
    QLineEdit* m_empty = nullptr;
};

}  // namespace halfcell::app
