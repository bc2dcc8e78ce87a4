#include "app/plots/plot_base.h"

#include "app/plots/grammar.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QStackedLayout>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

QString PlotCaption::text() const
{
    QStringList parts;
    for (const QString& part : {sensor, span, rules, asKnown})
        if (!part.isEmpty())
            parts.append(part);
    return parts.join(u"; "_s);
}

PlotBase::PlotBase(QWidget* parent)
    : QWidget(parent), m_canvas(new QCustomPlot(this)), m_ink(std::make_unique<PlotInk>()), m_tableModel(new PlotTableModel(this)),
      m_tableView(new QTableView(this)), m_stack(new QStackedLayout), m_readout(new QLabel(this))
{
    setFocusPolicy(Qt::StrongFocus);
    m_canvas->setFocusPolicy(Qt::NoFocus);
    m_canvas->setInteractions(QCP::iNone);
    m_canvas->setMouseTracking(true);
    m_canvas->plotLayout()->clear();
    m_canvas->setContextMenuPolicy(Qt::NoContextMenu);
    m_tableView->setModel(m_tableModel);
    m_tableView->setShowGrid(false);
    m_tableView->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_tableView->verticalHeader()->hide();
    m_tableView->horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    m_tableView->setTabKeyNavigation(false);
    m_stack->addWidget(m_canvas);
    m_stack->addWidget(m_tableView);
    m_readout->setTextFormat(Qt::PlainText);
    m_readout->setWordWrap(true);
    m_readout->setAlignment(Qt::AlignLeft | Qt::AlignTop);
    m_readout->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Fixed);
    setTextRole(m_readout, TextRole::Hint);
    auto* column = new QVBoxLayout(this);
    column->addLayout(m_stack, 1);
    column->addWidget(m_readout);
    layOutMargins();
    connect(m_canvas, &QCustomPlot::mousePress, this, [this] { setFocus(Qt::MouseFocusReason); });
    connect(m_canvas, &QCustomPlot::mouseMove, this, [this](QMouseEvent* event) {
        if (event->buttons() != Qt::NoButton)
            return;
        if (const auto stop = stopAt(event->position()))
            setCursor(stop);
    });
    connect(m_canvas, &QCustomPlot::mouseDoubleClick, this, [this](QMouseEvent* event) {
        if (const auto stop = stopAt(event->position())) {
            setCursor(stop);
            Q_EMIT visitActivated(visitAt(*stop));
        }
    });
}

PlotBase::~PlotBase() = default;

void PlotBase::layOutMargins()
{
    // Room for the ring: 2 px of ink, 2 px of gap.
    const Metrics metrics = Metrics::of(this);
    const int ring = metrics.focusWidth() + metrics.focusGap();
    layout()->setContentsMargins(ring, ring, ring, ring);
    layout()->setSpacing(metrics.grid(1));
    // Two lines are kept free for the readout, so that the drawing does not jump while the cursor walks.
    const QFontMetrics text(m_readout->font());
    m_readout->setFixedHeight(2 * text.lineSpacing());
}

void PlotBase::setNames(const QString& objectName, const QString& accessibleName)
{
    setObjectName(objectName);
    setAccessibleName(accessibleName);
    m_canvas->setAccessibleName(accessibleName);
    m_tableView->setObjectName(objectName + u".table"_s);
    m_tableView->setAccessibleName(tr("Table of %1").arg(accessibleName));
    m_readout->setObjectName(objectName + u".readout"_s);
}

void PlotBase::setGround(Role role)
{
    m_ground = role;
    refreshInk();
}

void PlotBase::setReadoutShown(bool shown)
{
    m_readout->setVisible(shown);
}

QString PlotBase::summary() const
{
    return composeSummary();
}

bool PlotBase::tableShown() const
{
    return m_stack->currentWidget() == m_tableView;
}

void PlotBase::setTableShown(bool shown)
{
    if (shown == tableShown())
        return;
    if (shown) {
        m_tableModel->setTable(table());
        m_tableView->resizeColumnsToContents();
        if (m_tableModel->rowCount() > 0)
            m_tableView->selectRow(std::clamp(m_cursor.value_or(0), 0, m_tableModel->rowCount() - 1));
    }
    const bool focused = hasFocus() || m_tableView->hasFocus();
    m_stack->setCurrentWidget(shown ? static_cast<QWidget*>(m_tableView) : m_canvas);
    if (focused)
        (shown ? static_cast<QWidget*>(m_tableView) : this)->setFocus();
    Q_EMIT tableToggled(shown);
}

void PlotBase::seriesChanged()
{
    setAccessibleDescription(toPlain(composeSummary()));
    if (tableShown())
        m_tableModel->setTable(table());
    if (m_cursor && *m_cursor >= stopCount())
        m_cursor = stopCount() > 0 ? std::optional(stopCount() - 1) : std::nullopt;
    refreshInk();
    showStop(m_cursor);
    m_readout->setText(readout());
}

int PlotBase::drawingHeight() const
{
    return m_paperHeight > 0 ? m_paperHeight : m_canvas->height();
}

int PlotBase::heightBesideCanvas() const
{
    const QMargins margins = layout()->contentsMargins();
    const int readout = m_readout->isHidden() ? 0 : m_readout->minimumHeight() + std::max(0, layout()->spacing());
    return margins.top() + margins.bottom() + readout;
}

