#include "app/bench/bench_desk.h"
#include "app/bench/bench_presenter.h"
#include "app/bench/caution_box.h"
#include "app/register/register_desk.h"
#include "app/review/review_desk.h"
#include "app/rounds/rounds_desk.h"
#include "tests/app/desktop/workbench_fixture.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QTest>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

/// The promise of SCREENS.md 6 that the thread of the window is never held over 50 ms, kept for the whole program on the demo plant:
/// every event is timed by the processor time it took of its own, so that a busy machine does not count.
namespace halfcell::test {
namespace {

using namespace Qt::Literals::StringLiterals;
using app::bench::StopKind;

/// Without optimisation, or with a sanitizer, the same work takes some times as long.
#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
constexpr double kMostMs = 50.0;
#else
constexpr double kMostMs = 500.0;
#endif

/// What a walk through the program was held by, one sentence each.
class HeldNotes {
public:
    HeldNotes() { application().forgetHeld(); }
    void endOf(const std::string& part)
    {
        for (const HeldEvent& event : application().held())
            if (event.cpuMs > kMostMs)
                m_notes.push_back(
                    fmt::format("{}: {}, {:.0f} ms of processor time, {:.0f} ms on the wall", part, event.what, event.cpuMs, event.wallMs));
        application().forgetHeld();
    }
    [[nodiscard]] const std::vector<std::string>& notes() const { return m_notes; }

private:
    std::vector<std::string> m_notes;
};

void visitWithReadings(WholeProgram& program)
{
    auto& presenter = program.workbench().benchDesk()->presenter();
    ASSERT_TRUE(waitFor([&] { return presenter.hasVisit(); }, 20000));
    for (int tries = 0; tries < 80 && presenter.model().stop().kind != StopKind::Log; ++tries) {
        const auto& model = presenter.model();
        const auto stop = model.stop();
        if (model.box()) {
            QTest::qWait(app::bench::CautionBox::kGuardMs + 20);
            program.type("y");
        } else if (model.asked()) {
            program.type("kr");  // kept, read twice
        } else if (stop.kind == StopKind::Manual || stop.kind == StopKind::Auto) {
            program.key(Qt::Key_Space);
        } else if (stop.kind == StopKind::Coating) {
            program.type("0");
        } else if (stop.kind == StopKind::Left) {
            program.type("=");
        } else {
            if (stop.kind == StopKind::Mv)
                program.type(stop.dip == 0 ? "-3" : "171");
            else if (stop.kind == StopKind::Temp)
                program.type("21");
            else if (stop.kind == StopKind::Wait)
                program.type("120");
            program.key(Qt::Key_Return);
        }
    }
    EXPECT_EQ(presenter.model().stop().kind, StopKind::Log);
}

void walkThrough(HeldNotes& held)
{
    WholeProgram program;
    held.endOf("opening the book");
    app::Workbench& workbench = program.workbench();
    const QString serial = workbench.registerDesk()->chosenSerial();
    for (int i = 0; i < 12; ++i)
        program.key(Qt::Key_Down);
    program.settle();
    held.endOf("walking down the Register");
    workbench.openRecord(serial);
    program.settle();
    for (int i = 0; i < 5; ++i) {
        program.key(Qt::Key_PageDown);
        program.settle();
    }
    held.endOf("Records");
    workbench.startVisit(serial);
    program.settle();
    held.endOf("opening a visit");
    visitWithReadings(program);
    held.endOf("typing a visit");
    program.key(Qt::Key_F3);
    program.settle();
    for (int i = 0; i < 4; ++i)
        program.key(Qt::Key_Return);
    program.key(Qt::Key_Escape);
    held.endOf("tests by hand");
    program.key(Qt::Key_Return, Qt::ControlModifier);
    program.settle();
    held.endOf("logging it");
    workbench.showDesk(u"Rounds"_s);
    ASSERT_TRUE(waitFor([&] { return workbench.roundsDesk()->presenter().plan() != nullptr; }, 60000));
    program.settle();
    held.endOf("Rounds");
    workbench.showDesk(u"Review"_s);
    ASSERT_TRUE(waitFor([&] { return workbench.reviewDesk()->presenter().review() != nullptr; }, 60000));
    program.settle();
    held.endOf("Review");
    workbench.showDesk(u"Cabinet"_s);
    program.settle();
    held.endOf("Cabinet");
}

/// Another program's caches and a throttled core count as this thread's time too: what is only once over the limit is not this
/// program's doing, what is over it three times is.
TEST(Held, TheWindowIsNeverHeldForLong)
{
    std::vector<std::string> notes;
    for (int walk = 0; walk < 3; ++walk) {
        HeldNotes held;
        walkThrough(held);
        if (HasFatalFailure())
            return;
        notes = held.notes();
        if (notes.empty())
            break;
    }
    EXPECT_THAT(notes, testing::IsEmpty());
}

}  // namespace
}  // namespace halfcell::test
