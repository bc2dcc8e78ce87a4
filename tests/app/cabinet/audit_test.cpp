#include "app/cabinet/audit_page.h"
#include "app/panels/plain_words.h"
#include "app/service/standing.h"
#include "app/style/theme.h"
#include "core/quantity/number.h"
#include "db/book/book.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QAbstractItemModelTester>
#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QLabel>
#include <QLineEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QRadioButton>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>
#include <sqlite3.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class AuditPageTest : public testing::Test {
protected:
    AuditPageTest()
    {
        page = std::make_unique<AuditPage>(demo.shop());
        page->resize(1028, 690);
        page->show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(page.get()));
        EXPECT_TRUE(waitFor([this] { return page->model(AuditModel::Kind::Journal)->total() > 0; }));
    }
    template <class W>
    W* find(const char* name) const
    {
        auto* widget = page->findChild<W*>(QString::fromLatin1(name));
        EXPECT_NE(widget, nullptr) << name;
        return widget;
    }
    QString text(const char* name) const { return find<QLabel>(name)->text(); }
    void chainChecked()
    {
        ASSERT_TRUE(waitFor([this] { return !demo.shop().chain().running && demo.shop().chain().last.has_value(); }));
    }
    /// A visit with a reading of pH 10.01, and a correction of it.
    const core::Visit& visit()
    {
        const auto& visits = demo.shop().overview()->plant->records().visits;
        const auto it =
            std::find_if(visits.rbegin(), visits.rend(), [](const core::Visit& v) { return !v.readings.empty() && v.readings.front().mv; });
        return *it;
    }
    void correct()
    {
        core::Correction c;
        c.visit = visit().visit;
        c.table = "readings";
        c.row = 1;
        c.field = "mv";
        const auto column = core::formatNumber(*visit().readings.front().mv);
        c.old_value = column;
        c.new_value = "12.5";
        c.why = "digit lost";
        bool done = false;
        demo.shop().correct(c, page.get(), [&](const core::Result<bool>& answer) {
            EXPECT_TRUE(answer.has_value()) << (answer ? "" : answer.error().detail);
            done = true;
        });
        ASSERT_TRUE(waitFor([&] { return done; }));
        ASSERT_TRUE(waitFor([this] { return page->model(AuditModel::Kind::Changes)->rowCount() > 0 && newest().text == u"digit lost"_s; }));
    }
    const AuditLine& newest() const { return page->model(AuditModel::Kind::Changes)->lines().front(); }

    test::DemoShop demo;
    std::unique_ptr<AuditPage> page;
};

/// At any scale rows hold their type and columns what stands in them, not a width thought of before.
TEST_F(AuditPageTest, TheTableFitsItsTypeAtEveryScale)
{
    Theme theme(*qApp);
    theme.setChoice(ThemeChoice::Light);
    auto* view = find<QTableView>("cabinet.audit.table");
    for (const double scale : {1.0, 2.0}) {
        theme.setScale(scale);
        page->resize(static_cast<int>(1028 * scale), static_cast<int>(690 * scale));
        for (const auto kind : {AuditModel::Kind::Changes, AuditModel::Kind::Journal, AuditModel::Kind::Standing}) {
            page->showList(kind);
            QTest::qWait(20);
            const QFontMetrics type(view->font());
            ASSERT_GT(view->model()->rowCount(), 0);
            EXPECT_GE(view->rowHeight(0), type.height()) << scale;
            // The first two columns hold what tells the rows apart.
            for (int column = 0; column < 2; ++column) {
                EXPECT_GE(view->columnWidth(column), type.horizontalAdvance(view->model()->headerData(column, Qt::Horizontal).toString()))
                    << column;
                for (int row = 0; row < std::min(view->model()->rowCount(), 20); ++row) {
                    const QString words = view->model()->index(row, column).data().toString();
                    EXPECT_GE(view->columnWidth(column), type.horizontalAdvance(words)) << words.toStdString() << " at " << scale;
                }
            }
        }
        for (const char* name : {"cabinet.audit.since", "cabinet.audit.until"}) {
            const auto* edit = find<QLineEdit>(name);
            EXPECT_GT(edit->width(), QFontMetrics(edit->font()).horizontalAdvance(edit->placeholderText())) << name << ' ' << scale;
        }
    }
    theme.setScale(1.0);
}

