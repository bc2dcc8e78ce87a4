#pragma once

#include "app/frame/find_box.h"
#include "app/frame/scan_watch.h"
#include "app/frame/work_strip.h"

#include <QMainWindow>

#include <functional>
#include <vector>

class QButtonGroup;
class QLabel;
class QPushButton;
class QStackedWidget;
class QVBoxLayout;

namespace halfcell::app {

/// A desk or page as the frame holds it: the widget and what the frame asks of it. Absent functions are fine.
struct DeskEntry {
    QWidget* widget = nullptr;
    QString name;                                   ///< "Register"; empty for pages opened over a desk
    std::function<QString()> sentence;              ///< the shop line; may hold links: <a href="filter">3 need someone now</a>
    std::function<void()> shown;                    ///< called when it comes up
    std::function<QList<QWidget*>()> regions;       ///< F6 walks these; absent: all widgets that take the focus
    std::function<void(const QString&)> link;       ///< a link of the sentence was followed
    bool cabinet = false;                           ///< stands at the right, on F10
};

/// One line of the key table.
struct KeyLine {
    QString keys, does;
};

/// The window: desk words, the one box, shop line, the desk, a side panel, the work strip. Knows no data; a presenter
/// drives it through setters and listens to its signals. GUI thread only.
class Frame : public QMainWindow {
    Q_OBJECT
public:
    explicit Frame(QWidget* parent = nullptr);

    /// Adds a desk; the first four get Ctrl+1 to Ctrl+4, a cabinet F10. Returns its index.
    int addDesk(DeskEntry entry);
    /// Adds a page without a desk word (the record of a sensor, the first-run page).
    int addPage(DeskEntry entry);
    void showDesk(int index);
    /// Shows a page over the present desk; Alt+Left returns.
    void showPage(int index);
    void goBack();
    [[nodiscard]] int current() const;
    [[nodiscard]] QWidget* currentWidget() const;
    /// Asks the present desk for its sentence again.
    void refreshSentence();

    /// Desk words, box and initials are of no use without a book.
    void setBookOpen(bool open);
    void setPerson(const QString& initials);
    /// Empty: now. Otherwise the ground turns `past` and the label says the moment.
    void setAsKnown(const QString& moment);
    /// A panel at the right side, 480 px, over any desk; Esc closes it.
    void showPanel(QWidget* panel, const QString& title);
    void hidePanel();
    [[nodiscard]] bool panelShown() const;

    [[nodiscard]] FindBox* box() const { return m_box; }
    [[nodiscard]] WorkStrip* strip() const { return m_strip; }
    [[nodiscard]] ScanWatch* scanWatch() const { return m_scan; }
    [[nodiscard]] QString sentence() const;
    void setKeyTable(std::vector<KeyLine> lines) { m_keys = std::move(lines); }

Q_SIGNALS:
    void deskChanged(int index);
    void scanned(const QString& text);
    void personAsked();
    void asKnownAsked();
    void holdAsked();              ///< F9, or the strip's holds
    void correctAsked();           ///< Ctrl+Shift+E, or the strip
    void visitAsked();             ///< Ctrl+L
    void helpAsked(const QString& focusName);
    void scaleAsked(int direction);
    void closing(bool& mayClose);

protected:
    void closeEvent(QCloseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void buildTop(QVBoxLayout* layout);
    void shortcuts();
    void walkRegions(int direction);
    void showKeys();
    void paintGround();
    [[nodiscard]] QPushButton* barButton(const QString& name, const QString& text);

    QWidget* m_top = nullptr;
    QWidget* m_words = nullptr;
    QButtonGroup* m_wordGroup = nullptr;
    FindBox* m_box = nullptr;
    QPushButton* m_asKnown = nullptr;
    QPushButton* m_person = nullptr;
    QLabel* m_line = nullptr;
    QStackedWidget* m_stack = nullptr;
    QWidget* m_side = nullptr;
    QLabel* m_sideTitle = nullptr;
    QVBoxLayout* m_sideLayout = nullptr;
    QWidget* m_sidePanel = nullptr;
    WorkStrip* m_strip = nullptr;
    ScanWatch* m_scan = nullptr;
    std::vector<DeskEntry> m_entries;
    std::vector<QPushButton*> m_deskButtons;   ///< parallel to m_entries, nullptr for pages
    std::vector<int> m_backStack;
    std::vector<KeyLine> m_keys;
    int m_desks = 0;
    bool m_past = false;
    QString m_lastHelp;
    qint64 m_lastHelpAt = 0;
};

}  // namespace halfcell::app
