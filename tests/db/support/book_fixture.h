#pragma once

#include "db/book/book.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <utility>

namespace halfcell::db::testing {

[[nodiscard]] inline core::Instant at(const char* text)
{
    return *core::parseInstant(text);
}

/// A folder of its own for each test, gone when the test is over.
class Folder {
public:
    Folder()
    {
        static int count = 0;
        const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
        m_path = std::filesystem::temp_directory_path() /
                 ("halfcell_" + std::to_string(::getpid()) + "_" + info->name() + "_" + std::to_string(count++));
        std::filesystem::create_directories(m_path);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder()
    {
        std::error_code ec;
        std::filesystem::remove_all(m_path, ec);
    }
    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return m_path / name; }
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

/// Fails the test with the error's words if there is one.
#define ASSERT_DONE(expression)                                                                                            \
    do {                                                                                                                   \
        const auto& result_ = (expression);                                                                                \
        ASSERT_TRUE(result_.has_value()) << result_.error().detail << " / " << result_.error().field << " / " << result_.error().file; \
    } while (false)

[[nodiscard]] inline core::Reading reading(const char* when, core::Phase phase, const char* standard, double mv, double temp = 25.0)
{
    core::Reading r;
    r.when = at(when);
    r.recorded = r.when;
    r.phase = phase;
    r.standard = standard;
    r.mv = mv;
    r.temp_degc = temp;
    r.dip = 0;
    return r;
}

/// A small shop: one site, two points, a pH and an ORP model, three sensors, two of them placed.
[[nodiscard]] core::Records smallShop();
/// A visit to K7-0412 with four readings and two actions.
[[nodiscard]] core::Visit ordinaryVisit(const std::string& key, const char* day);

}  // namespace halfcell::db::testing
