#include "app/bench/ladder_view.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/caution_box.h"
#include "app/bench/did_row.h"
#include "app/bench/dip_row.h"
#include "app/bench/entry_field.h"
#include "app/bench/form_parts.h"
#include "app/bench/phase_head.h"
#include "app/bench/removal_box.h"
#include "app/bench/standard_picker.h"
#include "app/bench/test_panel.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QApplication>
#include <QCheckBox>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QTimer>
#include <QVBoxLayout>

#include <algorithm>

/// Keys, focus and refreshing of the form; its making is in ladder_rows.cpp.
namespace halfcell::app::bench {

using namespace core;

LadderView::LadderView(BenchPresenter& presenter, QWidget* parent) : QScrollArea(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.ladder.area"));
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::NoFocus);
    build();
    connect(&m_presenter, &BenchPresenter::formChanged, this, &LadderView::refresh);
    connect(&m_presenter, &BenchPresenter::liveChanged, this, &LadderView::refresh);
    connect(&m_presenter, &BenchPresenter::stopChanged, this, &LadderView::follow);
    refresh();
}

QSize LadderView::minimumSizeHint() const
{
    return {Metrics::of(this).px(560), Metrics::of(this).px(240)};
}

LadderView::Block& LadderView::block(Phase phase)
{
    return phase == Phase::AsFound ? m_found : phase == Phase::AfterClean ? m_clean : m_left;
}

QWidget* LadderView::widgetOf(const Stop& stop) const
{
    switch (stop.kind) {
    case StopKind::Serial: return m_serial;
    case StopKind::Manual: return m_manual;
    case StopKind::Loop: return m_loop;
    case StopKind::Grab: return m_grab;
    case StopKind::GrabTemp: return m_grabTemp;
    case StopKind::WaterPh: return m_waterPh;
    case StopKind::Coating: return m_coating;
    case StopKind::Look: return m_look;
    case StopKind::Did: return m_did;
    case StopKind::Left: return m_leftChoice;
    case StopKind::Auto: return m_auto;
    case StopKind::Remark: return m_remark;
    case StopKind::Approve: return m_approve;
    case StopKind::Log: return m_log;
    default: break;
    }
    const auto& rows = stop.phase == Phase::AsFound ? m_found.dips : stop.phase == Phase::AfterClean ? m_clean.dips : m_left.dips;
    return stop.dip < rows.size() ? rows[stop.dip]->field(stop.kind) : nullptr;
}

// --- refreshing ------------------------------------------------------------------------------------------------------

QString LadderView::saidAt(const Stop& stop) const
{
    const Stop& at = m_presenter.saidAt();
    // What was said of a dip stands under its row, whichever of its fields it concerns.
    const bool same = isDipStop(stop) ? isDipStop(at) && at.phase == stop.phase && at.dip == stop.dip : at.kind == stop.kind;
    return same ? m_presenter.said() : QString();
}

bool LadderView::asksAt(const Stop& stop) const
{
    const auto& asked = m_presenter.model().asked();
    if (m_presenter.model().asksWhyNone() && stop.phase == Phase::AsFound && stop.dip == 0)
        return true;
    return asked && asked->place.phase == stop.phase && asked->place.dip == stop.dip;
}

void LadderView::refresh()
{
    if (!m_presenter.hasVisit())
        return;
    // Rows that open and close pass the focus around; only a hand moves the place where the next key acts.
    const bool here = isAncestorOf(QApplication::focusWidget());
    m_presenter.setQuiet(true);
    refreshRows();
    m_presenter.setQuiet(false);
    if (here)
        keepFocus();
}

void LadderView::keepFocus()
{
    const BenchModel& model = m_presenter.model();
    QWidget* focus = QApplication::focusWidget();
    const bool inBox = (m_tests->isVisible() && m_tests->isAncestorOf(focus)) ||
                       (m_removal->isVisible() && m_removal->isAncestorOf(focus)) ||
                       (m_picker->isVisible() && m_picker->isAncestorOf(focus));
    const QWidget* wanted = model.box() ? static_cast<QWidget*>(m_caution) : widgetOf(model.stop());
    if (!inBox && focus != wanted && (!focus || isAncestorOf(focus)) && focus != m_keyed)
        follow();
}