TEST_F(AuditPageTest, SaysWhoChangedWhatFromWhatToWhatAndWhy)
{
    const std::string before = core::formatNumber(*visit().readings.front().mv);
    const QString serial = plain(visit().serial);
    correct();
    const AuditLine& line = newest();
    EXPECT_EQ(line.who, u"T1"_s);
    EXPECT_EQ(line.what, u"correction"_s);
    EXPECT_EQ(line.serial, serial);
    EXPECT_TRUE(line.field.contains(u"millivolts"_s)) << line.field.toStdString();
    EXPECT_EQ(line.before, screenWords(before));
    EXPECT_EQ(line.after, u"12.5"_s);
    EXPECT_EQ(auditTime(line.when), u"2026-03-02 08:47:00Z"_s);
    auto* view = find<QTableView>("cabinet.audit.table");
    EXPECT_EQ(view->model()->index(0, 5).data().toString(), u"12.5"_s);
    // Enter opens the record of that visit.
    QSignalSpy asked(page.get(), &AuditPage::recordAsked);
    view->setFocus();
    view->setCurrentIndex(view->model()->index(0, 0));
    QTest::keyClick(view, Qt::Key_Return);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked[0][0].toString(), serial);
    EXPECT_EQ(asked[0][1].toString(), line.visit);
}

TEST_F(AuditPageTest, FiltersBySensorPersonKindAndDates)
{
    correct();
    auto* journal = page->model(AuditModel::Kind::Journal);
    QAbstractItemModelTester tester(journal, QAbstractItemModelTester::FailureReportingMode::Fatal);
    QTest::mouseClick(find<QRadioButton>("cabinet.audit.list.journal"), Qt::LeftButton, Qt::NoModifier, QPoint(8, 8));
    EXPECT_EQ(journal->rowCount(), journal->total());
    const QString serial = plain(visit().serial);
    auto* subject = find<QLineEdit>("cabinet.audit.subject");
    QTest::keyClicks(subject, serial);
    EXPECT_GT(journal->rowCount(), 0);
    EXPECT_LT(journal->rowCount(), journal->total());
    for (int row = 0; row < journal->rowCount(); ++row)
        ASSERT_TRUE(journal->line(row)->folded.contains(foldedKey(serial)));
    auto* kind = find<QComboBox>("cabinet.audit.kind");
    kind->setCurrentText(u"correction"_s);
    EXPECT_EQ(journal->rowCount(), 1);
    subject->clear();
    kind->setCurrentIndex(0);
    find<QComboBox>("cabinet.audit.person")->setCurrentText(u"T1"_s);
    EXPECT_EQ(journal->rowCount(), 1);
    find<QComboBox>("cabinet.audit.person")->setCurrentIndex(0);
    auto* since = find<QLineEdit>("cabinet.audit.since");
    auto* until = find<QLineEdit>("cabinet.audit.until");
    QTest::keyClicks(since, u"2026-03-02"_s);
    EXPECT_EQ(journal->rowCount(), 1);
    since->clear();
    QTest::keyClicks(until, u"2026-03-01"_s);
    EXPECT_EQ(journal->rowCount(), journal->total() - 1);
    QTest::keyClicks(until, u"x"_s);
    EXPECT_TRUE(text("cabinet.audit.count").contains(u"no date"_s)) << text("cabinet.audit.count").toStdString();
}

