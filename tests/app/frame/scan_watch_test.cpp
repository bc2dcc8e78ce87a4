#include "app/frame/scan_watch.h"
#include "app/style/theme.h"
#include "tests/support/qt/watched_application.h"

#include <QKeyEvent>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QSignalSpy>
#include <QSpinBox>
#include <QTest>
#include <QVBoxLayout>

#include <gtest/gtest.h>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
namespace test = halfcell::test;

namespace {

/// Fields in a window, a watch with a clock of its own.
struct ScanWatchTest : ::testing::Test {
    QWidget window;
    QLineEdit* field = new QLineEdit;
    QLineEdit* other = new QLineEdit;
    QPlainTextEdit* remark = new QPlainTextEdit;
    QSpinBox* minutes = new QSpinBox;
    ScanWatch watch;
    QSignalSpy scans{&watch, &ScanWatch::scanned};
    qint64 now = 1000;

    void SetUp() override
    {
        auto* layout = new QVBoxLayout(&window);
        for (QWidget* w : {static_cast<QWidget*>(field), static_cast<QWidget*>(other), static_cast<QWidget*>(remark), static_cast<QWidget*>(minutes)})
            layout->addWidget(w);
        watch.setClock([this] { return now; });
        window.show();
        window.activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(&window));
    }
    void press(int key, const QString& text, qint64 gap, Qt::KeyboardModifiers mods = Qt::NoModifier, bool repeat = false)
    {
        now += gap;
        QKeyEvent down(QEvent::KeyPress, key, mods, text, repeat);
        QApplication::sendEvent(QApplication::focusWidget(), &down);
        QKeyEvent up(QEvent::KeyRelease, key, mods, text);
        QApplication::sendEvent(QApplication::focusWidget(), &up);
    }
    void type(const QString& text, qint64 gap)
    {
        for (const QChar c : text)
            press(c.toUpper().unicode(), QString(c), gap);
    }
    void enter(qint64 gap) { press(Qt::Key_Return, u"\r"_s, gap); }
};

/// A field of our own that knows how to go back.
class OwnField : public QWidget, public ScanRestorable {
public:
    OwnField() { setFocusPolicy(Qt::StrongFocus); }
    QString value = u"9.24"_s;
    [[nodiscard]] QVariant stateBeforeScan() const override { return value; }
    void restoreAfterScan(const QVariant& state) override { value = state.toString(); }

protected:
    void keyPressEvent(QKeyEvent* event) override { value += event->text(); }
};

}  // namespace

TEST_F(ScanWatchTest, ABurstIsTakenOutOfTheFieldAgain)
{
    field->setText(u"-17"_s);
    field->setFocus();
    field->setCursorPosition(2);
    QSignalSpy edited(field, &QLineEdit::textEdited);
    QSignalSpy entered(field, &QLineEdit::returnPressed);
    type(u"K7-0412"_s, 10);
    EXPECT_EQ(field->text(), u"-1K7-04127"_s);  // characters are never held back
    enter(10);
    ASSERT_EQ(scans.count(), 1);
    EXPECT_EQ(scans.at(0).at(0).toString(), u"K7-0412"_s);
    EXPECT_EQ(field->text(), u"-17"_s);
    EXPECT_EQ(field->cursorPosition(), 2);
    EXPECT_EQ(entered.count(), 0);
    // Whoever listened to the typing hears that the old text is back.
    ASSERT_FALSE(edited.isEmpty());
    EXPECT_EQ(edited.last().at(0).toString(), u"-17"_s);
}

TEST_F(ScanWatchTest, SelectionComesBackToo)
{
    field->setText(u"9.24"_s);
    field->setFocus();
    field->selectAll();
    type(u"B10-0874"_s, 5);
    enter(5);
    EXPECT_EQ(field->text(), u"9.24"_s);
    EXPECT_EQ(field->selectedText(), u"9.24"_s);
}

