#include "app/panels/working_panel.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QTextBrowser>
#include <QUrl>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

WorkingPanel::WorkingPanel(QWidget* parent)
    : QWidget(parent), m_title(new QLabel(this)), m_stamp(new QLabel(this)), m_copy(new QPushButton(tr("&Copy"), this)),
      m_digits(new QPushButton(this)), m_text(new QTextBrowser(this))
{
    setObjectName(u"working.panel.page"_s);
    setAccessibleName(tr("Working"));
    setSurface(this, Role::Sheet);
    m_title->setObjectName(u"working.head.title"_s);
    m_title->setWordWrap(true);
    m_title->setTextFormat(Qt::PlainText);
    setTextRole(m_title, TextRole::Field, Weight::Heavy);
    m_stamp->setObjectName(u"working.head.stamp"_s);
    m_stamp->setWordWrap(true);
    setTextRole(m_stamp, TextRole::Hint);
    m_copy->setObjectName(u"working.head.copy"_s);
    m_digits->setObjectName(u"working.head.digits"_s);
    m_text->setObjectName(u"working.steps.text"_s);
    m_text->setAccessibleName(tr("Steps of the working"));
    m_text->setOpenLinks(false);
    m_text->setFrameShape(QFrame::NoFrame);
    m_text->setTextInteractionFlags(Qt::TextBrowserInteraction);
    m_text->installEventFilter(this);
    setFocusProxy(m_text);
    auto* buttons = new QHBoxLayout;
    buttons->setContentsMargins(0, 0, 0, 0);
    buttons->addWidget(m_copy);
    buttons->addWidget(m_digits);
    buttons->addStretch(1);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);  // the side panel has its own
    column->addWidget(m_title);
    column->addWidget(m_stamp);
    column->addLayout(buttons);
    column->addWidget(m_text, 1);
    connect(m_copy, &QPushButton::clicked, this, &WorkingPanel::copy);
    connect(m_digits, &QPushButton::clicked, this, [this] { setFullDigits(!m_full); });
    connect(m_text, &QTextBrowser::anchorClicked, this, [this](const QUrl& url) {
        if (url.scheme() == u"reading")
            Q_EMIT readingAsked(m_page.visit, url.path());
    });
    render();
}

QSize WorkingPanel::sizeHint() const
{
    return {Metrics::of(this).rightColumn(), Metrics::of(this).px(480)};
}

bool WorkingPanel::setPage(WorkingPage page)
{
    if (!page.complete())
        return false;
    m_page = std::move(page);
    m_full = false;
    render();
    m_text->setFocus(Qt::OtherFocusReason);
    return true;
}

void WorkingPanel::setFullDigits(bool full)
{
    if (full == m_full)
        return;
    m_full = full;
    render();
}

void WorkingPanel::render()
{
    const Palette colors = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    m_title->setText(m_page.title);
    m_stamp->setText(m_page.stamp);
    m_stamp->setVisible(!m_page.stamp.isEmpty());
    m_digits->setText(m_full ? tr("Rounded (Space)") : tr("Full digits (Space)"));
    m_text->setHtml(workingHtml(m_page, m_full,
                                {.ink1 = colors[Role::Ink1].name(),
                                 .ink2 = colors[Role::Ink2].name(),
                                 .ink3 = colors[Role::Ink3].name(),
                                 .rule = colors[Role::Rule].name(),
                                 .body = metrics.px(pixelSize(TextRole::Body)),
                                 .hint = metrics.px(pixelSize(TextRole::Hint))}));
    m_text->setAccessibleDescription(plainWorking(m_page, m_full));
}

void WorkingPanel::copy()
{
    QApplication::clipboard()->setText(plainText());
}

bool WorkingPanel::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == m_text && event->type() == QEvent::KeyPress) {
        const auto& key = static_cast<QKeyEvent&>(*event);
        if (key.key() == Qt::Key_Space && key.modifiers() == Qt::NoModifier) {
            setFullDigits(!m_full);
            return true;
        }
        if (key.matches(QKeySequence::Copy) && !m_text->textCursor().hasSelection()) {
            copy();
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

void WorkingPanel::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape)
        Q_EMIT closeAsked();
    else
        QWidget::keyPressEvent(event);
}

void WorkingPanel::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::StyleChange)
        render();
}

}  // namespace halfcell::app
