#include "app/bench/ladder_view.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/caution_box.h"
#include "app/bench/did_row.h"
#include "app/bench/entry_field.h"
#include "app/bench/form_parts.h"
#include "app/bench/phase_head.h"
#include "app/bench/removal_box.h"
#include "app/bench/standard_picker.h"
#include "app/bench/test_panel.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QCheckBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

/// Makes the rows of the form, top to bottom as on the paper sheet.
namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr double kWidestForm = 860;  ///< px at scale 1: rows do not stretch beyond what the eye follows

EntryField* field(BenchPresenter& presenter, StopKind kind, EntryField::Mode mode, const NumberShape& shape, int digits,
                  const QString& name, const QString& accessible, QWidget* parent)
{
    auto* f = new EntryField(presenter, {kind}, mode, shape, parent);
    f->setObjectName(name);
    f->setAccessibleName(accessible);
    f->setDigits(digits);
    return f;
}

QHBoxLayout* rowIn(QWidget* row, const Metrics& metrics)
{
    auto* layout = new QHBoxLayout(row);
    layout->setContentsMargins(metrics.grid(3), metrics.grid(1), metrics.grid(2), metrics.grid(1));
    layout->setSpacing(metrics.spacing());
    return layout;
}

}  // namespace

void LadderView::build()
{
    const Metrics metrics = Metrics::of(this);
    auto* page = new QWidget(this);
    page->setMaximumWidth(metrics.px(kWidestForm));
    m_column = new QVBoxLayout(page);
    m_column->setContentsMargins(metrics.grid(1), metrics.grid(2), metrics.grid(1), metrics.grid(2));
    m_column->setSpacing(metrics.grid(1));

    m_serialRow = new QWidget(page);
    auto* serial = rowIn(m_serialRow, metrics);
    serial->addWidget(formLabel(tr("Serial on the cable? last two characters"), TextRole::Body, Role::Ink1, m_serialRow));
    m_serial = field(m_presenter, StopKind::Serial, EntryField::Mode::Serial, {}, 6, QStringLiteral("bench.visit.serial"),
                     tr("Serial on the cable, last two characters"), m_serialRow);
    serial->addWidget(m_serial);
    serial->addWidget(formLabel(tr("? can't be read"), TextRole::Hint, Role::Ink3, m_serialRow));
    serial->addStretch(1);
    m_column->addWidget(m_serialRow);

    m_column->addWidget(holdRow());
    m_holdNote = new NoteLine(page);
    m_holdNote->setObjectName(QStringLiteral("bench.hold.note"));
    m_column->addWidget(m_holdNote);
    m_column->addWidget(coatingRow());
    m_coatingNote = new NoteLine(page);
    m_column->addWidget(m_coatingNote);

    // One box for every caution: it stands where the step is chosen, or above the first dip.
    m_found = makeBlock(Phase::AsFound, tr("As found, dirty as it came"), m_column);

    auto* didHead = new PhaseHead(std::nullopt, tr("Did"), page);
    m_column->addWidget(didHead);
    m_did = new DidRow(m_presenter, page);
    m_column->addWidget(m_did);
    m_caution = new CautionBox(m_presenter, page);
    m_column->addWidget(m_caution);
    m_removal = new RemovalBox(m_presenter, page);
    m_column->addWidget(m_removal);
    m_picker = new StandardPicker(m_presenter, page);
    m_column->addWidget(m_picker);
    connect(m_picker, &StandardPicker::closed, this, [this] { follow(); });
    m_tests = new TestPanel(m_presenter, page);
    m_column->addWidget(m_tests);
    connect(m_tests, &TestPanel::closed, this, [this] { follow(); });
    connect(m_tests, &TestPanel::grew, this, &LadderView::keepInView);
    m_didNote = new NoteLine(page);
    m_didNote->setObjectName(QStringLiteral("bench.did.note"));
    m_column->addWidget(m_didNote);

    m_clean = makeBlock(Phase::AfterClean, tr("After cleaning"), m_column);
    m_left = makeBlock(Phase::AsLeft, tr("As left"), m_column);
    m_leftChoice = new KeyStrip({{u'U', tr("U adjusted")}, {u'=', tr("= nothing adjusted")}}, m_left.head);
    m_leftChoice->setObjectName(QStringLiteral("bench.left.choice"));
    m_leftChoice->setAccessibleName(tr("As left: U adjusted, equals sign nothing adjusted"));
    connect(m_leftChoice, &KeyStrip::picked, this, [this](QChar key) {
        m_presenter.goTo({StopKind::Left});
        m_presenter.press(key);
    });
    connect(m_leftChoice, &KeyStrip::focused, this, [this] { m_presenter.goTo({StopKind::Left}); });
    m_left.head->addBeside(m_leftChoice);
    m_leftChange = formLabel({}, TextRole::Hint, Role::Ink1, page);
    m_leftChange->setContentsMargins(metrics.grid(3), 0, 0, 0);
    m_keyIn = new NoteLine(page);
    m_keyIn->setObjectName(QStringLiteral("bench.left.keyin"));
    m_keyIn->setTextInteractionFlags(Qt::TextSelectableByMouse);
    m_keyed = new QCheckBox(tr("&Keyed into the analyser by hand"), page);
    m_keyed->setObjectName(QStringLiteral("bench.left.keyed"));
    m_keyed->setAccessibleName(tr("Keyed into the analyser by hand"));
    connect(m_keyed, &QCheckBox::toggled, this, [this](bool on) { m_presenter.setKeyed(on); });
    m_leftNote = new NoteLine(page);
    m_leftNote->setObjectName(QStringLiteral("bench.left.note"));
    // Under the head of "As left", before its dips.
    const int at = m_column->indexOf(m_left.body);
    m_column->insertWidget(at, m_leftNote);
    m_column->insertWidget(at, m_keyed);
    m_column->insertWidget(at, m_keyIn);
    m_column->addWidget(m_leftChange);

    m_advice = new NoteLine(page);
    m_advice->setObjectName(QStringLiteral("bench.visit.advice"));
    m_column->addWidget(m_advice);
    m_column->addWidget(closingRow());
    m_closingNote = new NoteLine(page);
    m_closingNote->setObjectName(QStringLiteral("bench.closing.note"));
    m_column->addWidget(m_closingNote);
    m_column->addStretch(1);
    setWidget(page);
}

