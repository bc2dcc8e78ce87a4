#include "app/bench/caution_box.h"
#include "core/quantity/number.h"
#include "core/simulator/simulate.h"
#include "db/book/book.h"
#include "tests/app/bench/bench_window.h"

#include <QSettings>
#include <QSignalSpy>
#include <QTest>

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <random>

/// Rounds of a simulated plant typed through the Bench by key events, as a technician types, with the slips technicians make. What
/// is odd is asked in words, nothing is put right by itself, and every visit is logged in the end.
namespace halfcell::app::bench {
namespace {

using namespace core;
using test::BenchWindow;

enum class Slip { None, LostSign, Swapped, DigitLost, NoTemperature, WrongSerial };
constexpr int kSlips = 6;
constexpr const char* kSlipWords[kSlips] = {"none", "lost sign", "swapped beakers", "digit lost", "no temperature", "wrong serial"};

/// One reading as it should stand in the book.
struct Meant {
    std::string typed;
    bool temperature = true;
};

struct VisitStory {
    std::string serial, visit;
    Slip slip = Slip::None;
    bool slipMade = false;
    bool questioned = false;
    bool kept = false;         ///< the slip was kept with a reason
    std::vector<Meant> found;  ///< as found, in dip order
    int keys = 0;
};

/// Random numbers the same on every machine: the engine's own values, no library distribution.
class Dice {
public:
    explicit Dice(std::uint32_t seed) : m_engine(seed) {}
    int below(int n) { return static_cast<int>(m_engine() % static_cast<unsigned long>(n)); }
    double between(double low, double high) { return low + (high - low) * below(10001) / 10000.0; }

private:
    std::mt19937 m_engine;
};

class Technician {
public:
    Technician(BenchWindow& window, Dice& dice, VisitStory& story) : w(window), m_dice(dice), m_story(story) {}

    /// Works the open visit through to its log. False when it does not end.
    bool work()
    {
        QSignalSpy logged(&w.presenter(), &BenchPresenter::visitLogged);
        m_story.visit = model().draft().id;
        m_story.serial = model().draft().serial;
        m_efficiency = m_dice.between(0.88, 0.995);
        m_offset = m_dice.between(-14.0, 14.0);
        constexpr int kMostTurns = 160;  // a visit takes about 25; one that can't be ended is what is looked for
        for (int turn = 0; turn < kMostTurns; ++turn) {
            ++m_story.keys;
            if (model().box()) {
                QTest::qWait(CautionBox::kGuardMs + 20);
                w.type("y");
                continue;
            }
            if (model().asked()) {
                answer();
                continue;
            }
            const Stop stop = model().stop();
            if (stop.kind == StopKind::Log || stop.kind == StopKind::Remark) {
                if (stop.kind == StopKind::Remark)
                    w.key(Qt::Key_Enter);
                w.key(Qt::Key_Enter, Qt::ControlModifier);
                if (waitFor(logged))
                    return true;
                continue;
            }
            at(stop);
            if (stop.kind == StopKind::Approve && waitFor(logged))
                return true;
        }
        return false;
    }

private:
    /// Whether the visit is logged; not waited for where the form asks something first.
    bool waitFor(QSignalSpy& logged)
    {
        const bool asks = w.presenter().hasVisit() && (model().asked() || model().box() || model().stop().kind == StopKind::Approve);
        return QTest::qWaitFor([&] { return logged.count() > 0; }, asks ? 0 : 20000);
    }
    const BenchModel& model() const { return w.presenter().model(); }
    const Dip& dip(const Stop& stop) const { return model().draft().phase(stop.phase).dips[stop.dip]; }

    /// What the meter shows in a standard.
    std::string reads(const Stop& stop) const
    {
        const Dip& d = dip(stop);
        const auto ideal = model().hand().idealMv(d.standard, d.lot, kTemperature);
        const double mv =
            model().draft().kind == SensorKind::Ph ? m_offset + m_efficiency * ideal.value_or(0.0) : ideal.value_or(0.0) + m_offset;
        return formatFixed(mv, 0);
    }

    void enter(const std::string& text)
    {
        w.type(text.c_str());
        w.key(Qt::Key_Enter);
    }

    void at(const Stop& stop)
    {
        switch (stop.kind) {
        case StopKind::Serial: return serial();
        case StopKind::Manual:
        case StopKind::Auto: w.key(Qt::Key_Space); return;
        case StopKind::Loop:
        case StopKind::Grab: return enter(model().draft().kind == SensorKind::Ph ? "7.4" : "310");
        case StopKind::GrabTemp: return enter("18.5");
        case StopKind::WaterPh: return enter("7.3");
        case StopKind::Coating: w.type(m_dice.below(2) == 0 ? "0" : "2"); return;
        case StopKind::Look: w.type("h"); return;
        case StopKind::Mv: return millivolts(stop);
        case StopKind::Temp: return temperature(stop);
        case StopKind::Wait: return enter("90");
        case StopKind::Did:
            if (!m_cleaned && m_dice.below(3) == 0) {
                m_cleaned = true;
                w.type("d");
                return;
            }
            w.key(Qt::Key_Enter);
            return;
        case StopKind::Approve: return enter(m_dice.below(2) == 0 ? "P1" : "O");
        case StopKind::Left: w.type(m_dice.below(3) == 0 ? "u" : "="); return;
        default: w.key(Qt::Key_Enter); return;
        }
    }