void PlotBase::drawLater()
{
    m_canvas->replot(QCustomPlot::rpQueuedReplot);
}

void PlotBase::setCursor(std::optional<int> stop)
{
    if (stop)
        stop = stopCount() > 0 ? std::optional(std::clamp(*stop, 0, stopCount() - 1)) : std::nullopt;
    if (stop == m_cursor)
        return;
    m_cursor = stop;
    showStop(stop);
    const QString text = readout();
    m_readout->setText(text);
    m_readout->setToolTip(text);
    Q_EMIT readoutChanged(text);
    drawLater();
}

QString PlotBase::readout() const
{
    return m_cursor ? readoutAt(*m_cursor) : QString();
}

QString PlotBase::visitAt(int stop) const
{
    Q_UNUSED(stop);
    return {};
}

QString PlotBase::figureAt(int stop) const
{
    Q_UNUSED(stop);
    return {};
}

void PlotBase::zoomBy(double factor)
{
    Q_UNUSED(factor);
}

bool PlotBase::zoomAll()
{
    return false;
}

bool PlotBase::takeKey(QKeyEvent& event)
{
    Q_UNUSED(event);
    return false;
}

bool PlotBase::wantsKey(const QKeyEvent& event) const
{
    Q_UNUSED(event);
    return false;
}

void PlotBase::refreshInk()
{
    m_ink->palette = Palette::of(palette());
    m_ink->scale = Metrics::of(this).scale;
    m_ink->ground = m_ground;
    layOutMargins();
    restyle();
    drawLater();
}

void PlotBase::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::StyleChange) {
        refreshInk();
        showStop(m_cursor);
    }
    QWidget::changeEvent(event);
}

void PlotBase::showEvent(QShowEvent* event)
{
    QWidget::showEvent(event);
    drawLater();
}

bool PlotBase::baseWantsKey(const QKeyEvent& event) const
{
    const Qt::KeyboardModifiers mods = event.modifiers() & ~Qt::KeypadModifier;
    if (mods == (Qt::ControlModifier | Qt::ShiftModifier))
        return event.key() == Qt::Key_T || event.key() == Qt::Key_S;
    if (mods == Qt::ControlModifier)
        return m_cursor && (event.key() == Qt::Key_C || (event.key() == Qt::Key_E && !figureAt(*m_cursor).isEmpty()));
    if (mods != Qt::NoModifier && mods != Qt::ShiftModifier)
        return false;
    switch (event.key()) {
    case Qt::Key_Left:
    case Qt::Key_Right:
    case Qt::Key_Home:
    case Qt::Key_End:
    case Qt::Key_Plus:
    case Qt::Key_Equal:
    case Qt::Key_Minus: return true;
    case Qt::Key_Return:
    case Qt::Key_Enter: return m_cursor && !visitAt(*m_cursor).isEmpty();
    default: return false;
    }
}

bool PlotBase::event(QEvent* event)
{
    // Keys of the plot come before the window's shortcuts with the same keys.
    if (event->type() == QEvent::ShortcutOverride) {
        const auto& key = static_cast<QKeyEvent&>(*event);
        if (baseWantsKey(key) || wantsKey(key)) {
            event->accept();
            return true;
        }
    }
    return QWidget::event(event);
}

void PlotBase::keyPressEvent(QKeyEvent* event)
{
    if (!baseWantsKey(*event)) {
        if (!takeKey(*event))
            QWidget::keyPressEvent(event);
        return;
    }
    const int count = stopCount();
    switch (event->key()) {
    case Qt::Key_T: setTableShown(!tableShown()); return;
    case Qt::Key_S: Q_EMIT exportAsked(); return;
    case Qt::Key_C: QApplication::clipboard()->setText(toPlain(readout())); return;
    case Qt::Key_E: Q_EMIT workingAsked(figureAt(*m_cursor)); return;
    case Qt::Key_Left: setCursor(m_cursor ? *m_cursor - 1 : count - 1); return;
    case Qt::Key_Right: setCursor(m_cursor ? *m_cursor + 1 : 0); return;
    case Qt::Key_Home:
        if (!zoomAll())
            setCursor(0);
        return;
    case Qt::Key_End: setCursor(count - 1); return;
    case Qt::Key_Plus:
    case Qt::Key_Equal: zoomBy(0.5); return;
    case Qt::Key_Minus: zoomBy(2.0); return;
    default: Q_EMIT visitActivated(visitAt(*m_cursor)); return;
    }
}

void PlotBase::focusInEvent(QFocusEvent* event)
{
    QWidget::focusInEvent(event);
    update();
}

void PlotBase::focusOutEvent(QFocusEvent* event)
{
    QWidget::focusOutEvent(event);
    update();
}

void PlotBase::paintEvent(QPaintEvent* event)
{
    QWidget::paintEvent(event);
    if (!hasFocus())
        return;
    const double width = Metrics::of(this).focusWidth();
    QPainter painter(this);
    painter.setPen(QPen(ink()[Role::Ink1], width, Qt::SolidLine, Qt::SquareCap, Qt::MiterJoin));
    painter.drawRect(QRectF(rect()).adjusted(width / 2, width / 2, -width / 2, -width / 2));
}

}  // namespace halfcell::app
