#pragma once

#include "app/presenters/shop.h"

#include <QWidget>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QSpinBox;

namespace halfcell::app {

/// Writes the book out: all tables as a folder or a workbook, due work as a calendar, the record of one sensor. What is there already is
/// never overwritten. GUI thread only.
class ExportPart : public QWidget {
    Q_OBJECT
public:
    ExportPart(Shop& shop, QWidget* parent = nullptr);

private:
    enum What { Folder, Workbook, Calendar, Record };
    void build();
    void chooseWhat();
    void write();
    void say(const QString& sentence);
    void written(const QString& path, const core::Result<std::size_t>& answer, const QString& one, const QString& many);

    Shop& m_shop;
    QComboBox* m_what = nullptr;
    QLabel* m_serialLabel = nullptr;
    QComboBox* m_serial = nullptr;
    QLabel* m_daysLabel = nullptr;
    QSpinBox* m_days = nullptr;
    QLabel* m_pathLabel = nullptr;
    QLineEdit* m_path = nullptr;
    QPushButton* m_write = nullptr;
    QLabel* m_happens = nullptr;
    QLabel* m_sentence = nullptr;
};

}  // namespace halfcell::app
