#include "app/frame/frame.h"
#include "app/style/contrast.h"
#include "app/style/figure_painter.h"
#include "app/style/ink_style.h"
#include "app/style/theme.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QAccessible>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSignalSpy>
#include <QStandardItemModel>
#include <QTableView>
#include <QTest>
#include <QTextBrowser>
#include <QVBoxLayout>

#include <gtest/gtest.h>

#include <set>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
namespace test = halfcell::test;

namespace {

/// A desk with three regions and only normal rows.
struct TestDesk : QWidget {
    QListWidget* places = new QListWidget;
    QTableView* table = new QTableView;
    QWidget* peek = new QWidget;
    QPushButton* second = new QPushButton(u"second"_s);

    explicit TestDesk(const QString& name)
    {
        auto* row = new QHBoxLayout(this);
        row->setContentsMargins(0, 0, 0, 0);
        row->setSpacing(0);
        places->addItems({u"All places"_s, u"Upper Wexmoor Waterworks"_s, u"Saltmarsh Reclamation Plant"_s});
        places->setObjectName(name + u".places.list"_s);
        places->setAccessibleName(u"Places"_s);
        places->setFrameShape(QFrame::NoFrame);
        places->setFixedWidth(252);
        row->addWidget(places);
        auto* model = new QStandardItemModel(8, 3, this);
        model->setHorizontalHeaderLabels({u"Signal"_s, u"Sensor"_s, u"Offset mV"_s});
        for (int r = 0; r < 8; ++r) {
            model->setItem(r, 0, new QStandardItem(u"normal"_s));
            model->setItem(r, 1, new QStandardItem(u"K7-04%1"_s.arg(20 + r)));
            auto* cell = new QStandardItem;
            cell->setData(QVariant::fromValue(Figure{.value = -4.2 + r, .sign = Sign::Always, .expanded = 3.4, .quiet = true}), FigureDelegate::kFigureRole);
            model->setItem(r, 2, cell);
        }
        table->setModel(model);
        table->setObjectName(name + u".table.rows"_s);
        table->setAccessibleName(u"Sensors"_s);
        table->setShowGrid(false);
        table->setFrameShape(QFrame::NoFrame);
        table->setSelectionBehavior(QAbstractItemView::SelectRows);
        table->verticalHeader()->hide();
        table->setItemDelegateForColumn(2, new FigureDelegate({.integers = 3, .sign = true, .decimals = 1, .uncertaintyIntegers = 1, .uncertaintyDecimals = 1},
                                                               TextRole::Body, table));
        table->resizeColumnsToContents();
        table->selectRow(0);
        auto* column = new QVBoxLayout;
        column->addWidget(table, 1);
        auto* peekRow = new QHBoxLayout(peek);
        auto* first = new QPushButton(u"first"_s);
        first->setObjectName(name + u".peek.first"_s);
        second->setObjectName(name + u".peek.second"_s);
        peekRow->addWidget(first);
        peekRow->addWidget(second);
        column->addWidget(peek);
        row->addLayout(column, 1);
    }
    [[nodiscard]] QList<QWidget*> regions() const { return {places, table, peek}; }
};

struct FrameTest : ::testing::Test {
    Theme theme{test::application()};
    Frame frame;
    TestDesk* reg = new TestDesk(u"register"_s);
    TestDesk* bench = new TestDesk(u"bench"_s);
    TestDesk* record = new TestDesk(u"record"_s);
    QString followed;
    int registerIndex = -1, benchIndex = -1, recordIndex = -1;

