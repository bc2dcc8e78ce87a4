#pragma once

#include "app/record/record_outlook.h"
#include "app/record/record_page.h"

#include <QScrollArea>
#include <QString>
#include <QTimer>

#include <vector>

class QVBoxLayout;

namespace halfcell::app {

/// The right column of the Record: what it is (findings with what speaks for and against, those of little weight in one line
/// that opens them), what next (action, every step with its cautions), the outlook with its working, tasks with why. GUI thread only.
class RecordSide : public QScrollArea {
    Q_OBJECT
public:
    explicit RecordSide(QWidget* parent = nullptr);

    /// The column is built once what is on the way has been gone through: page, outlook and tasks come close behind each other.
    void setPage(const RecordPage& page, const OutlookWords& outlook = {});
    void clear();

Q_SIGNALS:
    void outlookWorkingAsked();

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    /// What stands in the column.
    struct Shown {
        std::vector<FindingWords> findings = {};
        QString remainder = {}, testWords = {};
        NextWords next = {};
        OutlookWords outlook = {};
        int spacing = 0;
        bool operator==(const Shown&) const = default;
    };
    void build();
    void fill(QVBoxLayout& column, const Shown& page);
    static void fillReasons(QVBoxLayout& column, const FindingWords& finding);
    void fillMinor(QVBoxLayout& column, const std::vector<FindingWords>& findings);
    void fillOutlook(QVBoxLayout& column, const OutlookWords& outlook);
    static void fillNext(QVBoxLayout& column, const NextWords& next);
    void replaceWith(QWidget* content);

    Shown m_shown;
    bool m_filled = false;
    QTimer m_build;
};

}  // namespace halfcell::app
