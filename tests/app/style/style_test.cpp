#include "app/style/contrast.h"
#include "app/style/figure_painter.h"
#include "app/style/focus_ring.h"
#include "app/style/ink_style.h"
#include "app/style/status_label.h"
#include "app/style/theme.h"
#include "app/style/type.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QCheckBox>
#include <QComboBox>
#include <QFormLayout>
#include <QGroupBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QRadioButton>
#include <QSlider>
#include <QSpinBox>
#include <QStandardItemModel>
#include <QTabWidget>
#include <QTableView>
#include <QTest>
#include <QToolButton>
#include <QTreeWidget>
#include <QVBoxLayout>

#include <gtest/gtest.h>

#include <memory>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
using halfcell::core::Phase;
using halfcell::core::Signal;

namespace {

/// One of everything, without status marks.
std::unique_ptr<QWidget> everyControl(bool marks)
{
    auto window = std::make_unique<QWidget>();
    auto* columns = new QHBoxLayout(window.get());
    auto* left = new QVBoxLayout;
    columns->addLayout(left);
    auto* head = new QLabel(u"K7-0412"_s);
    setTextRole(head, TextRole::Serial, Weight::Heavy);
    left->addWidget(head);
    if (marks)
        for (const Condition condition : {Condition(Signal::Failure), Condition(Signal::FunctionCheck), Condition(Signal::OutOfSpecification),
                                          Condition(Signal::MaintenanceRequired), Condition(Signal::Normal), Condition()}) {
            auto* row = new QHBoxLayout;
            for (const int size : {14, 16, 24, 48}) {
                auto* label = new StatusLabel(size);
                label->setCondition(condition);
                row->addWidget(label);
            }
            left->addLayout(row);
        }
    auto* form = new QFormLayout;
    auto* field = new QLineEdit(u"−176"_s);
    field->setObjectName(u"test.form.field"_s);
    field->setSelection(0, 2);
    form->addRow(u"As found, mV"_s, field);
    auto* hint = new QLineEdit;
    hint->setPlaceholderText(u"Tag, serial or place; scan here"_s);
    form->addRow(u"Box"_s, hint);
    auto* spin = new QSpinBox;
    spin->setValue(60);
    form->addRow(u"Warning, minutes"_s, spin);
    auto* combo = new QComboBox;
    combo->addItems({u"routine"_s, u"complaint"_s});
    form->addRow(u"Reason"_s, combo);
    left->addLayout(form);
    auto* off = new QLineEdit(u"disabled"_s);
    off->setEnabled(false);
    form->addRow(u"Off"_s, off);
    auto* buttons = new QHBoxLayout;
    auto* log = new QPushButton(u"Log as T1"_s);
    setPrimary(log);
    buttons->addWidget(log);
    buttons->addWidget(new QPushButton(u"Other…"_s));
    auto* link = new QPushButton(u"Correct..."_s);
    setFlatLook(link, true);
    buttons->addWidget(link);
    auto* tool = new QToolButton;
    tool->setText(u"0"_s);
    buttons->addWidget(tool);
    auto* chosen = new QToolButton;
    chosen->setText(u"2"_s);
    chosen->setCheckable(true);
    chosen->setChecked(true);
    buttons->addWidget(chosen);
    left->addLayout(buttons);
    auto* ticks = new QHBoxLayout;
    auto* ticked = new QCheckBox(u"ticked"_s);
    ticked->setChecked(true);
    ticks->addWidget(ticked);
    ticks->addWidget(new QCheckBox(u"not"_s));
    auto* on = new QRadioButton(u"desk"_s);
    on->setChecked(true);
    ticks->addWidget(on);
    ticks->addWidget(new QRadioButton(u"glove"_s));
    left->addLayout(ticks);
    auto* progress = new QProgressBar;
    progress->setRange(0, 118);
    progress->setValue(61);
    progress->setFormat(u"61 of 118"_s);
    left->addWidget(progress);
    left->addWidget(new QSlider(Qt::Horizontal));
    left->addStretch();

    auto* right = new QVBoxLayout;
    columns->addLayout(right, 1);
    auto* tabs = new QTabWidget;
    auto* model = new QStandardItemModel(6, 3, tabs);
    model->setHorizontalHeaderLabels({u"Sensor"_s, u"Offset mV"_s, u"What next"_s});
    const double offsets[] = {-212.0, -11.9, 24.1, 0.0, -4.2, 3.1};
    for (int r = 0; r < 6; ++r) {
        model->setItem(r, 0, new QStandardItem(u"K7-04%1"_s.arg(10 + r)));
        auto* cell = new QStandardItem;
        Figure figure{.value = offsets[r], .sign = Sign::Always, .expanded = 3.4, .guilty = r == 0, .quiet = r > 2};
        if (r == 3)
            figure = {.reason = u"no temperature"_s};
        cell->setData(QVariant::fromValue(figure), FigureDelegate::kFigureRole);
        model->setItem(r, 1, cell);
        model->setItem(r, 2, new QStandardItem(u"leave"_s));
    }
    auto* table = new QTableView;
    table->setObjectName(u"test.table.rows"_s);
    table->setModel(model);
    table->setShowGrid(false);
    table->setSelectionBehavior(QAbstractItemView::SelectRows);
    table->setItemDelegateForColumn(1, new FigureDelegate({.integers = 3, .sign = true, .decimals = 1, .uncertaintyIntegers = 2, .uncertaintyDecimals = 1},
                                                           TextRole::Body, table));
    table->verticalHeader()->hide();
    table->resizeColumnsToContents();
    table->selectRow(1);
    tabs->addTab(table, u"Spending"_s);
    auto* tree = new QTreeWidget;
    tree->setHeaderHidden(true);
    auto* site = new QTreeWidgetItem(tree, {u"Saltmarsh Reclamation Plant"_s});
    new QTreeWidgetItem(site, {u"Neutralisation"_s});
    site->setExpanded(true);
    tabs->addTab(tree, u"Groups"_s);
    right->addWidget(tabs);
    auto* group = new QGroupBox(u"Before you touch it"_s);
    auto* inside = new QVBoxLayout(group);
    inside->addWidget(new QLabel(u"No acid until rinsed neutral, in moving air."_s));
    right->addWidget(group);
    return window;
}

}  // namespace