QWidget* LadderView::holdRow()
{
    const Metrics metrics = Metrics::of(this);
    const bool orp = m_presenter.model().draft().kind == SensorKind::Orp;
    m_hold = new QWidget(this);
    auto* row = rowIn(m_hold, metrics);
    const NumberShape ph{.sign = true, .low = -2, .high = 16, .decimals = 2};
    const NumberShape mv{.sign = true, .low = -2000, .high = 2000, .decimals = 1};
    row->addWidget(formLabel(tr("In manual"), TextRole::Body, Role::Ink1, m_hold));
    m_manual = field(m_presenter, StopKind::Manual, EntryField::Mode::Time, {}, 5, QStringLiteral("bench.hold.manual"),
                     tr("Control room told, loop in manual or hold: time"), m_hold);
    m_manual->setToolTip(tr("Control room told, loop in manual or hold? Space stamps the time; digits: 0812."));
    row->addWidget(m_manual);
    row->addWidget(formLabel(orp ? tr("Loop mV") : tr("Loop pH"), TextRole::Body, Role::Ink1, m_hold));
    m_loop = field(m_presenter, StopKind::Loop, EntryField::Mode::Number, orp ? mv : ph, 5, QStringLiteral("bench.hold.loop"),
                   orp ? tr("Loop, millivolts") : tr("Loop, pH"), m_hold);
    row->addWidget(m_loop);
    row->addWidget(formLabel(orp ? tr("Grab mV") : tr("Grab pH"), TextRole::Body, Role::Ink1, m_hold));
    m_grab = field(m_presenter, StopKind::Grab, EntryField::Mode::Number, orp ? mv : ph, 5, QStringLiteral("bench.hold.grab"),
                   orp ? tr("Grab sample, millivolts") : tr("Grab sample, pH"), m_hold);
    row->addWidget(m_grab);
    row->addWidget(formLabel(tr("°C"), TextRole::Body, Role::Ink1, m_hold));
    m_grabTemp = field(m_presenter, StopKind::GrabTemp, EntryField::Mode::Number, {.sign = true, .low = -20, .high = 150, .decimals = 1}, 4,
                       QStringLiteral("bench.hold.temp"), tr("Grab sample, degrees Celsius"), m_hold);
    row->addWidget(m_grabTemp);
    auto* waterLabel = formLabel(tr("pH"), TextRole::Body, Role::Ink1, m_hold);
    row->addWidget(waterLabel);
    m_waterPh = field(m_presenter, StopKind::WaterPh, EntryField::Mode::Number, ph, 4, QStringLiteral("bench.hold.water"),
                      tr("pH of the water"), m_hold);
    m_waterPh->setToolTip(tr("pH of the water: ORP falls as pH rises, which is not a fault."));
    row->addWidget(m_waterPh);
    waterLabel->setVisible(orp);
    m_waterPh->setVisible(orp);
    m_gap = wrappedLine({}, TextRole::Hint, m_hold, Role::Ink3);
    row->addWidget(m_gap, 1);
    return m_hold;
}