    void SetUp() override
    {
        theme.setChoice(ThemeChoice::Light);
        registerIndex = frame.addDesk({.widget = reg,
                                       .name = u"Register"_s,
                                       .sentence = [] { return u"118 sensors. <a href=\"now\">3 need someone now</a>, <a href=\"week\">7 need work this week</a>."_s; },
                                       .shown = [this] { reg->table->setFocus(); },
                                       .regions = [this] { return reg->regions(); },
                                       .link = [this](const QString& link) { followed = link; }});
        benchIndex = frame.addDesk({.widget = bench, .name = u"Bench"_s, .shown = [this] { bench->table->setFocus(); }});
        for (const QString& name : {u"Rounds"_s, u"Review"_s})
            frame.addDesk({.widget = new QWidget, .name = name});
        frame.addDesk({.widget = new QWidget, .name = u"Cabinet"_s, .cabinet = true});
        recordIndex = frame.addPage({.widget = record, .shown = [this] { record->table->setFocus(); }});
        frame.setPerson(u"T1"_s);
        frame.strip()->setHolds({}, u"08:47"_s);
        frame.strip()->setWritten(u"Visit to AE-3104 logged 08:05."_s, true);
        frame.strip()->setBackground(u"Looking ahead"_s, 0.52);
        show(1280, 800);
        frame.showDesk(registerIndex);
    }
    void show(int width, int height)
    {
        frame.resize(width, height);
        frame.show();
        frame.activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(&frame));
        QTest::qWait(20);
    }
    void key(int k, Qt::KeyboardModifiers mods = Qt::NoModifier)
    {
        QTest::keyClick(QApplication::focusWidget() != nullptr ? QApplication::focusWidget() : &frame, static_cast<Qt::Key>(k), mods);
    }
};

}  // namespace

TEST_F(FrameTest, DesksComeOnTheirKeysAndCarryTheBar)
{
    QSignalSpy changed(&frame, &Frame::deskChanged);
    key(Qt::Key_2, Qt::ControlModifier);
    EXPECT_EQ(frame.current(), benchIndex);
    key(Qt::Key_F10);
    EXPECT_EQ(frame.current(), 4);
    key(Qt::Key_1, Qt::ControlModifier);
    EXPECT_EQ(frame.current(), registerIndex);
    EXPECT_EQ(changed.count(), 3);
    auto* word = frame.findChild<QPushButton*>(u"frame.desk.register"_s);
    ASSERT_NE(word, nullptr);
    EXPECT_TRUE(word->isChecked());
    const QImage bar = word->grab().toImage();
    EXPECT_LT(qGray(bar.pixel(bar.width() / 2, bar.height() - 2)), 60);  // the ink bar
    auto* other = frame.findChild<QPushButton*>(u"frame.desk.bench"_s);
    EXPECT_GT(qGray(other->grab().toImage().pixel(other->width() / 2, other->height() - 2)), 200);
}

TEST_F(FrameTest, NoHueWithOnlyNormalRows)
{
    for (const ThemeChoice choice : {ThemeChoice::Light, ThemeChoice::Dark}) {
        theme.setChoice(choice);
        QTest::qWait(20);
        const QImage image = frame.grab().toImage();
        const auto found = test::strongestHue(image);
        EXPECT_LE(found.spread, 24) << "at " << found.x << ", " << found.y;
        test::keepPicture(image, choice == ThemeChoice::Light ? u"frame_light.png"_s : u"frame_dark.png"_s);
    }
    // A held loop brings the one mark.
    frame.strip()->setHolds({{u"AIC-3107"_s, u"08:12"_s, 34}}, u"08:46"_s);
    QTest::qWait(20);
    EXPECT_GT(test::strongestHue(frame.grab().toImage()).spread, 60);
}

TEST_F(FrameTest, EveryFocusableHasItsNames)
{
    frame.box()->setSource([](const QString&, const FindBox::Answer& answer) { answer({{u"Sensors"_s, u"K7-0412"_s, u"sensor"_s, u"K7-0412"_s, {}}}); });
    frame.box()->take();
    QTest::keyClicks(frame.box(), u"k"_s);
    frame.showKeys();
    EXPECT_TRUE(test::namelessFocusables(&frame).isEmpty()) << test::namelessFocusables(&frame).join(u", "_s).toStdString();
    EXPECT_TRUE(test::unnamedObjects(&frame).isEmpty()) << test::unnamedObjects(&frame).join(u", "_s).toStdString();
}

