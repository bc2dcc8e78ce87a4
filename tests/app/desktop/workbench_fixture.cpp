#include "tests/app/desktop/workbench_fixture.h"

#include <QApplication>
#include <QTest>

#include <gtest/gtest.h>

namespace halfcell::test {

using namespace app;

WholeProgram::WholeProgram(bool onBook)
{
    m_settings = std::make_unique<QSettings>(m_folder.filePath(QStringLiteral("settings.ini")), QSettings::IniFormat);
    if (onBook)
        std::filesystem::copy_file(demoMaster(), std::filesystem::path(m_folder.path().toStdString()) / "demo.halfcell");
    start(onBook);
}

void WholeProgram::startAgain()
{
    frame().close();
    settle();
    m_workbench.reset();
    m_shop.reset();
    m_theme.reset();
    start(true);
}

void WholeProgram::start(bool onBook)
{
    m_theme = std::make_unique<Theme>(*qApp);
    m_theme->setChoice(ThemeChoice::Light);
    m_shop = std::make_unique<Shop>([] { return testNow(); });
    m_shop->setPerson(QStringLiteral("T1"));
    m_workbench = std::make_unique<Workbench>(*m_shop, m_prompts, *m_theme, *m_settings);
    frame().resize(1280, 800);
    frame().show();
    frame().activateWindow();
    EXPECT_TRUE(QTest::qWaitForWindowActive(&frame()));
    std::filesystem::path book;
    if (onBook)
        book = std::filesystem::path(m_folder.path().toStdString()) / "demo.halfcell";
    m_workbench->start(book);
    if (onBook) {
        EXPECT_TRUE(waitFor([this] { return m_shop->isOpen() && m_shop->overview() != nullptr; }));
        settle();
    }
}

WholeProgram::~WholeProgram()
{
    m_shop->settle();
    m_workbench.reset();
    m_shop.reset();
}

void WholeProgram::key(Qt::Key key, Qt::KeyboardModifiers modifiers)
{
    ++m_keys;
    QTest::keyClick(QApplication::focusWidget() ? QApplication::focusWidget() : &frame(), key, modifiers);
    QCoreApplication::processEvents();
}

void WholeProgram::type(const char* text)
{
    for (const char* c = text; *c != 0; ++c) {
        ++m_keys;
        QTest::keyClick(QApplication::focusWidget() ? QApplication::focusWidget() : &frame(), *c, Qt::NoModifier, 50);
    }
}

void WholeProgram::settle()
{
    m_shop->settle();
    QTest::qWait(150);
    m_shop->settle();
    QCoreApplication::processEvents();
}

QString WholeProgram::focusName() const
{
    const QWidget* focus = QApplication::focusWidget();
    return focus ? focus->objectName() : QString();
}

}  // namespace halfcell::test
