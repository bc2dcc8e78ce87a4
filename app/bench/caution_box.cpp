#include "app/bench/caution_box.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>

namespace halfcell::app::bench {

using namespace core;

CautionBox::CautionBox(BenchPresenter& presenter, QWidget* parent) : QFrame(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.caution.box"));
    setAccessibleName(tr("Caution"));
    setFocusPolicy(Qt::StrongFocus);
    setSurface(this, Role::Well);
    const Metrics metrics = Metrics::of(this);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(metrics.grid(3), metrics.grid(2), metrics.grid(3), metrics.grid(2));
    column->setSpacing(metrics.grid(2));
    m_text = new QLabel(this);
    m_text->setTextFormat(Qt::RichText);
    m_text->setWordWrap(true);
    setTextRole(m_text, TextRole::Body);
    column->addWidget(m_text);
    auto* row = new QHBoxLayout;
    row->setSpacing(metrics.spacing());
    const auto button = [&](const QString& words, QChar key, const char* name) {
        auto* b = new QPushButton(words, this);
        b->setObjectName(QStringLiteral("bench.caution.") + QLatin1String(name));
        b->setFocusPolicy(Qt::NoFocus);
        connect(b, &QPushButton::clicked, this, [this, key] { answer(key); });
        row->addWidget(b);
        return b;
    };
    m_yes = button({}, u'Y', "yes");
    m_no = button({}, u'N', "no");
    m_unwritten = button(tr("U the sheet does not say"), u'U', "unwritten");
    row->addStretch(1);
    column->addLayout(row);
    hide();
}

bool CautionBox::guarded() const
{
    return m_since.isValid() && m_since.elapsed() < kGuardMs;
}

void CautionBox::refresh()
{
    const auto& box = m_presenter.hasVisit() ? m_presenter.model().box() : std::nullopt;
    if (!box) {
        if (isVisibleTo(parentWidget()))
            hide();
        m_shown.clear();
        return;
    }
    QString html;
    QStringList questions;
    const QString site = tr("Site procedure, permit and safety data sheet come first.");
    for (const Caution& caution : box->cautions) {
        // One sentence about the site's own papers ends the box, not every part of it.
        QString words = toScreen(QString::fromStdString(caution.text));
        const auto end = words.lastIndexOf(QLatin1String("Site procedure"));
        if (end >= 0)
            words.truncate(end);
        html += QStringLiteral("<p style='margin:0 0 4px 0'><b>%1.</b> %2</p>").arg(QString::fromStdString(caution.title).toHtmlEscaped(), words.trimmed().toHtmlEscaped());
        if (!caution.question.empty())
            questions << QString::fromStdString(caution.question);
    }
    html += QStringLiteral("<p style='margin:0 0 4px 0'>%1</p>").arg(site.toHtmlEscaped());
    QString asked;
    for (const QString& q : questions)
        asked += (asked.isEmpty() ? QString() : QStringLiteral("<br>")) + q.toHtmlEscaped();
    if (box->fromSheet)
        asked = tr("What does the sheet say?").toHtmlEscaped() + QStringLiteral("<br>") + asked;
    html += QStringLiteral("<p style='margin:0'><b>%1</b></p>").arg(asked);
    const bool fresh = html != m_shown || !isVisibleTo(parentWidget());
    m_text->setText(html);
    m_yes->setText(tr("Y it is done"));
    m_no->setText(box->about == Box::About::Withdrawal ? tr("N not yet") : box->about == Box::About::Step ? tr("N take the step out") : tr("N take the dip out"));
    m_unwritten->setVisible(box->fromSheet);
    if (!fresh)
        return;
    m_shown = html;
    m_since.start();
    QStringList titles;
    for (const Caution& caution : box->cautions)
        titles << QString::fromStdString(caution.title);
    setAccessibleName(tr("Caution: %1").arg(titles.join(QStringLiteral("; "))));
    setAccessibleDescription(questions.join(u' '));
    show();
    setFocus(Qt::OtherFocusReason);
}

void CautionBox::answer(QChar key)
{
    if (!guarded())
        m_presenter.answerBox(key.toUpper());
}

void CautionBox::keyPressEvent(QKeyEvent* event)
{
    event->accept();
    if (event->key() == Qt::Key_F1 || event->key() == Qt::Key_F9 || event->key() == Qt::Key_Escape) {
        event->ignore();
        return;
    }
    if (event->modifiers() & (Qt::ControlModifier | Qt::AltModifier)) {
        event->ignore();
        return;
    }
    // Scanners type fast and end with Enter: neither digits nor Enter answer anything here.
    const QString typed = event->text().toUpper();
    if (typed == QLatin1String("Y") || typed == QLatin1String("N") || typed == QLatin1String("U"))
        answer(typed.at(0));
}

bool CautionBox::event(QEvent* event)
{
    if (event->type() == QEvent::ShortcutOverride && !(static_cast<QKeyEvent*>(event)->modifiers() & (Qt::ControlModifier | Qt::AltModifier)) &&
        !static_cast<QKeyEvent*>(event)->text().isEmpty()) {
        event->accept();
        return true;
    }
    return QFrame::event(event);
}

bool CautionBox::focusNextPrevChild(bool)
{
    return true;   // Tab does not leave an unanswered caution
}

void CautionBox::paintEvent(QPaintEvent* event)
{
    QFrame::paintEvent(event);
    QPainter painter(this);
    const Palette colors = Palette::of(palette());
    const int width = Metrics::of(this).px(2);
    painter.setPen(QPen(colors[Role::Ink1], width));
    painter.drawRect(rect().adjusted(width / 2, width / 2, -(width + 1) / 2, -(width + 1) / 2));
    if (hasFocus()) {
        painter.setPen(QPen(colors[Role::Ink1], 1));
        const int inset = Metrics::of(this).grid(1);
        painter.drawRect(rect().adjusted(inset, inset, -inset - 1, -inset - 1));
    }
}

}  // namespace halfcell::app::bench