TEST_F(FrameTest, F6WalksTheRegionsAndComesBackToTheSamePlace)
{
    reg->second->setFocus();
    QStringList walked;
    for (int i = 0; i < 7; ++i) {
        key(Qt::Key_F6);
        walked.append(QApplication::focusWidget()->objectName());
    }
    EXPECT_EQ(walked, (QStringList{u"frame.strip.holds"_s, u"frame.shop.line"_s, u"frame.top.box"_s, u"register.places.list"_s, u"register.table.rows"_s,
                                   u"register.peek.second"_s, u"frame.strip.holds"_s}));
    key(Qt::Key_F6, Qt::ShiftModifier);
    EXPECT_EQ(QApplication::focusWidget(), reg->second);
    key(Qt::Key_F6, Qt::ShiftModifier);
    EXPECT_EQ(QApplication::focusWidget(), reg->table);
}

TEST_F(FrameTest, AltLeftReturnsToTheSameRow)
{
    reg->table->setFocus();
    reg->table->setCurrentIndex(reg->table->model()->index(4, 1));
    reg->second->setFocus();
    frame.showPage(recordIndex);
    EXPECT_EQ(frame.current(), recordIndex);
    key(Qt::Key_Left, Qt::AltModifier);
    EXPECT_EQ(frame.current(), registerIndex);
    EXPECT_EQ(QApplication::focusWidget(), reg->second);
    EXPECT_EQ(reg->table->currentIndex().row(), 4);
    key(Qt::Key_Left, Qt::AltModifier);  // nothing further back
    EXPECT_EQ(frame.current(), registerIndex);
}

TEST_F(FrameTest, ThePanelTakesTheFocusAndEscGivesItBack)
{
    auto* panel = new QWidget;
    auto* inside = new QVBoxLayout(panel);
    auto* copy = new QPushButton(u"copy"_s);
    copy->setObjectName(u"working.top.copy"_s);
    inside->addWidget(copy);
    reg->second->setFocus();
    frame.showPanel(panel, u"Working"_s);
    EXPECT_TRUE(frame.panelShown());
    EXPECT_EQ(QApplication::focusWidget(), copy);
    EXPECT_EQ(panel->parentWidget()->width(), 480);
    QTest::qWait(20);
    test::keepPicture(frame.grab().toImage(), u"frame_panel.png"_s);
    key(Qt::Key_Escape);
    EXPECT_FALSE(frame.panelShown());
    EXPECT_EQ(QApplication::focusWidget(), reg->second);
}

TEST_F(FrameTest, LinksOfTheShopLineAreFollowedByKeys)
{
    auto* line = frame.findChild<QLabel*>(u"frame.shop.line"_s);
    ASSERT_NE(line, nullptr);
    EXPECT_TRUE(line->text().contains(u"3 need someone now"_s));
    line->setFocus(Qt::TabFocusReason);
    key(Qt::Key_Tab);
    key(Qt::Key_Return);
    EXPECT_FALSE(followed.isEmpty());
    // A sentence without links is no stop for Tab.
    frame.showDesk(benchIndex);
    EXPECT_EQ(line->focusPolicy(), Qt::NoFocus);
    const QAccessibleInterface* face = QAccessible::queryAccessibleInterface(line);
    EXPECT_FALSE(face->text(QAccessible::Name).isEmpty());
}

TEST_F(FrameTest, ThePastChangesTheGroundAndSaysSo)
{
    const auto ground = [this] { return frame.grab().toImage().pixel(900, 760); };
    frame.showDesk(2);
    const QRgb present = ground();
    frame.setAsKnown(u"12 Nov 2025, 16:00"_s);
    QTest::qWait(20);
    EXPECT_EQ(ground(), Palette::of(Scheme::Light)[Role::Past].rgb());
    EXPECT_TRUE(frame.sentence().contains(u"As known on 12 Nov 2025, 16:00."_s));
    EXPECT_TRUE(frame.sentence().contains(u"Nothing can be logged."_s));
    test::keepPicture(frame.grab().toImage(), u"frame_past.png"_s);
    theme.setChoice(ThemeChoice::Dark);
    QTest::qWait(20);
    EXPECT_EQ(ground(), Palette::of(Scheme::Dark)[Role::Past].rgb());
    theme.setChoice(ThemeChoice::Light);
    QSignalSpy asked(&frame, &Frame::nowAsked);
    key(Qt::Key_Escape);
    EXPECT_EQ(asked.count(), 1);
    frame.setAsKnown({});
    QTest::qWait(20);
    EXPECT_EQ(ground(), present);
}