QWidget* LadderView::coatingRow()
{
    const Metrics metrics = Metrics::of(this);
    auto* widget = new QWidget(this);
    auto* row = rowIn(widget, metrics);
    row->addWidget(formLabel(tr("Coating"), TextRole::Body, Role::Ink1, widget));
    std::vector<KeyStrip::Choice> amounts;
    for (char digit = '0'; digit <= '4'; ++digit)
        amounts.push_back({QChar::fromLatin1(digit), QString(QChar::fromLatin1(digit)), true});
    m_coating = new KeyStrip(std::move(amounts), widget);
    m_coating->setObjectName(QStringLiteral("bench.coating.amount"));
    m_coating->setAccessibleName(tr("Coating, 0 clean to 4"));
    row->addWidget(m_coating);
    m_look = new KeyStrip({{u'H', tr("Hard")}, {u'M', tr("sMear")}, {u'L', tr("sLippery")}, {u'I', tr("slImy")}}, widget);
    m_look->setObjectName(QStringLiteral("bench.coating.look"));
    m_look->setAccessibleName(tr("Look of the coating: Hard, sMear, sLippery, slImy"));
    row->addWidget(m_look);
    row->addStretch(1);
    for (auto [strip, kind] : {std::pair{m_coating, StopKind::Coating}, {m_look, StopKind::Look}}) {
        connect(strip, &KeyStrip::picked, this, [this, kind = kind](QChar key) {
            m_presenter.goTo({kind});
            m_presenter.press(key);
        });
        connect(strip, &KeyStrip::focused, this, [this, kind = kind] { m_presenter.goTo({kind}); });
    }
    return widget;
}

LadderView::Block LadderView::makeBlock(Phase phase, const QString& title, QVBoxLayout* column)
{
    const Metrics metrics = Metrics::of(this);
    Block b;
    b.head = new PhaseHead(phase, title, column->parentWidget());
    b.head->setObjectName(QStringLiteral("bench.%1.head")
                              .arg(QLatin1String(phase == Phase::AsFound      ? "found"
                                                 : phase == Phase::AfterClean ? "clean"
                                                                              : "left")));
    column->addWidget(b.head);
    b.body = new QWidget(column->parentWidget());
    b.rows = new QVBoxLayout(b.body);
    b.rows->setContentsMargins(metrics.grid(3), metrics.grid(1), metrics.grid(2), metrics.grid(1));
    b.rows->setSpacing(metrics.grid(1));
    column->addWidget(b.body);
    return b;
}

QWidget* LadderView::closingRow()
{
    const Metrics metrics = Metrics::of(this);
    auto* widget = new QWidget(this);
    auto* row = rowIn(widget, metrics);
    m_autoPart = new QWidget(widget);
    auto* autoRow = new QHBoxLayout(m_autoPart);
    autoRow->setContentsMargins(0, 0, 0, 0);
    autoRow->setSpacing(metrics.spacing());
    autoRow->addWidget(formLabel(tr("Back in auto"), TextRole::Body, Role::Ink1, m_autoPart));
    m_auto = field(m_presenter, StopKind::Auto, EntryField::Mode::Time, {}, 5, QStringLiteral("bench.closing.auto"),
                   tr("Back in auto: time"), m_autoPart);
    m_auto->setToolTip(tr("Wet, settled, agrees with a grab sample? Space stamps the time and closes the hold."));
    autoRow->addWidget(m_auto);
    row->addWidget(m_autoPart);
    row->addWidget(formLabel(tr("Remark"), TextRole::Body, Role::Ink1, widget));
    m_remark =
        field(m_presenter, StopKind::Remark, EntryField::Mode::Words, {}, 0, QStringLiteral("bench.closing.remark"), tr("Remark"), widget);
    m_remark->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    row->addWidget(m_remark, 1);
    m_approvePart = new QWidget(widget);
    auto* approveRow = new QHBoxLayout(m_approvePart);
    approveRow->setContentsMargins(0, 0, 0, 0);
    approveRow->setSpacing(metrics.spacing());
    approveRow->addWidget(formLabel(tr("Approved by"), TextRole::Body, Role::Ink1, m_approvePart));
    m_approve = field(m_presenter, StopKind::Approve, EntryField::Mode::Words, {}, 4, QStringLiteral("bench.closing.approve"),
                      tr("Approved by: initials, or O nobody reached"), m_approvePart);
    approveRow->addWidget(m_approve);
    row->addWidget(m_approvePart);
    m_log = new QPushButton(widget);
    m_log->setObjectName(QStringLiteral("bench.closing.log"));
    m_log->setAutoDefault(false);
    setPrimary(m_log);
    connect(m_log, &QPushButton::clicked, this, [this] { m_presenter.log(); });
    row->addWidget(m_log);
    return widget;
}

}  // namespace halfcell::app::bench