    void serial()
    {
        const std::string& whole = m_story.serial;
        if (m_story.slip == Slip::WrongSerial && !m_story.slipMade) {
            m_story.slipMade = true;
            enter(whole.ends_with("99") ? "98" : "99");
            // Refused with both serials named, and nothing taken.
            m_story.questioned = model().stop().kind == StopKind::Serial && w.presenter().said().contains(QString::fromStdString(whole));
            EXPECT_EQ(model().draft().serialSeen, SerialSeen::No);
            while (!model().draft().serialTyped.empty() && m_story.keys < 200) {
                ++m_story.keys;
                w.key(Qt::Key_Backspace);
            }
            return;
        }
        enter(whole.substr(whole.size() - 2));
    }

    void millivolts(const Stop& stop)
    {
        w.wait(100);
        std::string text = reads(stop);
        const std::size_t dips = model().draft().phase(stop.phase).dips.size();
        if (stop.phase == Phase::AsFound && dips == 2 && !m_corrected) {
            const Stop other{StopKind::Mv, stop.phase, 1 - stop.dip};
            const bool large = std::abs(*parseNumber(text)) > 90.0;
            if (m_story.slip == Slip::LostSign && large) {
                text = text.front() == '-' ? text.substr(1) : "-" + text;
                m_story.slipMade = true;
            } else if (m_story.slip == Slip::DigitLost && large) {
                text.pop_back();
                m_story.slipMade = true;
            } else if (m_story.slip == Slip::Swapped) {
                text = reads(other);
                m_story.slipMade = true;
            }
        }
        enter(text);
        note(stop, text);
    }

    void temperature(const Stop& stop)
    {
        if (m_story.slip == Slip::NoTemperature && stop.phase == Phase::AsFound) {
            m_story.slipMade = true;
            w.key(Qt::Key_Enter);
            const auto& dips = w.presenter().live().found.dips;
            m_story.questioned = !dips.empty() && dips.front().notes.join(u' ').contains(QStringLiteral("No temperature"));
            for (Meant& meant : m_story.found)
                meant.temperature = false;
            return;
        }
        enter(formatFixed(kTemperature, 1));
    }

    void note(const Stop& stop, const std::string& text)
    {
        if (stop.phase != Phase::AsFound)
            return;
        if (m_story.found.size() <= stop.dip)
            m_story.found.resize(stop.dip + 1);
        m_story.found[stop.dip].typed = text;
        m_story.found[stop.dip].temperature = m_story.slip != Slip::NoTemperature;
    }

    /// A question waits. What was typed stands as typed; the technician puts it right, or keeps it with a reason.
    void answer()
    {
        const Asked asked = *model().asked();
        const Stop stop = model().stop();
        EXPECT_FALSE(asked.question.text.empty());
        EXPECT_FALSE(w.presenter().said().isEmpty());
        if (stop.phase == Phase::AsFound)
            for (std::size_t i = 0; i < m_story.found.size(); ++i) {
                const Entry& mv = model().draft().found.dips[i].mv;
                if (mv.taken && !m_story.found[i].typed.empty()) {
                    EXPECT_DOUBLE_EQ(*mv.value(), *parseNumber(m_story.found[i].typed))
                        << m_story.serial << ": changed before it was answered";
                }
            }
        const bool slip = m_story.slipMade && !m_story.questioned && stop.phase == Phase::AsFound;
        m_story.questioned = m_story.questioned || slip;
        const bool mine = stop.phase == Phase::AsFound &&
                          (m_story.slip == Slip::LostSign || m_story.slip == Slip::DigitLost || m_story.slip == Slip::Swapped);
        if (!mine || m_story.kept || m_dice.below(4) == 0) {
            m_story.kept = m_story.kept || mine;
            w.type("k");
            w.type("r");
            return;
        }
        m_corrected = true;
        if (m_story.slip == Slip::LostSign && asked.question.kind == Question::Kind::WrongSign) {
            w.key(Qt::Key_F7);
            note(stop, formatFixed(-*parseNumber(m_story.found[stop.dip].typed), 0));
        } else if (m_story.slip == Slip::Swapped && asked.other) {
            w.key(Qt::Key_F8);
            std::swap(m_story.found[0], m_story.found[1]);
        } else {
            w.key(Qt::Key_Enter);  // reads it again
        }
    }

    static constexpr double kTemperature = 19.5;

