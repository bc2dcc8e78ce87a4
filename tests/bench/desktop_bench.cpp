#include "app/plots/life_line_plot.h"
#include "app/plots/qcustomplot_header.h"
#include "app/style/theme.h"
#include "tests/bench/interleaved.h"
#include "tests/bench/life_line_case.h"
#include "tests/bench/process.h"

#include <QApplication>
#include <QImage>
#include <QPainter>

#include <cmath>
#include <cstdlib>
#include <filesystem>

// G12: start to first paint of a window with a table of 2,000 rows and three panels of 1,000 points, against an empty main window on the
// same platform, both as processes of their own. G13: replot of a panel of 1,000 points against a fill and a polyline of two points a
// pixel, 1200 x 700.
namespace {

using namespace halfcell;

void startToFirstPaint(benchmark::State& state)
{
    bench::ratioToFloor(
        state, 2.0, [] { bench::run(HALFCELL_WINDOW_START, {"floor"}); }, [] { bench::run(HALFCELL_WINDOW_START, {"full"}); });
}

/// The real program on the demo plant.
void programToFirstPaint(benchmark::State& state)
{
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / "halfcell-desktop-bench";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    setenv("XDG_CONFIG_HOME", folder.c_str(), 1);
    const std::string book = (folder / "demo.halfcell").string();
    bench::run(HALFCELL_CLI, {"demo", "--book", book, "--until", "2026-03-01"});
    bench::ratioToFloor(
        state, 2.0, [] { bench::run(HALFCELL_WINDOW_START, {"floor"}); },
        [&] {
            bench::run(HALFCELL_DESKTOP_PROGRAM, {book, "--first-paint"});
        });
    std::filesystem::remove_all(folder);
}

void replotAPanel(benchmark::State& state)
{
    constexpr int kWide = 1200, kHigh = 700, kTurns = 20;
    QImage canvas(kWide, kHigh, QImage::Format_ARGB32_Premultiplied);
    QPolygonF line;
    for (int i = 0; i < 2 * kWide; ++i)
        line << QPointF(i / 2.0, kHigh / 2.0 + 200.0 * std::sin(i / 40.0));
    const auto floor = [&] {
        for (int i = 0; i < kTurns; ++i) {
            canvas.fill(Qt::white);
            QPainter painter(&canvas);
            painter.setRenderHint(QPainter::Antialiasing);
            painter.setPen(QPen(Qt::black, 1));
            painter.drawPolyline(line);
        }
    };
    app::LifeLinePlot plot;
    plot.resize(kWide, kHigh);
    plot.setSeries(bench::lifeLine(1000));
    plot.show();
    QCoreApplication::processEvents();
    auto* drawing = plot.findChild<QCustomPlot*>();
    // One replot draws all three panels: a panel is a third of it.
    const auto replot = [&] {
        for (int i = 0; i < kTurns; ++i)
            drawing->replot(QCustomPlot::rpImmediateRefresh);
    };
    bench::ratioToFloor(state, 3 * 2.5, floor, replot);
    state.counters["ratio_a_panel"] = state.counters["ratio"] / 3.0;
    state.counters["goal_a_panel"] = 2.5;
}

}  // namespace

BENCHMARK(startToFirstPaint)->Name("G12_start_to_first_paint")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(programToFirstPaint)->Name("G12_program_to_first_paint")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(replotAPanel)->Name("G13_replot_1000_points")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);

int main(int argc, char** argv)
{
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    QApplication application(argc, argv);
    const app::Theme theme(application);
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    benchmark::Shutdown();
    return 0;
}
