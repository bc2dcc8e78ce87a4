#include "app/rounds/board_view.h"

#include "app/style/efficiency_rule.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>

namespace halfcell::app {

namespace {

constexpr double kPersonColumn = 44.0;
constexpr double kHeadRow = 28.0;
constexpr double kLoadRow = 22.0;
constexpr double kLeastBar = 15.0;

}  // namespace

BoardView::BoardView(QWidget* parent) : QWidget(parent)
{
    setObjectName(QStringLiteral("rounds.board"));
    setAccessibleName(tr("Week board"));
    setFocusPolicy(Qt::StrongFocus);
}

void BoardView::setBoard(Board board)
{
    const std::string key = currentKey();
    m_board = std::move(board);
    if (const auto place = key.empty() ? std::nullopt : m_board.find(key))
        m_cursor = *place;
    clampCursor();
    updateGeometry();
    update();
    say();
}

std::string BoardView::currentKey() const
{
    if (!m_carried.empty())
        return m_carried;
    if (m_cursor.person >= m_board.cells.size() || m_cursor.day >= m_board.days.size())
        return {};
    const auto& jobs = m_board.cells[m_cursor.person][m_cursor.day].jobs;
    return m_cursor.job < jobs.size() ? jobs[m_cursor.job].key : std::string();
}

void BoardView::clampCursor()
{
    if (m_board.people.empty() || m_board.days.empty()) {
        m_cursor = {};
        return;
    }
    m_cursor.person = std::min(m_cursor.person, m_board.people.size() - 1);
    m_cursor.day = std::min(m_cursor.day, m_board.days.size() - 1);
    const std::size_t jobs = m_board.cells[m_cursor.person][m_cursor.day].jobs.size();
    m_cursor.job = jobs == 0 ? 0 : std::min(m_cursor.job, jobs - 1);
}

QSize BoardView::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    std::size_t tallest = 4;
    double total = metrics.px(kHeadRow);
    for (const auto& row : m_board.cells) {
        tallest = 4;
        for (const BoardCell& cell : row)
            tallest = std::max(tallest, cell.jobs.size() + cell.setups.size());
        total += metrics.px(kLoadRow) + static_cast<double>(tallest) * metrics.px(kLeastBar + 5.0) + metrics.px(8);
    }
    return {metrics.px(640), static_cast<int>(total)};
}

int BoardView::leastHeight() const
{
    constexpr int kBlocks = 5;
    const Metrics metrics = Metrics::of(this);
    return metrics.px(kHeadRow) + metrics.px(kLoadRow) + kBlocks * metrics.px(kLeastBar) + metrics.px(8);
}

QSize BoardView::minimumSizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    return {metrics.px(460), sizeHint().height()};
}

QRectF BoardView::cellRect(std::size_t person, std::size_t day) const
{
    const Metrics metrics = Metrics::of(this);
    const double left = metrics.px(kPersonColumn);
    const double top = metrics.px(kHeadRow);
    const double w = (width() - left) / std::max<double>(1.0, static_cast<double>(m_board.days.size()));
    // Rows share the height by their tallest cell.
    double total = 0.0, before = 0.0, mine = 1.0;
    for (std::size_t p = 0; p < m_board.cells.size(); ++p) {
        std::size_t tallest = 4;
        for (const BoardCell& cell : m_board.cells[p])
            tallest = std::max(tallest, cell.jobs.size() + cell.setups.size());
        const double share = static_cast<double>(tallest) + 1.6;
        if (p < person)
            before += share;
        if (p == person)
            mine = share;
        total += share;
    }
    const double h = height() - top;
    return {left + w * static_cast<double>(day), top + h * before / std::max(total, 1.0), w, h * mine / std::max(total, 1.0)};
}

double BoardView::pixelsPerMinute() const
{
    double best = 10.0;
    const Metrics metrics = Metrics::of(this);
    for (std::size_t p = 0; p < m_board.cells.size(); ++p)
        for (std::size_t d = 0; d < m_board.cells[p].size(); ++d) {
            const BoardCell& cell = m_board.cells[p][d];
            const double most = std::max(cell.capacity, cell.used);
            if (most > 0.0)
                best = std::min(best, (cellRect(p, d).height() - metrics.px(kLoadRow + 4.0)) / most);
        }
    return std::max(best, 0.01);
}

