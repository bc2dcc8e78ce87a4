#include "app/bench/visit_page.h"

#include "app/bench/before_panel.h"
#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/ladder_view.h"
#include "app/bench/readings_panel.h"
#include "app/bench/sensor_panel.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QPushButton>
#include <QScrollArea>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app::bench {

namespace {

constexpr double kRightNormal = 392;  ///< px at scale 1; the form keeps 624 of 1280

QScrollArea* column(QWidget* inside, const QString& name, QWidget* parent)
{
    auto* area = new QScrollArea(parent);
    area->setObjectName(name);
    area->setFrameShape(QFrame::NoFrame);
    area->setWidgetResizable(true);
    area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    area->setFocusPolicy(Qt::NoFocus);
    area->setWidget(inside);
    setSurface(area, Role::Sheet);
    setSurface(inside, Role::Sheet);
    return area;
}

}  // namespace

VisitPage::VisitPage(BenchPresenter& presenter, QWidget* parent) : QWidget(parent), m_presenter(presenter)
{
    auto* across = new QHBoxLayout(this);
    across->setContentsMargins(0, 0, 0, 0);
    across->setSpacing(0);

    auto* left = new QWidget;
    auto* leftColumn = new QVBoxLayout(left);
    leftColumn->setContentsMargins(0, 0, 0, 0);
    leftColumn->setSpacing(0);
    m_before = new BeforePanel(presenter, left);
    m_sensor = new SensorPanel(presenter, left);
    leftColumn->addWidget(m_before);
    leftColumn->addWidget(m_sensor, 1);
    m_left = column(left, QStringLiteral("bench.left.area"), this);
    across->addWidget(m_left);

    auto* middle = new QWidget(this);
    auto* middleColumn = new QVBoxLayout(middle);
    middleColumn->setContentsMargins(0, 0, 0, 0);
    middleColumn->setSpacing(0);
    m_folded = new QPushButton(middle);
    m_folded->setObjectName(QStringLiteral("bench.before.folded"));
    m_folded->setFocusPolicy(Qt::TabFocus);
    setFlatLook(m_folded, false);
    setTextRole(m_folded, TextRole::Body, Weight::Heavy);
    m_folded->setText(tr("Before you touch it: %1 · F6").arg(m_before->oneLine()));
    m_folded->setAccessibleName(m_folded->text());
    connect(m_folded, &QPushButton::clicked, this, [this] { show(kLeft); });
    middleColumn->addWidget(m_folded);
    m_ladder = new LadderView(presenter, middle);
    middleColumn->addWidget(m_ladder, 1);
    buildNotLogged(middleColumn);
    across->addWidget(middle, 1);

    m_readings = new ReadingsPanel(presenter);
    m_right = column(m_readings, QStringLiteral("bench.readings.area"), this);
    across->addWidget(m_right);

    connect(&presenter, &BenchPresenter::formChanged, m_sensor, &SensorPanel::refresh);
    connect(m_sensor, &SensorPanel::kitClosed, this, [this] {
        if (m_region == kLeft)
            show(kForm);
        else
            m_ladder->takeFocus();
    });
    layOut();
}

void VisitPage::buildNotLogged(QVBoxLayout* column)
{
    const Metrics metrics = Metrics::of(this);
    m_notLogged = new QWidget(this);
    m_notLogged->setObjectName(QStringLiteral("bench.notlogged"));
    auto* part = new QVBoxLayout(m_notLogged);
    part->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    part->setSpacing(metrics.spacing());
    m_notLoggedWords = new NoteLine(m_notLogged);
    m_notLoggedWords->setObjectName(QStringLiteral("bench.notlogged.words"));
    part->addWidget(m_notLoggedWords);
    auto* row = new QHBoxLayout;
    auto* again = new QPushButton(tr("Try again  (Ctrl+Enter)"), m_notLogged);
    again->setObjectName(QStringLiteral("bench.notlogged.again"));
    again->setAccessibleName(tr("Try again to log the visit"));
    auto* elsewhere = new QPushButton(tr("Save the visit elsewhere…  (Ctrl+S)"), m_notLogged);
    elsewhere->setObjectName(QStringLiteral("bench.notlogged.elsewhere"));
    elsewhere->setAccessibleName(tr("Save the visit elsewhere, as a file of its own"));
    row->addWidget(again);
    row->addWidget(elsewhere);
    row->addStretch(1);
    part->addLayout(row);
    column->addWidget(m_notLogged);
    connect(again, &QPushButton::clicked, &m_presenter, &BenchPresenter::log);
    connect(elsewhere, &QPushButton::clicked, &m_presenter, &BenchPresenter::askElsewhere);
    connect(&m_presenter, &BenchPresenter::notLoggedChanged, this, &VisitPage::showNotLogged);
    showNotLogged();
}