TEST_F(FrameTest, HeldLoopsAreAlwaysInTheStrip)
{
    EXPECT_EQ(frame.strip()->holdText(), u"no hold recorded here, 08:47"_s);
    auto* holds = frame.findChild<QPushButton*>(u"frame.strip.holds"_s);
    frame.strip()->setHolds({{u"AIC-3107"_s, u"08:12"_s, 34}}, u"08:46"_s);
    EXPECT_EQ(frame.strip()->holdText(), u"1 loop in manual: AIC-3107 since 08:12 (0 h 34)"_s);
    EXPECT_EQ(holds->font().weight(), QFont::Normal);
    frame.strip()->setHolds({{u"AIC-3107"_s, u"07:12"_s, 94}, {u"AIC-3109"_s, u"08:40"_s, 6}, {u"AIC-1203"_s, u"08:41"_s, 5}}, u"08:46"_s);
    EXPECT_EQ(frame.strip()->holdText(), u"3 loops in manual: AIC-3107 since 07:12 (1 h 34), AIC-3109 since 08:40 (0 h 06) and 1 more"_s);
    EXPECT_EQ(holds->font().weight(), QFont::Bold);  // over an hour
    QSignalSpy asked(&frame, &Frame::holdAsked);
    key(Qt::Key_F9);
    EXPECT_EQ(asked.count(), 1);
    for (int desk = 0; desk < 5; ++desk) {
        frame.showDesk(desk);
        EXPECT_TRUE(holds->isVisible());
    }
}

TEST_F(FrameTest, TheStripKeepsItsTextsWhole)
{
    frame.strip()->setWritten(u"Corrected: ph10.01 −176 → −167, as-found 92.1 → 87.0 %. The old figure stays in the history."_s, true);
    show(960, 540);
    auto* written = frame.findChild<QLabel*>(u"frame.strip.written"_s);
    EXPECT_TRUE(written->text().contains(u"…"_s) || written->toolTip().isEmpty());
    EXPECT_EQ(QAccessible::queryAccessibleInterface(written)->text(QAccessible::Name),
              u"Corrected: ph10.01 −176 → −167, as-found 92.1 → 87.0 %. The old figure stays in the history."_s);
    test::keepPicture(frame.grab().toImage(), u"frame_960.png"_s);
}

TEST_F(FrameTest, ANarrowWindowShowsOneRegionAtATime)
{
    QSignalSpy width(&frame, &Frame::widthClassChanged);
    show(820, 600);
    EXPECT_EQ(frame.widthClass(), WidthClass::Single);
    EXPECT_EQ(width.count(), 1);
    const auto visible = [this] {
        int n = 0;
        for (const QWidget* region : reg->regions())
            n += region->isVisible() ? 1 : 0;
        return n;
    };
    EXPECT_EQ(visible(), 1);
    EXPECT_TRUE(reg->table->isVisible());
    test::keepPicture(frame.grab().toImage(), u"frame_820.png"_s);
    key(Qt::Key_F6);
    EXPECT_EQ(visible(), 1);
    EXPECT_TRUE(reg->peek->isVisible());
    key(Qt::Key_F6, Qt::ShiftModifier);
    key(Qt::Key_F6, Qt::ShiftModifier);
    EXPECT_TRUE(reg->places->isVisible());
    show(1280, 800);
    EXPECT_EQ(visible(), 3);
}

