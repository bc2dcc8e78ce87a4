#pragma once

#include "app/presenters/shop.h"

#include <QTemporaryDir>

#include <functional>
#include <memory>

namespace halfcell::test {

/// Turns the event loop until `done` is true; false after `milliseconds`.
bool waitFor(const std::function<bool()>& done, int milliseconds = 60000);

/// Monday 2 March 2026, 08:47 UTC: the moment all desktop tests live in.
[[nodiscard]] core::Instant testNow();

/// The demo plant as a file of this test program; copy it before writing.
[[nodiscard]] const std::filesystem::path& demoMaster();

/// A shop with its own copy of the demo plant open (made once per program) and its overview worked out.
class DemoShop {
public:
    DemoShop();
    [[nodiscard]] app::Shop& shop() { return *m_shop; }
    [[nodiscard]] std::filesystem::path folder() const { return m_folder.path().toStdString(); }

private:
    QTemporaryDir m_folder;
    std::unique_ptr<app::Shop> m_shop;
};

}  // namespace halfcell::test
