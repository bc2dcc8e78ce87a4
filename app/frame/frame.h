#pragma once

#include "app/frame/find_box.h"
#include "app/frame/frame_keys.h"
#include "app/frame/scan_watch.h"
#include "app/frame/work_strip.h"
#include "app/style/metrics.h"

#include <QHash>
#include <QMainWindow>
#include <QPointer>

#include <functional>
#include <vector>

class QButtonGroup;
class QFrame;
class QHBoxLayout;
class QLabel;
class QPushButton;
class QStackedWidget;
class QTextBrowser;
class QVBoxLayout;

namespace halfcell::app {

/// A desk or page as the frame holds it: the widget and what the frame asks of it. Absent functions are fine.
struct DeskEntry {
    QWidget* widget = nullptr;
    QString name = {};                              ///< "Register"; empty for pages opened over a desk
    std::function<QString()> sentence = {};         ///< the shop line; may hold links: <a href="filter">3 need someone now</a>
    std::function<void()> shown = {};               ///< called when it comes up
    std::function<QList<QWidget*>()> regions = {};  ///< F6 walks these; absent: the widget is one region
    std::function<void(const QString&)> link = {};  ///< a link of the sentence was followed
    bool cabinet = false;                           ///< stands at the right, on F10
};

/// The window: desk words, the one box, shop line, the desk, a side panel, the work strip. Knows no data; a presenter
/// drives it through setters and listens to its signals. GUI thread only.
///
/// Regions (F6, Shift+F6) are those of the desk in reading order, then the panel, the work strip, the shop line if it
/// has links, and the bar; coming back to a region returns to the widget that had the focus there. In a window under 900
/// px wide (at scale 1) one region of the desk is shown at a time, and F6 goes on to the next.
class Frame : public QMainWindow {
    Q_OBJECT
public:
    explicit Frame(QWidget* parent = nullptr);
    ~Frame() override;

    /// Adds a desk; the first four get Ctrl+1 to Ctrl+4, a cabinet F10. Returns its index.
    int addDesk(DeskEntry entry);
    /// Adds a page without a desk word (the record of a sensor, the first-run page).
    int addPage(DeskEntry entry);
    void showDesk(int index);
    /// Shows a page over the present desk; Alt+Left returns to the widget that had the focus.
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
    /// Something every desk must know before anything is done (a broken chain); stands first in the shop line. Empty: nothing.
    void setWarning(const QString& warning);
    /// A panel at the right side, 480 px (the whole width in a narrow window), over any desk; Esc closes it and gives the
    /// focus back. The panel stays the caller's; the frame is its parent while it is shown.
    void showPanel(QWidget* panel, const QString& title);
    void hidePanel();
    [[nodiscard]] bool panelShown() const;
    /// Help printed from the key table, in the side panel.
    void showKeys();

    [[nodiscard]] FindBox* box() const { return m_box; }
    [[nodiscard]] WorkStrip* strip() const { return m_strip; }
    [[nodiscard]] ScanWatch* scanWatch() const { return m_scan; }
    [[nodiscard]] QString sentence() const;
    /// Lines of the screen; the window's own are added from `frameKeys()`.
    void setKeyTable(std::vector<KeyLine> lines) { m_keys = std::move(lines); }
    [[nodiscard]] WidthClass widthClass() const { return m_widthClass; }

Q_SIGNALS:
    void deskChanged(int index);
    void scanned(const QString& text);
    void personAsked();
    void asKnownAsked();  ///< Ctrl+T, or the label
    void nowAsked();      ///< Esc while an earlier moment is shown
    void holdAsked();     ///< F9, or the strip's holds
    void correctAsked();  ///< Ctrl+Shift+E, or the strip
    void visitAsked();    ///< Ctrl+L
    void helpAsked(const QString& focusName);
    void scaleAsked(int direction);
    void widthClassChanged(WidthClass width);
    void closing(bool& mayClose);

protected:
    void closeEvent(QCloseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Return {
        int index = -1;
        QPointer<QWidget> focus;
    };

    void buildTop(QVBoxLayout* layout);
    void buildLine(QVBoxLayout* layout);
    void buildSide(QWidget* central);
    void makeShortcuts();
    void act(FrameAct what);
    void help();
    void bringUp(int index);
    [[nodiscard]] QList<QWidget*> deskRegions() const;
    [[nodiscard]] QList<QWidget*> regions() const;
    [[nodiscard]] QWidget* landingOf(QWidget* region) const;
    void walkRegions(int direction);
    void rememberFocus(QWidget* now);
    void foldRegions();
    void applyMetrics();
    void applyWidth();
    void placeSide();
    void paintGround();

    QWidget* m_top = nullptr;
    QHBoxLayout* m_topLayout = nullptr;
    QWidget* m_words = nullptr;
    QButtonGroup* m_wordGroup = nullptr;
    FindBox* m_box = nullptr;
    QPushButton* m_asKnown = nullptr;
    QPushButton* m_person = nullptr;
    QLabel* m_line = nullptr;
    QStackedWidget* m_stack = nullptr;
    QFrame* m_side = nullptr;
    QLabel* m_sideTitle = nullptr;
    QPushButton* m_sideClose = nullptr;
    QVBoxLayout* m_sideLayout = nullptr;
    QPointer<QWidget> m_sidePanel;
    QTextBrowser* m_keysPage = nullptr;
    WorkStrip* m_strip = nullptr;
    ScanWatch* m_scan = nullptr;
    std::vector<DeskEntry> m_entries;
    std::vector<QPushButton*> m_deskButtons;  ///< parallel to m_entries, nullptr for pages
    std::vector<Return> m_backStack;
    QHash<QWidget*, QPointer<QWidget>> m_lastFocus;  ///< by region
    QPointer<QWidget> m_focusBeforePanel;
    QPointer<QWidget> m_openRegion;  ///< the one shown in a narrow window
    std::vector<KeyLine> m_keys;
    int m_desks = 0;
    bool m_past = false;
    QString m_moment;
    QString m_warning;
    WidthClass m_widthClass = WidthClass::Normal;
    QString m_lastHelp;
    qint64 m_lastHelpAt = 0;
};

}  // namespace halfcell::app
