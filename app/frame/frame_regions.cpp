// Regions, keys and sizes of the window.
#include "app/frame/frame.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QDateTime>
#include <QEvent>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QShortcut>
#include <QStackedWidget>
#include <QTextBrowser>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

namespace {

constexpr char kFolded[] = "halfcellFolded";  // hidden by the frame, not by the desk

bool takesFocus(const QWidget* widget)
{
    return widget->isVisible() && widget->isEnabled() && (widget->focusPolicy() & Qt::TabFocus) == Qt::TabFocus;
}

}  // namespace

QList<QWidget*> Frame::deskRegions() const
{
    const int index = current();
    if (index < 0)
        return {};
    const DeskEntry& entry = m_entries[static_cast<std::size_t>(index)];
    return entry.regions ? entry.regions() : QList<QWidget*>{entry.widget};
}

QList<QWidget*> Frame::regions() const
{
    QList<QWidget*> all = deskRegions();
    if (m_side->isVisible() && m_sidePanel)
        all.append(m_side);
    all.append(m_strip);
    all.append(m_line);
    all.append(m_top);
    return all;
}

QWidget* Frame::landingOf(QWidget* region) const
{
    if (const QPointer<QWidget> last = m_lastFocus.value(region); last && takesFocus(last) && region->isAncestorOf(last))
        return last;
    if (region == m_top && takesFocus(m_box))
        return m_box;
    if (region == m_side && m_sidePanel)
        region = m_sidePanel;
    if (takesFocus(region))
        return region;
    // The first in tab order, not in the order of making.
    for (QWidget* w = region->nextInFocusChain(); w != nullptr && w != region; w = w->nextInFocusChain())
        if (region->isAncestorOf(w) && takesFocus(w))
            return w;
    return nullptr;
}

void Frame::rememberFocus(QWidget* now)
{
    if (now == nullptr || now->window() != this)
        return;
    for (QWidget* region : regions())
        if (region != nullptr && (region == now || region->isAncestorOf(now)))
            m_lastFocus.insert(region, now);
}

void Frame::walkRegions(int direction)
{
    const QList<QWidget*> all = regions();
    const QWidget* focus = QApplication::focusWidget();
    qsizetype at = direction > 0 ? -1 : 0;
    for (qsizetype i = 0; i < all.size(); ++i)
        if (focus != nullptr && (all[i] == focus || all[i]->isAncestorOf(focus)))
            at = i;
    for (qsizetype step = 1; step <= all.size(); ++step) {
        QWidget* region = all[((at + direction * step) % all.size() + all.size()) % all.size()];
        if (region->property(kFolded).toBool()) {
            m_openRegion = region;
            foldRegions();
        }
        if (!region->isVisible())
            continue;
        if (QWidget* target = landingOf(region)) {
            target->setFocus(Qt::TabFocusReason);
            return;
        }
    }
}

void Frame::foldRegions()
{
    const QList<QWidget*> desk = deskRegions();
    const bool single = m_widthClass == WidthClass::Single && desk.size() > 1;
    if (single && !desk.contains(m_openRegion.data())) {
        // The region in use stays; else the first that is not only a list of places.
        const QWidget* focus = QApplication::focusWidget();
        const auto used = std::find_if(desk.begin(), desk.end(),
                                       [&](const QWidget* r) { return focus != nullptr && (r == focus || r->isAncestorOf(focus)); });
        m_openRegion = used != desk.end() ? *used : desk.first();
    }
    for (QWidget* region : desk) {
        const bool folded = single && region != m_openRegion;
        if (folded && !region->isHidden()) {
            region->setProperty(kFolded, true);
            region->hide();
        } else if (!folded && region->property(kFolded).toBool()) {
            region->setProperty(kFolded, false);
            region->show();
        }
    }
}

void Frame::makeShortcuts()
{
    for (const FrameKey& key : frameKeys())
        for (const QKeySequence& keys : key.keys) {
            auto* shortcut = new QShortcut(keys, this);
            shortcut->setContext(Qt::WindowShortcut);
            connect(shortcut, &QShortcut::activated, this, [this, what = key.act] { act(what); });
        }
}

void Frame::act(FrameAct what)
{
    switch (what) {
    case FrameAct::Box: m_box->take(); return;
    case FrameAct::Back: goBack(); return;
    case FrameAct::Visit: Q_EMIT visitAsked(); return;
    case FrameAct::Correct: Q_EMIT correctAsked(); return;
    case FrameAct::AsKnown: Q_EMIT asKnownAsked(); return;
    case FrameAct::Person: Q_EMIT personAsked(); return;
    case FrameAct::Holds: Q_EMIT holdAsked(); return;
    case FrameAct::NextRegion: walkRegions(1); return;
    case FrameAct::PreviousRegion: walkRegions(-1); return;
    case FrameAct::Help: help(); return;
    case FrameAct::FullScreen: isFullScreen() ? showNormal() : showFullScreen(); return;
    case FrameAct::ScaleUp: Q_EMIT scaleAsked(1); return;
    case FrameAct::ScaleDown: Q_EMIT scaleAsked(-1); return;
    case FrameAct::ScaleReset: Q_EMIT scaleAsked(0); return;
    case FrameAct::Desk:
    case FrameAct::Close: return;
    }
}

