#pragma once

#include "app/register/register_presenter.h"

#include <QWidget>

class QBoxLayout;
class QLabel;

namespace halfcell::app {

class LifeLinePlot;

/// The chosen row in a few lines: sentence, little life line, keys. Under the table, or a column at the right of it.
/// GUI thread only.
class RegisterPeek : public QWidget {
    Q_OBJECT
public:
    explicit RegisterPeek(QWidget* parent = nullptr);

    void setPage(const PeekPage& page);
    void clear();
    /// A column beside the table (true) or a band under it.
    void setColumn(bool column);

private:
    QLabel* m_serial;
    QLabel* m_place;
    QLabel* m_sentence;
    LifeLinePlot* m_plot;
    QLabel* m_keys;
    QBoxLayout* m_head;
};

}  // namespace halfcell::app