TEST_F(AuditPageTest, SaysYesOrNoToANotedHead)
{
    chainChecked();
    auto* noted = find<QLineEdit>("cabinet.audit.noted");
    const auto ask = [&](const QString& head) {
        noted->setText(head);
        find<QLabel>("cabinet.audit.answer")->clear();
        QTest::keyClick(noted, Qt::Key_Return);
        EXPECT_TRUE(waitFor([&] { return find<QPushButton>("cabinet.audit.check")->isEnabled(); }));
        return text("cabinet.audit.answer");
    };
    // The copied head is one that is checked.
    QTest::keyClick(find<QPushButton>("cabinet.audit.copy"), Qt::Key_Space);
    const QString head = QGuiApplication::clipboard()->text();
    ASSERT_TRUE(head.contains(u':')) << head.toStdString();
    EXPECT_TRUE(text("cabinet.audit.head").contains(head));
    EXPECT_TRUE(ask(head).startsWith(u"Yes."_s)) << text("cabinet.audit.answer").toStdString();
    EXPECT_TRUE(ask(head.section(u':', 1).left(12)).startsWith(u"Yes."_s)) << text("cabinet.audit.answer").toStdString();
    QString wrong = head;
    wrong[wrong.size() - 1] = wrong.back() == u'0' ? u'1' : u'0';
    EXPECT_TRUE(ask(wrong).startsWith(u"No."_s)) << text("cabinet.audit.answer").toStdString();
    EXPECT_TRUE(ask(u"rubbish"_s).size() > 10);
    EXPECT_FALSE(text("cabinet.audit.answer").startsWith(u"Yes."_s));
    EXPECT_TRUE(ask(u" "_s).startsWith(u"Type the head"_s));
}

TEST_F(AuditPageTest, VerifiesWithProgressStopsAndNamesTheRowThatDoesNotFit)
{
    chainChecked();
    EXPECT_TRUE(text("cabinet.audit.chain").contains(u"whole"_s)) << text("cabinet.audit.chain").toStdString();
    auto* verify = find<QPushButton>("cabinet.audit.verify");
    QTest::keyClick(verify, Qt::Key_Space);
    EXPECT_TRUE(find<QPushButton>("cabinet.audit.stop")->isVisible());
    EXPECT_TRUE(find<QProgressBar>("cabinet.audit.progress")->isVisible());
    EXPECT_FALSE(verify->isEnabled());
    // Stopped: what was known stays known.
    QTest::keyClick(find<QPushButton>("cabinet.audit.stop"), Qt::Key_Space);
    chainChecked();
    EXPECT_TRUE(text("cabinet.audit.chain").contains(u"whole"_s)) << text("cabinet.audit.chain").toStdString();
    EXPECT_FALSE(find<QPushButton>("cabinet.audit.stop")->isVisible());
    // One figure altered with another tool.
    sqlite3* handle = nullptr;
    ASSERT_EQ(sqlite3_open(demo.shop().file().c_str(), &handle), SQLITE_OK);
    EXPECT_EQ(
        sqlite3_exec(handle,
                     "PRAGMA busy_timeout=5000; DROP TRIGGER readings_no_update; UPDATE readings SET mv = mv + 1 WHERE mv IS NOT NULL "
                     "AND visit = (SELECT max(visit) FROM readings WHERE mv IS NOT NULL)",
                     nullptr, nullptr, nullptr),
        SQLITE_OK)
        << sqlite3_errmsg(handle);
    sqlite3_close(handle);
    QTest::keyClick(verify, Qt::Key_Space);
    chainChecked();
    EXPECT_TRUE(demo.shop().chain().broken());
    EXPECT_TRUE(text("cabinet.audit.chain").contains(u"don't log in it"_s)) << text("cabinet.audit.chain").toStdString();
}

