// The main of every widget test program: offscreen unless told otherwise, a private run-time folder, the C locale, UTC.
#include "tests/support/qt/watched_application.h"

#include <QLocale>
#include <QTemporaryDir>

#include <gtest/gtest.h>

#include <clocale>

int main(int argc, char** argv)
{
    ::testing::InitGoogleTest(&argc, argv);
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    QTemporaryDir runtime;  // made with mode 0700, as Qt asks of the run-time folder
    if (qEnvironmentVariableIsEmpty("XDG_RUNTIME_DIR"))
        qputenv("XDG_RUNTIME_DIR", runtime.path().toLocal8Bit());
    // Settings and state of a test never touch the user's.
    qputenv("XDG_CONFIG_HOME", runtime.path().toLocal8Bit());
    qputenv("XDG_DATA_HOME", runtime.path().toLocal8Bit());
    qputenv("TZ", "UTC");
    QLocale::setDefault(QLocale::c());
    halfcell::test::WatchedApplication app(argc, argv);
    std::setlocale(LC_NUMERIC, "C");
    return RUN_ALL_TESTS();
}
