// Started by desktop_bench: shows a window and leaves once it was painted. `floor`: an empty main window; `full`: the Register's table
// with 2,000 rows beside a life line of three panels with 1,000 points each.
#include "app/plots/life_line_plot.h"
#include "app/register/register_model.h"
#include "app/register/register_table.h"
#include "app/style/theme.h"
#include "tests/bench/life_line_case.h"

#include <QApplication>
#include <QHBoxLayout>
#include <QMainWindow>

#include <cstring>

namespace {

using namespace halfcell::app;

/// Leaves the program at the first paint event of the window's contents.
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

RegisterModel::Rows rows(std::size_t count)
{
    auto all = std::make_shared<std::vector<RegisterRow>>();
    for (std::size_t i = 0; i < count; ++i) {
        RegisterRow row;
        row.key = row.serial = QStringLiteral("K7-%1").arg(i, 4, 10, QLatin1Char('0'));
        row.tag = QStringLiteral("AE-%1").arg(i, 4, 10, QLatin1Char('0'));
        row.kindWords = QStringLiteral("pH");
        row.condition = halfcell::core::Signal::Normal;
        row.signalWords = QStringLiteral("normal");
        row.efficiency = {.value = 90.0 + static_cast<double>(i % 80) / 10.0, .expanded = 1.5, .quiet = true};
        row.offset = {.value = -10.0 + static_cast<double>(i % 200) / 10.0, .sign = Sign::Always, .quiet = true};
        row.t90 = {.value = 24.0, .decimals = 0, .quiet = true};
        row.next = QStringLiteral("leave");
        row.folded = row.serial.toLower();
        all->push_back(std::move(row));
    }
    return all;
}

}  // namespace

int main(int argc, char** argv)
{
    const bool full = argc > 1 && std::strcmp(argv[1], "full") == 0;
    QApplication application(argc, argv);
    QMainWindow window;
    window.resize(1280, 800);
    auto* contents = new QWidget(&window);
    std::unique_ptr<Theme> theme;
    RegisterModel model;
    if (full) {
        theme = std::make_unique<Theme>(application);
        auto* row = new QHBoxLayout(contents);
        model.setRows(rows(2000));
        auto* table = new RegisterTable(model, contents);
        auto* plot = new LifeLinePlot(contents);
        plot->setSeries(halfcell::bench::lifeLine(1000));
        row->addWidget(table, 1);
        row->addWidget(plot, 1);
    }
    window.setCentralWidget(contents);
    LeaveWhenPainted leave;
    contents->installEventFilter(&leave);
    window.show();
    return QApplication::exec();
}
