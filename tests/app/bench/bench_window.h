#pragma once

#include "app/bench/bench_desk.h"
#include "app/bench/bench_presenter.h"
#include "app/presenters/shop.h"
#include "app/style/theme.h"

#include <QTemporaryDir>
#include <QWidget>

#include <filesystem>
#include <memory>

namespace halfcell::test {

/// A Bench desk in a window over a real book of the small plant, with a clock that stands until it is moved. Keys go to
/// whatever has the focus, as from a keyboard.
class BenchWindow {
public:
    /// `file`: an existing book; a new one with the small plant otherwise.
    explicit BenchWindow(std::filesystem::path file = {});
    ~BenchWindow();

    [[nodiscard]] bool ready() const { return m_ready; }
    [[nodiscard]] app::Shop& shop() { return *m_shop; }
    [[nodiscard]] app::bench::BenchPresenter& presenter() { return *m_presenter; }
    [[nodiscard]] app::bench::BenchDesk& desk() { return *m_desk; }
    [[nodiscard]] const std::filesystem::path& file() const { return m_file; }
    /// Moves both clocks.
    void wait(double seconds);
    /// One key to the widget with the focus; counted unless it is a digit, a sign or a point.
    void key(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier);
    /// Characters, each as its own key event.
    void type(const char* text);
    [[nodiscard]] int counted() const { return m_counted; }
    void countFromHere() { m_counted = 0; }
    template <class W>
    [[nodiscard]] W* find(const char* name)
    {
        return m_desk->findChild<W*>(QString::fromLatin1(name));
    }
    /// Opens a visit by scanning, and waits for the form.
    [[nodiscard]] bool open(const char* code);
    [[nodiscard]] QString focusName() const;
    void settle();

private:
    std::unique_ptr<QTemporaryDir> m_folder;
    std::filesystem::path m_file;
    core::Instant m_now;
    double m_seconds = 1000.0;
    int m_counted = 0;
    bool m_ready = false;
    std::unique_ptr<app::Theme> m_theme;
    std::unique_ptr<app::Shop> m_shop;
    std::unique_ptr<app::bench::BenchPresenter> m_presenter;
    std::unique_ptr<app::bench::BenchDesk> m_desk;
};

}  // namespace halfcell::test