void BoardView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const Palette inks = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    painter.fillRect(rect(), inks[Role::Ground]);
    if (m_board.people.empty()) {
        painter.setPen(inks[Role::Ink3]);
        painter.setFont(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
        painter.drawText(rect().adjusted(metrics.margin(), metrics.margin(), -metrics.margin(), 0), Qt::TextWordWrap,
                         tr("Nobody has days in this week. Cabinet, Import and export takes a table of people."));
        return;
    }
    painter.setFont(fontOf(TextRole::Hint, Weight::Heavy, metrics.scale));
    painter.setPen(inks[Role::Ink1]);
    for (std::size_t d = 0; d < m_board.days.size(); ++d) {
        const QRectF cell = cellRect(0, d);
        painter.drawText(QRectF(cell.left() + metrics.px(6), 0, cell.width() - metrics.px(6), metrics.px(kHeadRow)),
                         Qt::AlignVCenter | Qt::AlignLeft, dayText(m_board.days[d]));
    }
    for (std::size_t p = 0; p < m_board.people.size(); ++p) {
        const QRectF first = cellRect(p, 0);
        painter.setPen(inks[Role::Rule]);
        painter.drawLine(QPointF(0, first.top()), QPointF(width(), first.top()));
        painter.setPen(inks[Role::Ink1]);
        painter.setFont(fontOf(TextRole::Body, Weight::Heavy, metrics.scale));
        painter.drawText(QRectF(0, first.top(), first.left() - metrics.px(4), metrics.px(kLoadRow)), Qt::AlignVCenter | Qt::AlignLeft,
                         m_board.people[p]);
        for (std::size_t d = 0; d < m_board.days.size(); ++d)
            paintCell(painter, p, d);
    }
}

void BoardView::paintCell(QPainter& painter, std::size_t person, std::size_t day) const
{
    const Palette inks = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    const BoardCell& cell = m_board.cells[person][day];
    const QRectF box = cellRect(person, day).adjusted(metrics.px(6), 0, -metrics.px(6), -metrics.px(4));
    const bool here = person == m_cursor.person && day == m_cursor.day;
    painter.setFont(fontOf(TextRole::Axis, cell.over() > 0.0 ? Weight::Heavy : Weight::Regular, metrics.scale));
    painter.setPen(cell.over() > 0.0 ? inks[Role::Ink1] : inks[Role::Ink3]);
    QString load = Board::loadText(cell);
    if (QFontMetricsF(painter.font()).horizontalAdvance(load) > box.width())
        load = Board::shortLoadText(cell);
    painter.drawText(QRectF(box.left(), box.top(), box.width(), metrics.px(kLoadRow)), Qt::AlignVCenter | Qt::AlignLeft, load);

    const double scale = pixelsPerMinute();
    double y = box.top() + metrics.px(kLoadRow);
    painter.setFont(fontOf(TextRole::Axis, Weight::Regular, metrics.scale));
    const QFontMetricsF text(painter.font());
    for (const auto& [area, minutes] : cell.setups) {
        if (minutes <= 0.0)
            continue;  // the shelf is at hand
        const QRectF bar(box.left(), y, box.width(), std::max(minutes * scale, metrics.px(kLeastBar) * 1.0));
        painter.setPen(Qt::NoPen);
        paintHatching(painter, bar, inks[Role::Edge], metrics.px(5));
        painter.setPen(inks[Role::Ink2]);
        const QString name = text.elidedText(tr("%1 %2").arg(area).arg(minutes, 0, 'f', 0), Qt::ElideMiddle, bar.width() - metrics.px(8));
        const QRectF ground(bar.left() + metrics.px(4), bar.center().y() - text.height() / 2, text.horizontalAdvance(name) + metrics.px(4),
                            text.height());
        painter.fillRect(ground, inks[Role::Ground]);
        painter.drawText(ground.adjusted(metrics.px(2), 0, 0, 0), Qt::AlignVCenter | Qt::AlignLeft, name);
        y += bar.height();
    }
    for (std::size_t j = 0; j < cell.jobs.size(); ++j) {
        const BoardJob& job = cell.jobs[j];
        const QRectF bar(box.left(), y, box.width(), std::max(job.minutes * scale, metrics.px(kLeastBar) * 1.0));
        const bool chosen = here && j == m_cursor.job && hasFocus();
        const bool carried = job.key == m_carried;
        painter.setBrush(chosen || carried ? inks[Role::Ink1] : inks[Role::Raised]);
        painter.setPen(QPen(inks[Role::Edge], 1));
        painter.drawRect(bar.adjusted(0.5, 0.5, -0.5, -0.5));
        if (job.floor)
            painter.fillRect(QRectF(bar.left(), bar.top(), metrics.px(4), bar.height()), inks[Role::Ink1]);
        painter.setPen(chosen || carried ? inks[Role::Ground] : inks[Role::Ink1]);
        // Which sensor matters more than the minutes, which the bar's height and the line below tell, too.
        QString label = tr("%1  %2").arg(job.label).arg(job.minutes, 0, 'f', 0);
        if (text.horizontalAdvance(label) > bar.width() - metrics.px(12))
            label = job.label;
        painter.drawText(bar.adjusted(metrics.px(8), 0, -metrics.px(4), 0), Qt::AlignVCenter | Qt::AlignLeft,
                         text.elidedText(label, Qt::ElideMiddle, bar.width() - metrics.px(12)));
        y += bar.height();
    }
    if (cell.capacity > 0.0) {
        // Short jobs are drawn taller than their minutes so that they can be read: the line keeps its place after or before the last
        // bar, as the minutes say.
        const double top = box.top() + metrics.px(kLoadRow), stack = y - top;
        const double line = cell.used <= cell.capacity ? y + (cell.capacity - cell.used) * scale : top + stack * cell.capacity / cell.used;
        painter.setPen(QPen(inks[Role::Edge], 1, Qt::DashLine));
        painter.drawLine(QPointF(box.left(), line), QPointF(box.right(), line));
    }
    if (here && hasFocus()) {
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(inks[Role::Ink1], metrics.focusWidth(), m_carried.empty() ? Qt::SolidLine : Qt::DashLine));
        painter.drawRect(cellRect(person, day).adjusted(metrics.px(2), metrics.px(1), -metrics.px(2), -metrics.px(2)));
    }
}