TEST(InkStyle, ControlsHaveNoHue)
{
    Theme theme(halfcell::test::application());
    for (const ThemeChoice choice : {ThemeChoice::Light, ThemeChoice::Dark}) {
        theme.setChoice(choice);
        const auto window = everyControl(false);
        const QImage image = halfcell::test::picture(*window, 1000, 560);
        ASSERT_FALSE(image.isNull());
        const auto found = halfcell::test::strongestHue(image);
        EXPECT_LE(found.spread, 24) << "at " << found.x << ", " << found.y;
        const auto marked = everyControl(true);
        const QImage withMarks = halfcell::test::picture(*marked, 1100, 760);
        EXPECT_GT(halfcell::test::strongestHue(withMarks).spread, 100);
        halfcell::test::keepPicture(withMarks, choice == ThemeChoice::Light ? u"controls_light.png"_s : u"controls_dark.png"_s);
    }
}

TEST(InkStyle, GloveTargetsAreLarge)
{
    Theme theme(halfcell::test::application());
    theme.setDensity(Density::Glove);
    QPushButton button(u"Log"_s);
    QLineEdit field;
    QCheckBox tick(u"a"_s);
    EXPECT_GE(button.sizeHint().height(), 56);
    EXPECT_GE(button.sizeHint().width(), 56);
    EXPECT_GE(field.sizeHint().height(), 56);
    EXPECT_GE(tick.sizeHint().height(), 56);
    theme.setDensity(Density::Desk);
    EXPECT_EQ(QPushButton(u"Log"_s).sizeHint().height(), 30);
    EXPECT_EQ(QLineEdit().sizeHint().height(), 30);
    EXPECT_GE(QCheckBox(u"a"_s).sizeHint().height(), 24);
}

TEST(InkStyle, TextRolesFollowTheScale)
{
    Theme theme(halfcell::test::application());
    QLabel label(u"K7-0412"_s);
    setTextRole(&label, TextRole::Serial, Weight::Heavy);
    label.show();
    EXPECT_EQ(label.font().pixelSize(), 24);
    theme.setScale(1.5);
    EXPECT_EQ(label.font().pixelSize(), 36);
    EXPECT_EQ(label.font().weight(), QFont::Bold);
    theme.setScale(1.0);
    EXPECT_EQ(label.font().pixelSize(), 24);
}

TEST(FocusRing, StandsOutsideTheControlWithAGap)
{
    Theme theme(halfcell::test::application());
    theme.setChoice(ThemeChoice::Light);
    QWidget window;
    window.resize(300, 120);
    QLineEdit first(&window), second(&window);
    first.setGeometry(40, 20, 200, 30);
    second.setGeometry(40, 70, 200, 30);
    FocusRing ring(&window);
    window.show();
    window.activateWindow();
    ASSERT_TRUE(QTest::qWaitForWindowActive(&window));
    first.setFocus();
    ASSERT_EQ(ring.target(), &first);
    const QImage image = window.grab().toImage();
    const QRgb ink = Palette::of(Scheme::Light)[Role::Ink1].rgb();
    const QRgb ground = Palette::of(Scheme::Light)[Role::Ground].rgb();
    EXPECT_EQ(image.pixel(37, 35), ink);     // 2 px of ink
    EXPECT_EQ(image.pixel(36, 35), ink);
    EXPECT_EQ(image.pixel(38, 35), ground);  // 2 px of gap
    EXPECT_EQ(image.pixel(39, 35), ground);
    second.setFocus();
    EXPECT_EQ(ring.target(), &second);
    EXPECT_EQ(window.grab().toImage().pixel(37, 35), ground);
    second.move(40, 60);
    EXPECT_EQ(ring.geometry(), QRect(36, 56, 208, 38));
    second.hide();
    EXPECT_EQ(ring.target(), &first);  // Qt hands the focus on
    first.clearFocus();
    EXPECT_FALSE(ring.isVisible());
}

TEST(StatusLabel, ReadsAsItsWord)
{
    StatusLabel label;
    label.setCondition(Signal::OutOfSpecification);
    EXPECT_EQ(label.accessibleName(), u"out of specification"_s);
    EXPECT_EQ(PhaseLabel(Phase::AfterClean).accessibleName(), u"after cleaning"_s);
}
