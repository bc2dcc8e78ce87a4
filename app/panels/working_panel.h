#pragma once

#include "app/panels/working_page.h"

#include <QWidget>

class QLabel;
class QPushButton;
class QTextBrowser;

namespace halfcell::app {

/// The Working of one figure (right side, 480 px, over any screen). Space shows full digits and rounds again; Tab walks
/// the inputs that are readings and Enter jumps to the reading; Ctrl+C copies all of it as plain text; Esc closes.
/// GUI thread only.
class WorkingPanel : public QWidget {
    Q_OBJECT
public:
    explicit WorkingPanel(QWidget* parent = nullptr);

    /// Shows a page and takes the focus; refused (false) for a page that explains nothing.
    bool setPage(WorkingPage page);
    [[nodiscard]] const WorkingPage& page() const { return m_page; }
    [[nodiscard]] bool fullDigits() const { return m_full; }
    void setFullDigits(bool full);
    /// What Ctrl+C and the button put on the clipboard.
    [[nodiscard]] QString plainText() const { return plainWorking(m_page, m_full); }

    [[nodiscard]] QSize sizeHint() const override;

Q_SIGNALS:
    void closeAsked();
    /// An input that is a raw reading was opened: its visit, and "as_found/ph7.00/1".
    void readingAsked(const QString& visit, const QString& reading);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void render();
    void copy();

    WorkingPage m_page;
    bool m_full = false;
    QLabel* m_title;
    QLabel* m_stamp;
    QPushButton* m_copy;
    QPushButton* m_digits;
    QTextBrowser* m_text;
};

}  // namespace halfcell::app
