#include "app/frame/work_strip.h"

#include "app/style/elided_label.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/marks.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QPushButton>

#include <algorithm>

namespace halfcell::app {

WorkStrip::WorkStrip(QWidget* parent) : QWidget(parent), m_layout(new QHBoxLayout(this))
{
    setObjectName(QStringLiteral("frame.strip"));
    const auto button = [this](const QString& name, const QString& text) {
        auto* b = new QPushButton(text, this);
        b->setObjectName(name);
        b->setFlat(true);
        b->setAutoDefault(false);
        setFlatLook(b, false);
        setTextRole(b, TextRole::Hint);
        return b;
    };
    m_holds = button(QStringLiteral("frame.strip.holds"), QString());
    m_holds->setAccessibleName(tr("Loops in manual"));
    m_written = new ElidedLabel(this);
    m_written->setObjectName(QStringLiteral("frame.strip.written"));
    setTextRole(m_written, TextRole::Hint);
    m_correct = button(QStringLiteral("frame.strip.correct"), tr("Correct…"));
    m_correct->setAccessibleName(tr("Correct what was written last"));
    m_correct->hide();
    m_work = new ElidedLabel(this);
    m_work->setObjectName(QStringLiteral("frame.strip.work"));
    setTextRole(m_work, TextRole::Hint);
    m_stop = button(QStringLiteral("frame.strip.stop"), tr("stop"));
    m_stop->setAccessibleName(tr("Stop the background work"));
    m_stop->hide();
    m_layout->addWidget(m_holds);
    m_layout->addStretch(1);
    m_layout->addWidget(m_written);
    m_layout->addWidget(m_correct);
    m_layout->addStretch(1);
    m_layout->addWidget(m_work);
    m_layout->addWidget(m_stop);
    connect(m_holds, &QPushButton::clicked, this, &WorkStrip::holdsAsked);
    connect(m_correct, &QPushButton::clicked, this, &WorkStrip::correctAsked);
    connect(m_stop, &QPushButton::clicked, this, &WorkStrip::stopAsked);
    applyMetrics();
    setHolds({}, QString());
}

void WorkStrip::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    setFixedHeight(metrics.workStrip());
    // The first button's text stands under the words of the bar; its own padding is 2 px.
    m_layout->setContentsMargins(metrics.margin() + metrics.px(2), 0, metrics.margin(), 0);
    m_layout->setSpacing(metrics.spacing());
    m_holds->setIconSize(QSize(metrics.mark(), metrics.mark()));
}

void WorkStrip::drawMark()
{
    const int side = Metrics::of(this).mark();
    m_holds->setIcon(m_held ? QIcon(signalPixmap(core::Signal::FunctionCheck, side, devicePixelRatioF(), Palette::of(palette())))
                            : QIcon());
}

void WorkStrip::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_stop != nullptr)
        applyMetrics();
    if ((event->type() == QEvent::StyleChange || event->type() == QEvent::PaletteChange) && m_stop != nullptr)
        drawMark();
}

void WorkStrip::setHolds(const std::vector<HeldLoop>& holds, const QString& now)
{
    QString text;
    bool heavy = false;
    if (holds.empty()) {
        text = now.isEmpty() ? tr("no hold recorded here") : tr("no hold recorded here, %1").arg(now);
    } else {
        text = holds.size() == 1 ? tr("1 loop in manual: ") : tr("%1 loops in manual: ").arg(holds.size());
        const std::size_t shown = std::min<std::size_t>(holds.size(), 2);
        for (std::size_t i = 0; i < shown; ++i) {
            text += (i > 0 ? QStringLiteral(", ") : QString()) +
                    tr("%1 since %2 (%3)").arg(holds[i].point, holds[i].since, heldText(holds[i].minutes));
            heavy = heavy || holds[i].minutes >= m_warnMinutes;
        }
        if (holds.size() > shown)
            text += tr(" and %1 more").arg(holds.size() - shown);
    }
    m_held = !holds.empty();
    drawMark();
    m_holds->setText(text);
    m_holds->setAccessibleDescription(text);
    setTextRole(m_holds, TextRole::Hint, heavy ? Weight::Heavy : Weight::Regular);
}

QString WorkStrip::holdText() const
{
    return m_holds->text();
}

void WorkStrip::setWritten(const QString& line, bool correctable)
{
    m_written->setFullText(line);
    m_correct->setVisible(correctable && !line.isEmpty());
}

void WorkStrip::setBackground(const QString& sentence, double fraction)
{
    const bool counted = !sentence.isEmpty() && fraction > 0.0 && fraction < 1.0;
    m_work->setFullText(counted ? tr("%1, %2 %").arg(sentence).arg(static_cast<int>(100.0 * fraction)) : sentence);
    m_stop->setVisible(counted);
}

}  // namespace halfcell::app
