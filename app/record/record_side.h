#pragma once

#include "app/record/record_outlook.h"
#include "app/record/record_page.h"

#include <QScrollArea>

class QVBoxLayout;

namespace halfcell::app {

/// The right column of the Record: what it is (findings with what speaks for and against, those of little weight in one line
/// that opens them), what next (action, every step with its cautions), the outlook with its working, tasks with why. GUI thread only.
class RecordSide : public QScrollArea {
    Q_OBJECT
public:
    explicit RecordSide(QWidget* parent = nullptr);

    void setPage(const RecordPage& page, const OutlookWords& outlook = {});
    void clear();

Q_SIGNALS:
    void outlookWorkingAsked();

protected:
    void keyPressEvent(QKeyEvent* event) override;

private:
    void fill(QVBoxLayout& column, const RecordPage& page, const OutlookWords& outlook);
    static void fillReasons(QVBoxLayout& column, const FindingWords& finding);
    void fillMinor(QVBoxLayout& column, const RecordPage& page);
    void fillOutlook(QVBoxLayout& column, const OutlookWords& outlook);
    static void fillNext(QVBoxLayout& column, const NextWords& next);
    void replaceWith(QWidget* content);
};

}  // namespace halfcell::app