TEST_F(AuditPageTest, ShowsHowItStoodAtADate)
{
    chainChecked();
    const core::Instant moment = *core::parseInstant("2025-06-15T12:00:00Z");
    const auto book = db::Book::open(demo.shop().file(), db::OpenMode::ReadOnly);
    ASSERT_TRUE(book.has_value());
    const core::Plant plant = core::Plant::asKnown(*book->loadRecords(moment), moment);
    ASSERT_FALSE(plant.histories().empty());
    const core::SensorHistory* sensor = nullptr;
    const core::Placement* at = nullptr;
    for (const core::SensorHistory& history : plant.histories())
        if (const core::Placement* p = history.placementAt(moment);
            p != nullptr && plant.point(p->place) != nullptr && !history.visits.empty()) {
            sensor = &history;
            at = p;
            break;
        }
    ASSERT_NE(sensor, nullptr);
    // Tag, Tab, date, Enter: the whole chain.
    auto* subject = find<QLineEdit>("cabinet.audit.subject");
    subject->setFocus();
    QTest::keyClicks(subject, plain(at->place));
    QTest::keyClick(subject, Qt::Key_Tab);
    auto* date = find<QLineEdit>("cabinet.audit.date");
    ASSERT_TRUE(date->hasFocus());
    QTest::keyClicks(date, u"15 Jun 2025 12:00"_s);
    QTest::keyClick(date, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return demo.shop().asKnown().has_value(); }));
    EXPECT_EQ(*demo.shop().asKnown(), moment);
    ASSERT_TRUE(waitFor([&] { return text("cabinet.audit.then").contains(plain(sensor->sensor->serial)); }))
        << text("cabinet.audit.then").toStdString();
    const QString then = text("cabinet.audit.then");
    for (const QString& words : {plain(at->place), u"Last read"_s, u"Verdict:"_s, u"verdue"_s, u"Rule set"_s})
        EXPECT_TRUE(then.contains(words)) << then.toStdString();
    // Bottles and instruments as the command line has them; verdicts of every sensor; the rule set; nothing from later.
    subject->clear();
    QTest::mouseClick(find<QRadioButton>("cabinet.audit.list.standing"), Qt::LeftButton, Qt::NoModifier, QPoint(8, 8));
    const auto& standing = page->model(AuditModel::Kind::Standing)->standing();
    const auto count = [&](const QString& group) { return std::ranges::count(standing, group, &StandingLine::group); };
    EXPECT_EQ(count(u"Bottle"_s), static_cast<std::ptrdiff_t>(bottlesOpenAt(plant, moment).size()));
    EXPECT_EQ(count(u"Instrument"_s), static_cast<std::ptrdiff_t>(instrumentsAt(plant, moment).size()));
    EXPECT_EQ(count(u"Sensor"_s), static_cast<std::ptrdiff_t>(plant.histories().size()));
    EXPECT_EQ(count(u"Rule set"_s), 1);
    EXPECT_GT(count(u"Work"_s), 0);
    EXPECT_GT(count(u"Bottle"_s), 0);
    for (const AuditLine& line : page->model(AuditModel::Kind::Journal)->lines())
        ASSERT_FALSE(moment < line.when);
    auto* kind = find<QComboBox>("cabinet.audit.kind");
    kind->setCurrentText(u"Bottle"_s);
    EXPECT_EQ(page->model(AuditModel::Kind::Standing)->rowCount(), count(u"Bottle"_s));
    // A date that is none, and one that lies ahead, are said; nothing changes.
    date->setText(u"31 Feb"_s);
    QTest::keyClick(date, Qt::Key_Return);
    EXPECT_TRUE(text("cabinet.audit.then").contains(u"no moment"_s));
    date->setText(u"2027-01-01"_s);
    QTest::keyClick(date, Qt::Key_Return);
    EXPECT_TRUE(text("cabinet.audit.then").contains(u"later than now"_s));
    EXPECT_EQ(*demo.shop().asKnown(), moment);
    // Empty: now again.
    date->clear();
    QTest::keyClick(date, Qt::Key_Return);
    EXPECT_TRUE(waitFor([&] { return !demo.shop().asKnown().has_value(); }));
}

TEST_F(AuditPageTest, HidesALaterCorrectionFromAnEarlierMoment)
{
    correct();
    const QString visitKey = newest().visit;
    bool read = false;
    demo.shop().setAsKnown(*core::parseInstant("2026-03-02T08:00:00Z"));
    ASSERT_TRUE(waitFor([&] { return demo.shop().asKnown().has_value(); }));
    QObject::connect(page.get(), &AuditPage::sentenceChanged, page.get(), [&] { read = true; });
    page->refresh();
    ASSERT_TRUE(waitFor([&] { return read; }));
    for (const AuditLine& line : page->model(AuditModel::Kind::Changes)->lines())
        EXPECT_FALSE(line.text == u"digit lost"_s && line.visit == visitKey);
}

TEST_F(AuditPageTest, EverythingHasItsNames)
{
    EXPECT_EQ(test::namelessFocusables(page.get()), QStringList());
    EXPECT_EQ(test::unnamedObjects(page.get()), QStringList());
}

}  // namespace
}  // namespace halfcell::app