void BoardView::say()
{
    if (m_board.people.empty() || m_board.days.empty())
        return;
    const BoardCell& cell = m_board.cells[m_cursor.person][m_cursor.day];
    QString text = tr("%1, %2: %3.").arg(m_board.people[m_cursor.person], dayText(m_board.days[m_cursor.day]), Board::loadText(cell));
    if (!m_carried.empty())
        text += tr(" Carrying %1: Space lays it down here, Esc puts it back.").arg(QString::fromStdString(m_carried));
    else if (m_cursor.job < cell.jobs.size())
        text += tr(" %1, %2, %3 min. Space picks it up.")
                    .arg(cell.jobs[m_cursor.job].label, cell.jobs[m_cursor.job].words)
                    .arg(cell.jobs[m_cursor.job].minutes, 0, 'f', 0);
    setAccessibleDescription(text);
    Q_EMIT readout(text);
}

void BoardView::keyPressEvent(QKeyEvent* event)
{
    if (m_board.people.empty() || m_board.days.empty()) {
        QWidget::keyPressEvent(event);
        return;
    }
    const auto step = [](std::size_t& value, int by, std::size_t count) {
        if (by < 0 && value > 0)
            --value;
        else if (by > 0 && value + 1 < count)
            ++value;
    };
    const std::size_t jobs = m_board.cells[m_cursor.person][m_cursor.day].jobs.size();
    switch (event->key()) {
    case Qt::Key_Left:
        step(m_cursor.day, -1, m_board.days.size());
        m_cursor.job = 0;
        break;
    case Qt::Key_Right:
        step(m_cursor.day, +1, m_board.days.size());
        m_cursor.job = 0;
        break;
    case Qt::Key_Up:
        if (carrying() || m_cursor.job == 0) {
            const std::size_t before = m_cursor.person;
            step(m_cursor.person, -1, m_board.people.size());
            if (m_cursor.person != before)
                m_cursor.job = carrying() ? 0 : m_board.cells[m_cursor.person][m_cursor.day].jobs.size();
        } else {
            --m_cursor.job;
        }
        break;
    case Qt::Key_Down:
        if (carrying() || m_cursor.job + 1 >= jobs) {
            const std::size_t before = m_cursor.person;
            step(m_cursor.person, +1, m_board.people.size());
            if (m_cursor.person != before)
                m_cursor.job = 0;
        } else {
            ++m_cursor.job;
        }
        break;
    case Qt::Key_Space:
        if (carrying()) {
            const std::string key = std::exchange(m_carried, {});
            Q_EMIT moveAsked(key, m_board.days[m_cursor.day], m_board.people[m_cursor.person]);
        } else {
            m_carried = currentKey();
        }
        break;
    case Qt::Key_Escape:
        if (!carrying()) {
            QWidget::keyPressEvent(event);
            return;
        }
        if (const auto place = m_board.find(m_carried))
            m_cursor = *place;
        m_carried.clear();
        break;
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (const std::string key = currentKey(); !key.empty() && !carrying())
            Q_EMIT openAsked(key);
        break;
    default: QWidget::keyPressEvent(event); return;
    }
    clampCursor();
    update();
    say();
}

void BoardView::mousePressEvent(QMouseEvent* event)
{
    const double scale = pixelsPerMinute();
    const Metrics metrics = Metrics::of(this);
    for (std::size_t p = 0; p < m_board.people.size(); ++p)
        for (std::size_t d = 0; d < m_board.days.size(); ++d) {
            const QRectF box = cellRect(p, d);
            if (!box.contains(event->position()))
                continue;
            m_cursor = {p, d, 0};
            double y = box.top() + metrics.px(kLoadRow);
            const BoardCell& cell = m_board.cells[p][d];
            for (const auto& setup : cell.setups)
                y += std::max(setup.second * scale, metrics.px(kLeastBar) * 1.0);
            for (std::size_t j = 0; j < cell.jobs.size(); ++j) {
                const double h = std::max(cell.jobs[j].minutes * scale, metrics.px(kLeastBar) * 1.0);
                if (event->position().y() >= y && event->position().y() < y + h)
                    m_cursor.job = j;
                y += h;
            }
            clampCursor();
            update();
            say();
            return;
        }
    QWidget::mousePressEvent(event);
}

void BoardView::focusInEvent(QFocusEvent* event)
{
    QWidget::focusInEvent(event);
    update();
    say();
}

}  // namespace halfcell::app
