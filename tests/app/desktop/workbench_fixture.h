#pragma once

#include "app/desktop/workbench.h"
#include "tests/support/qt/scripted_prompts.h"
#include "tests/support/shop/demo_shop.h"

#include <QTemporaryDir>

namespace halfcell::test {

/// The whole program on its own copy of the demo plant, at testNow(), with scripted answers and settings of its own.
class WholeProgram {
public:
    /// `onBook` false: started with no book.
    explicit WholeProgram(bool onBook = true);
    ~WholeProgram();

    [[nodiscard]] app::Workbench& workbench() { return *m_workbench; }
    [[nodiscard]] app::Frame& frame() { return m_workbench->frame(); }
    [[nodiscard]] app::Shop& shop() { return *m_shop; }
    [[nodiscard]] app::Theme& theme() { return *m_theme; }
    [[nodiscard]] ScriptedPrompts& prompts() { return m_prompts; }

    /// Closes the window and starts the program anew, with the same settings and book.
    void startAgain();

    /// Gives a key to the widget with the focus, as a hand would.
    void key(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier);
    void type(const char* text);
    /// Turns the event loop until nothing is on the way any more.
    void settle();
    [[nodiscard]] QString focusName() const;
    [[nodiscard]] int keys() const { return m_keys; }

private:
    void start(bool onBook);

    QTemporaryDir m_folder;
    ScriptedPrompts m_prompts;
    std::unique_ptr<QSettings> m_settings;
    std::unique_ptr<app::Theme> m_theme;
    std::unique_ptr<app::Shop> m_shop;
    std::unique_ptr<app::Workbench> m_workbench;
    int m_keys = 0;
};

}  // namespace halfcell::test