void LadderView::refreshRows()
{
    const VisitDraft& d = m_presenter.model().draft();
    const bool placed = !d.tag.empty();
    m_serialRow->setVisible(d.serialSeen != SerialSeen::Scanned);
    m_serial->showText(d.serialTyped);
    m_hold->setVisible(placed);
    m_manual->showText(d.manualTyped);
    m_manual->setPlaceholderText(d.hold == HoldAnswer::NoLoop       ? tr("no loop")
                                 : d.hold == HoldAnswer::NotWritten ? tr("not known")
                                                                    : QString());
    m_loop->showText(d.loop.text);
    m_grab->showText(d.grab.text);
    m_grabTemp->showText(d.grabTemp.text);
    m_waterPh->showText(d.waterPh.text);
    for (auto [field, entry] : {std::pair{m_loop, &d.loop}, {m_grab, &d.grab}, {m_grabTemp, &d.grabTemp}, {m_waterPh, &d.waterPh}})
        field->setPlaceholderText(entry->notDone ? tr("not done") : QString());
    const auto loop = d.loop.value();
    const auto grab = d.grab.value();
    const bool orp = d.kind == SensorKind::Orp;
    m_gap->setText(loop && grab ? tr("loop − grab %1").arg(figureText(*loop - *grab, orp ? 0 : 2, Sign::Always)) : QString());
    QString note;
    for (const StopKind kind : {StopKind::Serial, StopKind::Manual, StopKind::Loop, StopKind::Grab, StopKind::GrabTemp, StopKind::WaterPh})
        if (const QString said = saidAt({kind}); !said.isEmpty())
            note = said;
    m_holdNote->show(note, false);

    m_coating->setChosen(d.coating.value_or(-1));
    m_look->setVisible(d.coating.value_or(1) > 0);
    m_look->setEnabled(d.coating.value_or(0) > 0);
    m_look->setChosen(d.look ? static_cast<int>(*d.look) : -1);
    QString coatingNote = saidAt({StopKind::Coating});
    if (coatingNote.isEmpty())
        coatingNote = saidAt({StopKind::Look});
    m_coatingNote->show(coatingNote, false);

    for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft})
        refreshBlock(phase);
    m_did->refresh();
    m_didNote->show(saidAt({StopKind::Did}), false);
    m_advice->show(m_presenter.live().advice, false);
    refreshClosing();
    placeBox();
    m_caution->refresh();
    m_removal->refresh();
}

void LadderView::refreshBlock(Phase phase)
{
    Block& b = block(phase);
    const BenchModel& model = m_presenter.model();
    const VisitDraft& d = model.draft();
    const PhaseForm& form = d.phase(phase);
    const LivePhase& live = m_presenter.live().phase(phase);
    const bool open = phase == Phase::AsFound      ? d.whyNoneFound.empty()
                      : phase == Phase::AfterClean ? d.cleaned() && d.didEnded && !d.clean.passed
                                                   : d.leftAnswer == LeftAnswer::Adjusted;
    if (b.dips.size() != form.dips.size()) {
        for (DipRow* row : b.dips)
            row->deleteLater();
        b.dips.clear();
        for (std::size_t i = 0; i < form.dips.size(); ++i) {
            auto* row = new DipRow(m_presenter, phase, i, phase == Phase::AsLeft, b.body);
            connect(row, &DipRow::standardAsked, this, [this, phase, i] { openPicker(phase, i); });
            b.rows->addWidget(row);
            b.dips.push_back(row);
        }
        // New fields go into the order of Tab where they stand on the form.
        QWidget* before = phase == Phase::AsFound      ? static_cast<QWidget*>(m_look)
                          : phase == Phase::AfterClean ? static_cast<QWidget*>(m_did)
                                                       : m_leftChoice;
        for (DipRow* row : b.dips)
            for (const StopKind kind : {StopKind::Mv, StopKind::Temp, StopKind::Wait, StopKind::Shown})
                if (QWidget* field = row->field(kind)) {
                    QWidget::setTabOrder(before, field);
                    before = field;
                }
    }
    b.head->showFigures(live);
    if (phase == Phase::AfterClean)
        b.head->setVisible(open);
    b.body->setVisible(open);
    for (std::size_t i = 0; i < b.dips.size() && i < live.dips.size(); ++i) {
        const Stop stop{StopKind::Mv, phase, i};
        // The change stands beside the last reading of the phase.
        const bool last = i + 1 == b.dips.size();
        b.dips[i]->refresh(form.dips[i], live.dips[i], last && phase != Phase::AsLeft ? live.change : QString(), saidAt(stop),
                           asksAt(stop));
    }
}