TEST_F(FrameTest, ScaleAndDensityChangeAtRunTime)
{
    QSignalSpy asked(&frame, &Frame::scaleAsked);
    key(Qt::Key_Plus, Qt::ControlModifier);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked.at(0).at(0).toInt(), 1);
    const int before = frame.strip()->height();
    show(1920, 1080);
    theme.setScale(2.0);
    QTest::qWait(30);
    EXPECT_EQ(frame.strip()->height(), 2 * before);
    EXPECT_EQ(frame.widthClass(), WidthClass::Narrow);
    test::keepPicture(frame.grab().toImage(), u"frame_scale2.png"_s);
    theme.setScale(1.0);
    theme.setDensity(Density::Glove);
    QTest::qWait(30);
    for (const QPushButton* button : frame.findChildren<QPushButton*>())
        EXPECT_TRUE(!button->isVisible() || button->height() >= 56) << button->objectName().toStdString();
    test::keepPicture(frame.grab().toImage(), u"frame_glove.png"_s);
    theme.setDensity(Density::Desk);
    QTest::qWait(10);
    for (const QPushButton* button : frame.findChildren<QPushButton*>())
        EXPECT_TRUE(!button->isVisible() || button->height() >= 24) << button->objectName().toStdString();
}

TEST_F(FrameTest, HelpTwicePrintsTheTableTheKeysAreMadeFrom)
{
    QSignalSpy help(&frame, &Frame::helpAsked);
    frame.setKeyTable({{u"Ctrl+M"_s, u"move the sensor"_s}, {u"F9"_s, u"words of this screen"_s}});
    reg->table->setFocus();
    key(Qt::Key_F1);
    ASSERT_EQ(help.count(), 1);
    EXPECT_EQ(help.at(0).at(0).toString(), u"register.table.rows"_s);
    key(Qt::Key_F1);
    auto* page = frame.findChild<QTextBrowser*>(u"frame.side.keys"_s);
    ASSERT_NE(page, nullptr);
    EXPECT_TRUE(page->isVisible());
    const QString text = page->toPlainText();
    EXPECT_TRUE(text.contains(u"move the sensor"_s));
    EXPECT_TRUE(text.contains(u"words of this screen"_s));
    EXPECT_EQ(text.count(u"F9"_s), 1);
    for (const FrameKey& k : frameKeys())
        EXPECT_TRUE(k.shown.isEmpty() || text.contains(k.shown)) << k.shown.toStdString();
    key(Qt::Key_Escape);
    EXPECT_FALSE(frame.panelShown());
}

TEST(FrameKeys, NoTwoActsShareAKey)
{
    std::set<QString> seen;
    for (const FrameKey& key : frameKeys())
        for (const QKeySequence& keys : key.keys)
            EXPECT_TRUE(seen.insert(keys.toString()).second) << keys.toString().toStdString();
}

TEST_F(FrameTest, ScansReachTheListenerAndLeaveTheFieldAlone)
{
    QSignalSpy scans(&frame, &Frame::scanned);
    qint64 now = 0;
    frame.scanWatch()->setClock([&now] { return now += 5; });
    QLineEdit field;
    field.setParent(reg->peek);
    reg->peek->layout()->addWidget(&field);
    field.setText(u"−13"_s);
    QTest::qWait(10);  // the layout shows it
    field.setFocus();
    ASSERT_TRUE(field.hasFocus());
    QTest::keyClicks(&field, u"K7-0412"_s);
    QTest::keyClick(&field, Qt::Key_Return);
    ASSERT_EQ(scans.count(), 1);
    EXPECT_EQ(scans.at(0).at(0).toString(), u"K7-0412"_s);
    EXPECT_EQ(field.text(), u"−13"_s);
}

TEST_F(FrameTest, ClosingAsksFirst)
{
    bool answer = false;
    QObject::connect(&frame, &Frame::closing, &frame, [&answer](bool& mayClose) { mayClose = answer; });
    frame.close();
    EXPECT_TRUE(frame.isVisible());
    answer = true;
    frame.close();
    EXPECT_FALSE(frame.isVisible());
}
