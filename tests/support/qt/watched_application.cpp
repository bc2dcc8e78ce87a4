#include "tests/support/qt/watched_application.h"

#include <QElapsedTimer>
#include <QEvent>
#include <QMetaEnum>
#include <QPointer>

#include <ctime>

namespace halfcell::test {

namespace {

double threadCpuMs()
{
    std::timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) / 1e6;
}

std::string describe(const QObject* receiver, int type)
{
    std::string text;
    if (receiver != nullptr) {
        text = receiver->metaObject()->className();
        if (!receiver->objectName().isEmpty())
            text += " " + receiver->objectName().toStdString();
    }
    const char* name = QMetaEnum::fromType<QEvent::Type>().valueToKey(type);
    return text + ", event " + (name != nullptr ? std::string(name) : std::to_string(type));
}

}  // namespace

WatchedApplication::WatchedApplication(int& argc, char** argv) : QApplication(argc, argv) {}

bool WatchedApplication::notify(QObject* receiver, QEvent* event)
{
    if (m_depth > 0)
        return QApplication::notify(receiver, event);
    const int type = event->type();
    const QPointer<QObject> kept(receiver);
    const double cpuBefore = threadCpuMs();
    QElapsedTimer timer;
    timer.start();
    ++m_depth;
    const bool answer = QApplication::notify(receiver, event);
    --m_depth;
    const double wall = static_cast<double>(timer.nsecsElapsed()) / 1e6;
    if (wall > m_limitMs)
        m_held.push_back({wall, threadCpuMs() - cpuBefore, describe(kept, type)});
    return answer;
}

WatchedApplication& application()
{
    return *qobject_cast<WatchedApplication*>(QCoreApplication::instance());
}

}  // namespace halfcell::test