void VisitPage::showNotLogged()
{
    m_notLoggedWords->show(m_presenter.notLogged(), true);
    m_notLogged->setVisible(!m_presenter.notLogged().isEmpty());
}

QWidget* VisitPage::ladder() const
{
    return m_ladder;
}

QList<QWidget*> VisitPage::regions() const
{
    QList<QWidget*> all;
    for (QWidget* part : {static_cast<QWidget*>(m_ladder), static_cast<QWidget*>(m_right), static_cast<QWidget*>(m_left)})
        if (part->isVisible())
            all.append(part);
    return all;
}

bool VisitPage::isMine(const QKeyEvent& key) const
{
    const bool plain = key.modifiers() == Qt::NoModifier || key.modifiers() == Qt::KeypadModifier;
    switch (key.key()) {
    case Qt::Key_F2:
    case Qt::Key_F3:
    case Qt::Key_F7:
    case Qt::Key_F8: return plain;
    case Qt::Key_B:
    case Qt::Key_S:
    case Qt::Key_Return:
    case Qt::Key_Enter: return key.modifiers() & Qt::ControlModifier;
    // Where not all regions are on the page, the page itself turns them.
    case Qt::Key_F6: return !m_left->isVisible() || !m_right->isVisible() || m_region != kForm;
    default: return false;
    }
}

bool VisitPage::event(QEvent* event)
{
    if (event->type() == QEvent::ShortcutOverride && isMine(*static_cast<QKeyEvent*>(event))) {
        event->accept();
        return true;
    }
    return QWidget::event(event);
}

void VisitPage::takeFocus()
{
    m_ladder->takeFocus();
}

void VisitPage::layOut()
{
    if (!m_right)
        return;  // still being made
    const Metrics metrics = Metrics::of(this);
    const WidthClass width = metrics.widthClass(this->width());
    const bool open = width == WidthClass::Wide || width == WidthClass::Normal;
    const bool single = width == WidthClass::Single;
    if (open)
        m_region = kForm;
    m_left->setVisible(open || m_region == kLeft);
    m_folded->setVisible(!open && m_region != kLeft);
    m_ladder->parentWidget()->setVisible(!single || m_region == kForm);
    m_right->setVisible(single ? m_region == kReadings : open || m_region != kLeft);
    m_right->setFixedWidth(single                        ? this->width()
                           : width == WidthClass::Wide   ? metrics.rightColumn()
                           : width == WidthClass::Normal ? metrics.px(kRightNormal)
                                                         : metrics.px(320));
    m_left->setFixedWidth(single && m_region == kLeft ? this->width() : metrics.leftColumn());
}

void VisitPage::show(Region region)
{
    m_region = region;
    layOut();
    if (region == kForm)
        m_ladder->takeFocus();
    else
        (region == kLeft ? static_cast<QWidget*>(m_left) : m_right)->setFocus(Qt::OtherFocusReason);
}

void VisitPage::nextRegion(int direction)
{
    show(static_cast<Region>((m_region + kRegions + direction) % kRegions));
}

void VisitPage::openKit()
{
    if (!m_left->isVisible())
        show(kLeft);
    m_sensor->openKit();
    m_left->ensureWidgetVisible(m_sensor);
}

void VisitPage::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    layOut();
}

void VisitPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange)
        layOut();
}

void VisitPage::keyPressEvent(QKeyEvent* event)
{
    if (event->modifiers() == Qt::ControlModifier && event->key() == Qt::Key_B) {
        openKit();
        return;
    }
    if (event->key() == Qt::Key_L && event->modifiers() == Qt::NoModifier) {
        openKit();
        return;
    }
    if (event->modifiers() == Qt::ControlModifier && (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)) {
        m_presenter.log();
        return;
    }
    if (event->modifiers() == Qt::ControlModifier && event->key() == Qt::Key_S) {
        m_presenter.askElsewhere();
        return;
    }
    if (event->key() == Qt::Key_F6) {
        nextRegion(event->modifiers() & Qt::ShiftModifier ? -1 : 1);
        return;
    }
    if (event->key() == Qt::Key_Escape) {
        // Never throws anything away: a box waits for its answer, else the visit is parked as a draft.
        if (m_region != kForm)
            show(kForm);
        else if (m_presenter.model().box() && m_presenter.model().box()->about == Box::About::Withdrawal)
            m_presenter.park();
        else if (!m_presenter.model().box())
            QWidget::keyPressEvent(event);  // an earlier moment is left, a panel closed
        return;
    }
    QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app::bench