TEST_F(ScanWatchTest, AHandIsNotAScanner)
{
    field->setFocus();
    type(u"K7-0412"_s, 120);
    enter(120);
    EXPECT_EQ(scans.count(), 0);
    EXPECT_EQ(field->text(), u"K7-0412"_s);
    // Fast but too short.
    field->clear();
    type(u"-176"_s, 5);
    enter(5);
    EXPECT_EQ(scans.count(), 0);
    EXPECT_EQ(field->text(), u"-176"_s);
    // Fast typing with the Enter coming late.
    field->clear();
    type(u"K7-0412"_s, 5);
    enter(400);
    EXPECT_EQ(scans.count(), 0);
    // 35 ms is no gap of a scanner any more.
    field->clear();
    type(u"K7-0412"_s, 35);
    enter(35);
    EXPECT_EQ(scans.count(), 0);
}

TEST_F(ScanWatchTest, OnlyTheBurstAfterASlowStartCounts)
{
    field->setFocus();
    type(u"1"_s, 300);
    type(u"K7-0421"_s, 300);
    field->clear();
    type(u"9"_s, 500);
    press('K', u"K"_s, 500);
    type(u"7-0421"_s, 8);
    enter(8);
    ASSERT_EQ(scans.count(), 1);
    EXPECT_EQ(scans.at(0).at(0).toString(), u"K7-0421"_s);
    EXPECT_EQ(field->text(), u"9"_s);  // what the hand typed before stays
}

TEST_F(ScanWatchTest, AHeldKeyIsNoScan)
{
    field->setFocus();
    press('A', u"a"_s, 500);
    for (int i = 0; i < 12; ++i)
        press('A', u"a"_s, 30, Qt::NoModifier, true);
    enter(20);
    EXPECT_EQ(scans.count(), 0);
}

TEST_F(ScanWatchTest, EveryFieldTheBurstReachedIsPutBack)
{
    field->setText(u"1"_s);
    other->setText(u"2"_s);
    // As a form does that moves on after a digit.
    QObject::connect(field, &QLineEdit::textEdited, other, [this] { other->setFocus(); });
    field->setFocus();
    type(u"K7-0412"_s, 5);
    EXPECT_EQ(other->text(), u"27-0412"_s);
    enter(5);
    ASSERT_EQ(scans.count(), 1);
    EXPECT_EQ(scans.at(0).at(0).toString(), u"K7-0412"_s);
    EXPECT_EQ(field->text(), u"1"_s);
    EXPECT_EQ(other->text(), u"2"_s);
    EXPECT_TRUE(field->hasFocus());
}

TEST_F(ScanWatchTest, TextAndNumberFieldsGoBack)
{
    remark->setPlainText(u"hard white coat"_s);
    remark->setFocus();
    type(u"K7-0412"_s, 5);
    enter(5);
    EXPECT_EQ(remark->toPlainText(), u"hard white coat"_s);
    minutes->setRange(0, 100000);
    minutes->setValue(60);
    minutes->setFocus();
    type(u"12345"_s, 5);
    enter(5);
    EXPECT_EQ(scans.count(), 2);
    EXPECT_EQ(minutes->value(), 60);
}

TEST_F(ScanWatchTest, FieldsOfOurOwnAndKeptOnesGoBack)
{
    auto* own = new OwnField;
    window.layout()->addWidget(own);
    QTest::qWait(1);
    own->setFocus();
    type(u"K7-0412"_s, 5);
    EXPECT_NE(own->value, u"9.24"_s);
    enter(5);
    EXPECT_EQ(own->value, u"9.24"_s);
    // A field that others pass letters to is kept from the first one on.
    watch.keep(other);
    other->setText(u"AE-31"_s);
    own->setFocus();
    press('K', u"K"_s, 500);
    other->setText(u"AE-31K"_s);
    other->setFocus();
    type(u"7-0412"_s, 5);
    enter(5);
    EXPECT_EQ(other->text(), u"AE-31"_s);
    EXPECT_TRUE(own->hasFocus());
}

TEST_F(ScanWatchTest, LimitsAndRestCanBeSet)
{
    watch.setLimits(8, 50);
    field->setFocus();
    type(u"K7-0412"_s, 45);
    enter(45);
    EXPECT_EQ(scans.count(), 0);  // seven characters
    type(u"B10-08745"_s, 45);
    enter(45);
    EXPECT_EQ(scans.count(), 1);
    watch.setActive(false);
    type(u"B10-08745"_s, 5);
    enter(5);
    EXPECT_EQ(scans.count(), 1);
}