    BenchWindow& w;
    Dice& m_dice;
    VisitStory& m_story;
    double m_efficiency = 0.95, m_offset = 0.0;
    bool m_cleaned = false, m_corrected = false;
};

void expectAsMeant(const db::Book& book, const VisitStory& story)
{
    const auto records = book.loadSensorRecords(story.serial);
    ASSERT_TRUE(records) << story.serial;
    const auto visit = std::ranges::find(records->visits, story.visit, &Visit::visit);
    ASSERT_NE(visit, records->visits.end()) << story.serial << ": its visit is not in the book";
    std::vector<const Reading*> found;
    for (const Reading& r : visit->readings)
        if (r.phase == Phase::AsFound)
            found.push_back(&r);
    ASSERT_EQ(found.size(), story.found.size()) << story.serial;
    bool marked = false;
    for (std::size_t i = 0; i < found.size(); ++i) {
        ASSERT_TRUE(found[i]->mv);
        EXPECT_DOUBLE_EQ(*found[i]->mv, *parseNumber(story.found[i].typed))
            << story.serial << ", " << kSlipWords[static_cast<int>(story.slip)];
        EXPECT_EQ(found[i]->temp_degc.value.has_value(), story.found[i].temperature) << story.serial;
        marked = marked || found[i]->note.has_value();
    }
    EXPECT_TRUE(marked || !story.kept) << story.serial << ": kept without a mark";
}

TEST(Month, EverySlipIsAskedNoneIsPutRightByItselfAndEveryVisitIsLogged)
{
    const bool whole = std::getenv("HALFCELL_LONG") != nullptr;
    const Instant until = *parseInstant("2026-03-01T23:59:59Z");
    const SimulatedPlant plant = simulatePlant({.seed = 7, .years = whole ? 2.5 : 0.7, .sensors = whole ? 120 : 24, .until = until});
    QTemporaryDir folder;
    QSettings().clear();
    const std::filesystem::path file = std::filesystem::path(folder.path().toStdString()) / "month.halfcell";
    {
        const db::BookStamp stamp{.person = "T1", .now = until};
        auto book = db::Book::create(file, stamp);
        ASSERT_TRUE(book);
        ASSERT_TRUE(book->add(plant.records, stamp));
        ASSERT_TRUE(book->refreshLatest({}, until));
    }
    BenchWindow w(file);
    ASSERT_TRUE(w.ready());
    std::vector<std::pair<std::string, std::string>> places;  // tag, serial
    for (const db::LatestState& state : *w.shop().latest())
        if (std::ranges::any_of(plant.records.points, [&](const Point& p) { return p.tag == state.place; }))
            places.emplace_back(state.place, state.serial);
    std::ranges::sort(places);
    // Where two are recorded at one point the tag alone opens neither; those are opened by their serial.
    const auto alone = [&](const std::string& tag) {
        return std::ranges::count(places, tag, &std::pair<std::string, std::string>::first) == 1;
    };
    ASSERT_GE(places.size(), 10U);

    Dice dice(20260302);
    const int visits = whole ? static_cast<int>(places.size()) * 4 : 40;
    int made[kSlips] = {}, asked[kSlips] = {}, kept = 0;
    std::vector<VisitStory> stories;
    for (int i = 0; i < visits; ++i) {
        const auto& [tag, serial] = places[static_cast<std::size_t>(i) % places.size()];
        VisitStory story;
        story.slip = static_cast<Slip>(i % kSlips);
        if (story.slip == Slip::WrongSerial && !alone(tag))
            story.slip = Slip::None;
        if (w.presenter().hasVisit())
            w.presenter().park();  // the next line had opened by itself; this technician goes another way
        ASSERT_TRUE(w.open((story.slip == Slip::WrongSerial ? tag : serial).c_str()))
            << serial << ": " << w.presenter().said().toStdString();
        w.countFromHere();
        ASSERT_TRUE(Technician(w, dice, story).work())
            << serial << " does not end: " << w.presenter().said().toStdString() << " at " << w.focusName().toStdString();
        EXPECT_EQ(story.serial, serial);
        if (story.slipMade) {
            ++made[static_cast<int>(story.slip)];
            asked[static_cast<int>(story.slip)] += story.questioned ? 1 : 0;
            EXPECT_TRUE(story.questioned) << serial << ": nothing was said about " << kSlipWords[static_cast<int>(story.slip)];
        }
        kept += story.kept ? 1 : 0;
        stories.push_back(std::move(story));
        w.wait(whole ? 7.0 * 86400.0 / static_cast<double>(places.size()) : 1800.0);
    }
    w.settle();
    auto book = db::Book::open(file, db::OpenMode::ReadOnly);
    ASSERT_TRUE(book);
    for (const VisitStory& story : stories)
        expectAsMeant(*book, story);
    for (int slip = 1; slip < kSlips; ++slip) {
        EXPECT_GT(made[slip], 0) << kSlipWords[slip];
        std::printf("%s: %d made, %d asked\n", kSlipWords[slip], made[slip], asked[slip]);
    }
    std::printf("%d visits logged, %d slips kept with a reason\n", visits, kept);
}

}  // namespace
}  // namespace halfcell::app::bench
