#include "app/desktop/workbench.h"

#include <QApplication>
#include <QCommandLineParser>
#include <QDateTime>
#include <QEvent>

#include <cstdio>

namespace {

/// Now, with the machine's own offset.
halfcell::core::Instant machineNow()
{
    const QDateTime now = QDateTime::currentDateTime();
    return {now.toSecsSinceEpoch(), now.offsetFromUtc() / 60};
}

/// Ends the program once what it watches was painted for the first time.
class LeaveWhenPainted : public QObject {
public:
    using QObject::QObject;
    bool eventFilter(QObject* watched, QEvent* event) override
    {
        if (event->type() == QEvent::Paint)
            QMetaObject::invokeMethod(
                qApp, [] { QApplication::exit(0); }, Qt::QueuedConnection);
        return QObject::eventFilter(watched, event);
    }
};

}  // namespace

int main(int argc, char** argv)
{
    using namespace halfcell::app;
    QApplication application(argc, argv);
    QApplication::setApplicationName(QStringLiteral("halfcell"));
    QApplication::setApplicationVersion(QStringLiteral(HALFCELL_VERSION));
    QApplication::setOrganizationName(QStringLiteral("halfcell"));
    QCommandLineParser parser;
    parser.setApplicationDescription(QApplication::translate("main", "Halfcell: calibration, health and upkeep of pH and ORP sensors"));
    parser.addHelpOption();
    parser.addVersionOption();
    parser.addPositionalArgument(QStringLiteral("book"), QApplication::translate("main", "the book to open"), QStringLiteral("[book]"));
    const QCommandLineOption firstPaint(
        QStringLiteral("first-paint"),
        QApplication::translate("main", "leave after the window was first painted (for measuring the start)"));
    parser.addOption(firstPaint);
    parser.process(application);

    QSettings settings(QSettings::IniFormat, QSettings::UserScope, QStringLiteral("halfcell"), QStringLiteral("halfcell"));
    Theme theme(application);
    DialogPrompts prompts;
    Shop shop(machineNow);
    Workbench workbench(shop, prompts, theme, settings);
    workbench.frame().show();
    const QStringList books = parser.positionalArguments();
    workbench.start(books.isEmpty() ? std::filesystem::path() : std::filesystem::path(books.first().toStdString()));
    LeaveWhenPainted leave;
    if (parser.isSet(firstPaint))
        workbench.frame().centralWidget()->installEventFilter(&leave);
    return QApplication::exec();
}
