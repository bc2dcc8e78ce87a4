#include "tests/app/bench/bench_window.h"

#include "db/book/book.h"
#include "tests/app/bench/bench_fixture.h"

#include <QApplication>
#include <QSettings>
#include <QSignalSpy>
#include <QTest>

namespace halfcell::test {

using namespace app;
using namespace app::bench;

BenchWindow::BenchWindow(std::filesystem::path file) : m_folder(std::make_unique<QTemporaryDir>()), m_file(std::move(file)), m_now(testNow())
{
    if (m_file.empty()) {
        QSettings().clear();
        m_file = std::filesystem::path(m_folder->path().toStdString()) / "plant.halfcell";
        const db::BookStamp stamp{.person = "T1", .now = m_now};
        auto book = db::Book::create(m_file, stamp);
        if (!book || !book->add(benchRecords(), stamp) || !book->refreshLatest({}, m_now))
            return;
    }
    m_theme = std::make_unique<Theme>(*qApp);
    m_theme->setChoice(ThemeChoice::Light);
    m_shop = std::make_unique<Shop>([this] { return m_now; });
    m_presenter = std::make_unique<BenchPresenter>(*m_shop, [this] { return m_seconds; });
    m_desk = std::make_unique<BenchDesk>(*m_presenter);
    QSignalSpy opened(m_shop.get(), &Shop::bookOpened);
    m_shop->setPerson(QStringLiteral("T1"));
    m_shop->open(m_file);
    if (!QTest::qWaitFor([&] { return opened.count() > 0; }, 20000))
        return;
    m_desk->resize(1280, 694);
    m_desk->show();
    m_desk->activateWindow();
    m_ready = QTest::qWaitForWindowActive(m_desk.get());
    m_desk->takeFocus();
}

BenchWindow::~BenchWindow()
{
    if (m_shop)
        settle();
    m_desk.reset();
    m_presenter.reset();
    m_shop.reset();
}

void BenchWindow::settle()
{
    m_shop->settle();
}

void BenchWindow::wait(double seconds)
{
    m_seconds += seconds;
    m_now.utcSeconds += static_cast<std::int64_t>(seconds);
}

void BenchWindow::key(Qt::Key key, Qt::KeyboardModifiers modifiers)
{
    ++m_counted;
    QTest::keyClick(QApplication::focusWidget() ? QApplication::focusWidget() : m_desk.get(), key, modifiers);
}

void BenchWindow::type(const char* text)
{
    for (const char* c = text; *c != 0; ++c) {
        const bool free = (*c >= '0' && *c <= '9') || *c == '+' || *c == '-' || *c == '.' || *c == ',';
        m_counted += free ? 0 : 1;
        QTest::keyClick(QApplication::focusWidget() ? QApplication::focusWidget() : m_desk.get(), *c);
    }
}

bool BenchWindow::open(const char* code)
{
    m_presenter->scan(QString::fromLatin1(code));
    return QTest::qWaitFor([&] { return m_presenter->hasVisit() && m_desk->visitPage() != nullptr; }, 20000);
}

QString BenchWindow::focusName() const
{
    const QWidget* focus = QApplication::focusWidget();
    return focus ? focus->objectName() : QString();
}

}  // namespace halfcell::test
