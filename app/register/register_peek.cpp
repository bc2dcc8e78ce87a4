#include "app/register/register_peek.h"

#include "app/plots/life_line_plot.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"
#include "app/style/wrapped_label.h"

#include <QBoxLayout>
#include <QLabel>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

RegisterPeek::RegisterPeek(QWidget* parent)
    : QWidget(parent), m_serial(new QLabel(this)), m_place(new WrappedLabel({}, this)), m_sentence(new WrappedLabel({}, this)),
      m_plot(new LifeLinePlot(this)), m_keys(new WrappedLabel({}, this)), m_head(new QBoxLayout(QBoxLayout::LeftToRight))
{
    setObjectName(u"register.peek.page"_s);
    setAccessibleName(tr("The chosen sensor in short"));
    setSurface(this, Role::Sheet);
    m_serial->setObjectName(u"register.peek.serial"_s);
    m_place->setObjectName(u"register.peek.place"_s);
    m_sentence->setObjectName(u"register.peek.sentence"_s);
    m_keys->setObjectName(u"register.peek.keys"_s);
    setTextRole(m_serial, TextRole::Field, Weight::Heavy);
    setTextRole(m_place, TextRole::Body);
    setTextRole(m_sentence, TextRole::Finding);
    setTextRole(m_keys, TextRole::Hint);
    for (QLabel* label : {m_serial, m_place, m_sentence, m_keys})
        label->setTextFormat(Qt::PlainText);
    m_sentence->setTextInteractionFlags(Qt::TextSelectableByMouse);
    m_plot->setNames(u"register.peek.line"_s, tr("Life line in short"));
    m_plot->setCompact(true);
    m_plot->setFocusPolicy(Qt::NoFocus);
    m_head->addWidget(m_serial);
    m_head->addWidget(m_place, 1);
    auto* column = new QVBoxLayout(this);
    column->addLayout(m_head);
    column->addWidget(m_sentence);
    column->addWidget(m_plot, 1);
    column->addWidget(m_keys);
    column->addStretch(0);
    const Metrics metrics = Metrics::of(this);
    m_head->setSpacing(metrics.margin());
    column->setSpacing(metrics.grid(1));
    column->setContentsMargins(metrics.margin(), metrics.grid(2), metrics.margin(), metrics.grid(2));
    clear();
}

void RegisterPeek::setColumn(bool column)
{
    m_head->setDirection(column ? QBoxLayout::TopToBottom : QBoxLayout::LeftToRight);
    m_plot->setMaximumHeight(column ? Metrics::of(this).px(280) : QWIDGETSIZE_MAX);
    // In a tall column the room that is left stands at the foot.
    auto* box = static_cast<QVBoxLayout*>(layout());
    box->setStretch(box->count() - 1, column ? 1 : 0);
}

void RegisterPeek::setPage(const PeekPage& page)
{
    m_serial->setText(page.serial);
    m_place->setText(page.place);
    m_sentence->setText(page.sentence);
    m_sentence->setVisible(!page.sentence.isEmpty());
    m_keys->setText(page.keys);
    m_keys->setVisible(!page.keys.isEmpty());
    const bool drawn = !page.line.panels.empty() && !page.line.panels.front().points.empty();
    m_plot->setVisible(drawn);
    if (drawn) {
        m_plot->setNames(u"register.peek.line"_s, tr("Life line in short of %1").arg(page.serial));
        m_plot->setCaption({.sensor = page.serial});
        m_plot->setSeries(page.line);
    }
    setAccessibleDescription(page.serial + u' ' + page.place + u". "_s + page.sentence);
}

void RegisterPeek::clear()
{
    setPage({.sentence = tr("No row is chosen.")});
}

}  // namespace halfcell::app