void LadderView::refreshClosing()
{
    const VisitDraft& d = m_presenter.model().draft();
    const LiveReadings& live = m_presenter.live();
    m_found.head->setTitle(d.whyNoneFound.empty() ? tr("As found, dirty as it came")
                                                  : tr("Nothing as found: %1").arg(QString::fromStdString(d.whyNoneFound)));
    m_leftChoice->setChosen(d.leftAnswer == LeftAnswer::Adjusted ? 0 : d.leftAnswer == LeftAnswer::Same ? 1 : -1);
    const bool adjusted = d.leftAnswer == LeftAnswer::Adjusted;
    m_leftChange->setText(adjusted ? live.left.change : QString());
    m_keyIn->show(adjusted && live.keyIn ? live.keyIn->text : QString(), false);
    m_keyed->setVisible(adjusted && live.keyIn.has_value());
    m_keyed->setChecked(d.keyed);
    m_leftNote->show(saidAt({StopKind::Left}), false);
    m_autoPart->setVisible(!d.tag.empty() && d.hold != HoldAnswer::NoLoop);
    m_auto->showText(d.autoTyped);
    m_remark->showText(d.remark);
    m_approvePart->setVisible(d.asksApproval);
    m_approve->showText(d.approvalTyped);
    const QString person = m_presenter.shop().person();
    m_log->setText(person.isEmpty() ? tr("Log") : tr("Log as %1").arg(person));
    QString note;
    for (const StopKind kind : {StopKind::Auto, StopKind::Remark, StopKind::Approve, StopKind::Log})
        if (const QString said = saidAt({kind}); !said.isEmpty())
            note = said;
    m_closingNote->show(note, false);
}

// --- focus and keys --------------------------------------------------------------------------------------------------

void LadderView::takeFocus()
{
    follow();
}

void LadderView::follow()
{
    if (!m_presenter.hasVisit() || m_following || !isVisible())
        return;
    m_following = true;
    m_did->refresh();
    const BenchModel& model = m_presenter.model();
    QWidget* target = model.box() ? static_cast<QWidget*>(m_caution) : widgetOf(model.stop());
    if (model.removal())
        target = nullptr;  // the box keeps the focus it took
    if (target && target->isVisibleTo(this)) {
        if (!target->hasFocus())
            target->setFocus(Qt::OtherFocusReason);
        if (auto* field = qobject_cast<EntryField*>(target); field && model.asked())
            field->readAgain();
        // The row that the key acts on stays in view, with what is said under it.
        const QRect place(target->mapTo(widget(), QPoint(0, 0)), target->size());
        ensureVisible(place.center().x(), place.center().y(), 0, Metrics::of(this).row() * 2 + place.height() / 2);
    }
    m_following = false;
}

void LadderView::openPicker(Phase phase, std::size_t dip)
{
    m_column->insertWidget(m_column->indexOf(block(phase).body) + 1, m_picker);
    m_picker->openFor(phase, dip);
    ensureWidgetVisible(m_picker, 0, Metrics::of(this).row());
}

void LadderView::keepInView(QWidget* row)
{
    // The row has its new height once the layouts have been gone through.
    widget()->layout()->activate();
    QTimer::singleShot(0, row, [this, row] {
        ensureWidgetVisible(m_tests, 0, 0);
        ensureWidgetVisible(row, 0, Metrics::of(this).row());
    });
}

void LadderView::placeBox()
{
    const auto& box = m_presenter.model().box();
    if (!box)
        return;
    // Beside its cause: above everything before the sensor is withdrawn, under the dip or the step otherwise.
    QWidget* above = box->about == Box::About::Withdrawal ? nullptr
                     : box->about == Box::About::Standard ? block(box->dip.phase).body
                                                          : static_cast<QWidget*>(m_did);
    const int wanted = above ? m_column->indexOf(above) + 1 : 0;
    if (m_column->indexOf(m_caution) != wanted && m_column->indexOf(m_caution) != wanted - 1)
        m_column->insertWidget(wanted, m_caution);
}

void LadderView::keyPressEvent(QKeyEvent* event)
{
    if (!m_presenter.hasVisit()) {
        QScrollArea::keyPressEvent(event);
        return;
    }
    const bool control = event->modifiers() & Qt::ControlModifier;
    switch (event->key()) {
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (control)
            m_presenter.log();
        else if (event->modifiers() & Qt::ShiftModifier)
            m_presenter.back();
        else
            m_presenter.enter();
        return;
    case Qt::Key_F2:
        if (const Stop stop = m_presenter.model().stop(); isDipStop(stop))
            openPicker(stop.phase, stop.dip);
        return;
    case Qt::Key_F3:
        if (!m_presenter.model().box())
            m_tests->open();
        return;
    case Qt::Key_F7: m_presenter.turnSign(); return;
    case Qt::Key_F8: m_presenter.exchange(); return;
    case Qt::Key_Up:
        if (!control)
            m_presenter.up();
        return;
    case Qt::Key_Down: focusNextChild(); return;
    case Qt::Key_Backspace: m_presenter.backspace(); return;
    case Qt::Key_Space: m_presenter.space(); return;
    default: break;
    }
    const QString typed = event->text();
    if (!control && !(event->modifiers() & Qt::AltModifier) && !typed.isEmpty() && typed.at(0).isPrint() && m_presenter.press(typed.at(0)))
        return;
    event->ignore();
}

}  // namespace halfcell::app::bench