void Frame::help()
{
    const QWidget* focus = QApplication::focusWidget();
    const QString name = focus != nullptr ? focus->objectName() : QString();
    const qint64 now = QDateTime::currentMSecsSinceEpoch();
    constexpr qint64 kTwiceMs = 1500;
    if (m_lastHelpAt > 0 && now - m_lastHelpAt < kTwiceMs) {
        m_lastHelpAt = 0;
        showKeys();
        return;
    }
    m_lastHelpAt = now;
    m_lastHelp = name;
    Q_EMIT helpAsked(name);
}

void Frame::showKeys()
{
    if (m_keysPage == nullptr) {
        m_keysPage = new QTextBrowser(m_side);
        m_keysPage->setObjectName(QStringLiteral("frame.side.keys"));
        m_keysPage->setAccessibleName(tr("Keys"));
        m_keysPage->setFrameShape(QFrame::NoFrame);
        m_keysPage->hide();
    }
    QString html = QStringLiteral("<table cellpadding=\"4\">");
    for (const KeyLine& line : keyLines(m_keys))
        html += QStringLiteral("<tr><td style=\"white-space:nowrap\"><b>%1</b>&nbsp;&nbsp;</td><td>%2</td></tr>")
                    .arg(line.keys.toHtmlEscaped(), line.does.toHtmlEscaped());
    m_keysPage->setHtml(html + QStringLiteral("</table>"));
    showPanel(m_keysPage, tr("Keys of this screen"));
}

void Frame::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) {
        if (m_side->isVisible()) {
            hidePanel();
            return;
        }
        if (m_past) {
            Q_EMIT nowAsked();
            return;
        }
    }
    QMainWindow::keyPressEvent(event);
}

void Frame::paintGround()
{
    // Only the ground itself changes; bars and columns keep their sheet.
    const Palette inks = Palette::of(QApplication::palette());
    QPalette ground;
    if (m_past)
        ground.setColor(QPalette::Window, inks[Role::Past]);
    if (m_stack->palette().color(QPalette::Window) != (m_past ? inks[Role::Past] : inks[Role::Ground]))
        m_stack->setPalette(ground);
}

void Frame::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    m_top->setFixedHeight(metrics.topBar());
    m_topLayout->setContentsMargins(metrics.px(8), 0, metrics.margin(), 0);
    m_topLayout->setSpacing(metrics.spacing());
    m_box->setMaximumWidth(metrics.px(460));
    m_box->setMinimumWidth(metrics.px(120));
    m_line->setMinimumHeight(metrics.shopLine());
    m_line->setContentsMargins(metrics.margin() + metrics.px(4), metrics.px(4), metrics.margin(), metrics.px(4));
    m_sideLayout->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    applyWidth();
}

void Frame::applyWidth()
{
    const Metrics metrics = Metrics::of(this);
    const WidthClass now = metrics.widthClass(width());
    placeSide();
    if (now == m_widthClass)
        return;
    m_widthClass = now;
    foldRegions();
    Q_EMIT widthClassChanged(now);
}

void Frame::placeSide()
{
    // In a narrow window the panel stands in the desk's place.
    const Metrics metrics = Metrics::of(this);
    const QRect desk = m_stack->geometry();
    const int wide = metrics.widthClass(width()) == WidthClass::Single
                         ? desk.width()
                         : std::min(metrics.rightColumn(), std::max(metrics.px(240), desk.width() / 2));
    m_side->setGeometry(desk.right() + 1 - wide, desk.top(), wide, desk.height());
}

bool Frame::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == m_stack && (event->type() == QEvent::Resize || event->type() == QEvent::Move))
        placeSide();
    return QMainWindow::eventFilter(watched, event);
}

void Frame::resizeEvent(QResizeEvent* event)
{
    QMainWindow::resizeEvent(event);
    applyWidth();
}

void Frame::changeEvent(QEvent* event)
{
    QMainWindow::changeEvent(event);
    if (m_scan == nullptr)
        return;
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) {
        paintGround();
        refreshSentence();
    } else if (event->type() == QEvent::StyleChange) {
        applyMetrics();
    }
}

}  // namespace halfcell::app
