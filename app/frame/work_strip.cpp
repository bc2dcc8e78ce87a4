#include "app/frame/work_strip.h"

#include "app/style/figures.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>

namespace halfcell::app {

WorkStrip::WorkStrip(QWidget* parent) : QWidget(parent)
{
    setObjectName(QStringLiteral("frame.strip"));
    const Metrics metrics = Metrics::of(this);
    setMinimumHeight(metrics.workStrip());
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(metrics.margin(), 0, metrics.margin(), 0);
    layout->setSpacing(metrics.spacing());
    const auto button = [this](const QString& name, const QString& text) {
        auto* b = new QPushButton(text, this);
        b->setObjectName(name);
        b->setFlat(true);
        setTextRole(b, TextRole::Hint);
        return b;
    };
    m_mark = new StatusLabel(14, this);
    m_mark->setCondition(core::Signal::FunctionCheck);
    m_mark->hide();
    m_holds = button(QStringLiteral("frame.strip.holds"), QString());
    m_holds->setAccessibleName(tr("Loops in manual"));
    m_written = new QLabel(this);
    m_written->setObjectName(QStringLiteral("frame.strip.written"));
    setTextRole(m_written, TextRole::Hint);
    m_correct = button(QStringLiteral("frame.strip.correct"), tr("Correct…"));
    m_correct->setAccessibleName(tr("Correct what was written last"));
    m_correct->hide();
    m_work = new QLabel(this);
    m_work->setObjectName(QStringLiteral("frame.strip.work"));
    setTextRole(m_work, TextRole::Hint);
    m_stop = button(QStringLiteral("frame.strip.stop"), tr("stop"));
    m_stop->setAccessibleName(tr("Stop the background work"));
    m_stop->hide();
    layout->addWidget(m_holds);
    layout->addStretch(1);
    layout->addWidget(m_written);
    layout->addWidget(m_correct);
    layout->addStretch(1);
    layout->addWidget(m_work);
    layout->addWidget(m_stop);
    connect(m_holds, &QPushButton::clicked, this, &WorkStrip::holdsAsked);
    connect(m_correct, &QPushButton::clicked, this, &WorkStrip::correctAsked);
    connect(m_stop, &QPushButton::clicked, this, &WorkStrip::stopAsked);
    setHolds({}, QString());
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
            text += (i > 0 ? QStringLiteral(", ") : QString()) + tr("%1 since %2 (%3)").arg(holds[i].point, holds[i].since, heldText(holds[i].minutes));
            heavy = heavy || holds[i].minutes >= m_warnMinutes;
        }
        if (holds.size() > shown)
            text += tr(" and %1 more").arg(holds.size() - shown);
    }
    m_mark->setVisible(false);
    m_holds->setIcon(holds.empty() ? QIcon() : QIcon(signalPixmap(core::Signal::FunctionCheck, 16, devicePixelRatioF(), Palette::of(palette()))));
    m_holds->setText(text);
    m_holds->setAccessibleDescription(text);
    setTextRole(m_holds, TextRole::Hint, heavy || !holds.empty() ? Weight::Heavy : Weight::Regular);
}

QString WorkStrip::holdText() const
{
    return m_holds->text();
}

void WorkStrip::setWritten(const QString& line, bool correctable)
{
    m_written->setText(line);
    m_correct->setVisible(correctable && !line.isEmpty());
}

void WorkStrip::setBackground(const QString& sentence, double fraction)
{
    if (sentence.isEmpty())
        m_work->clear();
    else
        m_work->setText(fraction > 0.0 && fraction < 1.0 ? tr("%1, %2 %").arg(sentence).arg(static_cast<int>(100.0 * fraction)) : sentence);
    m_stop->setVisible(!sentence.isEmpty() && fraction > 0.0 && fraction < 1.0);
}

}  // namespace halfcell::app
