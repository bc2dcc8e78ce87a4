#pragma once

#include "app/bench/bench_presenter.h"
#include "app/frame/frame.h"
#include "app/frame/prompts.h"
#include "app/presenters/shop.h"
#include "app/style/theme.h"

#include <QObject>
#include <QSettings>
#include <QTimer>

#include <filesystem>
#include <memory>

namespace halfcell::app {

namespace bench {
class BenchDesk;
}
class CabinetDesk;
class FirstRunPage;
class PlotBase;
class RecordView;
class RegisterDesk;
class ReviewDesk;
class RoundsDesk;
class WorkingPanel;

/// The desktop program: makes the frame and its desks on one Shop and lets them talk. Holds no rules and no layout of
/// desks. GUI thread only.
class Workbench : public QObject {
    Q_OBJECT
public:
    Workbench(Shop& shop, Prompts& prompts, Theme& theme, QSettings& settings, QObject* parent = nullptr);
    ~Workbench() override;

    [[nodiscard]] Frame& frame() { return *m_frame; }
    /// Opens a book, or shows the first-run page when there is none to open.
    void start(const std::filesystem::path& book);

    [[nodiscard]] RegisterDesk* registerDesk() const { return m_register; }
    [[nodiscard]] RecordView* recordView() const { return m_record; }
    [[nodiscard]] bench::BenchDesk* benchDesk() const { return m_bench; }
    [[nodiscard]] RoundsDesk* roundsDesk() const { return m_rounds; }
    [[nodiscard]] ReviewDesk* reviewDesk() const { return m_review; }
    [[nodiscard]] CabinetDesk* cabinet() const { return m_cabinet; }
    void showDesk(const QString& name);
    void openRecord(const QString& serial, const QStringList& list = {});
    void startVisit(const QString& serial);

private:
    void makeDesks();
    void connectShop();
    void connectFrame();
    void bookOpened();
    void bookClosed();
    void refreshHolds();
    void askPerson();
    void askMoment();
    void askHold();
    /// Plots that are there now: Ctrl+Shift+S on any asks for a file.
    void connectPlots();
    void exportPlot(PlotBase& plot);
    void scanned(const QString& code);
    void find(const QString& fragment, const FindBox::Answer& answer) const;
    void open(const FindHit& hit);
    void remember(const std::filesystem::path& book);
    [[nodiscard]] std::vector<std::filesystem::path> recentBooks() const;
    [[nodiscard]] static std::filesystem::path demoPath();
    [[nodiscard]] QString chosenSerial() const;
    [[nodiscard]] static std::vector<KeyLine> keyTable();

    Shop& m_shop;
    Prompts& m_prompts;
    Theme& m_theme;
    QSettings& m_settings;
    std::unique_ptr<Frame> m_frame;
    bench::BenchPresenter* m_benchPresenter = nullptr;
    FirstRunPage* m_first = nullptr;
    RegisterDesk* m_register = nullptr;
    RecordView* m_record = nullptr;
    bench::BenchDesk* m_bench = nullptr;
    RoundsDesk* m_rounds = nullptr;
    ReviewDesk* m_review = nullptr;
    CabinetDesk* m_cabinet = nullptr;
    WorkingPanel* m_working = nullptr;
    int m_firstIndex = -1, m_registerIndex = -1, m_benchIndex = -1, m_roundsIndex = -1, m_reviewIndex = -1, m_cabinetIndex = -1,
        m_recordIndex = -1;
    QTimer m_minute;
    QString m_lastVisit;
};

}  // namespace halfcell::app
