#include "app/frame/frame.h"

#include "app/frame/desk_word.h"
#include "app/style/focus_ring.h"
#include "app/style/ink_style.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QButtonGroup>
#include <QCloseEvent>
#include <QFrame>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QShortcut>
#include <QStackedWidget>
#include <QTextBrowser>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

namespace {

QFrame* ruleLine(QWidget* parent)
{
    auto* line = new QFrame(parent);
    line->setFrameShape(QFrame::HLine);
    line->setFixedHeight(1);
    return line;
}

}  // namespace

Frame::Frame(QWidget* parent) : QMainWindow(parent)
{
    setObjectName(QStringLiteral("frame"));
    setWindowTitle(tr("Halfcell"));
    auto* central = new QWidget(this);
    auto* layout = new QVBoxLayout(central);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);
    buildTop(layout);
    buildLine(layout);
    auto* middle = new QHBoxLayout;
    middle->setContentsMargins(0, 0, 0, 0);
    middle->setSpacing(0);
    m_stack = new QStackedWidget(central);
    m_stack->setObjectName(QStringLiteral("frame.stack"));
    m_stack->setAutoFillBackground(true);
    middle->addWidget(m_stack, 1);
    layout->addLayout(middle, 1);
    layout->addWidget(ruleLine(central));
    m_strip = new WorkStrip(central);
    setSurface(m_strip, Role::Sheet);
    layout->addWidget(m_strip);
    buildSide(central);
    setCentralWidget(central);
    m_stack->installEventFilter(this);
    connect(m_strip, &WorkStrip::holdsAsked, this, &Frame::holdAsked);
    connect(m_strip, &WorkStrip::correctAsked, this, &Frame::correctAsked);
    m_scan = new ScanWatch(this);
    m_scan->keep(m_box);
    connect(m_scan, &ScanWatch::scanned, this, &Frame::scanned);
    new FocusRing(this);
    connect(qApp, &QApplication::focusChanged, this, [this](QWidget*, QWidget* now) { rememberFocus(now); });
    makeShortcuts();
    applyMetrics();
    paintGround();
}

Frame::~Frame()
{
    // The focus moves while children go; nothing may come back here then.
    disconnect(qApp, nullptr, this, nullptr);
}

void Frame::buildTop(QVBoxLayout* layout)
{
    m_top = new QWidget(this);
    m_top->setObjectName(QStringLiteral("frame.top"));
    setSurface(m_top, Role::Sheet);
    m_topLayout = new QHBoxLayout(m_top);
    m_words = new QWidget(m_top);
    auto* words = new QHBoxLayout(m_words);
    words->setContentsMargins(0, 0, 0, 0);
    words->setSpacing(0);
    m_wordGroup = new QButtonGroup(this);
    m_wordGroup->setExclusive(true);
    m_topLayout->addWidget(m_words);
    m_box = new FindBox(m_top);
    m_topLayout->addStretch(1);
    m_topLayout->addWidget(m_box, 6);
    m_topLayout->addStretch(1);
    const auto button = [this](const QString& name, const QString& text) {
        auto* b = new QPushButton(text, m_top);
        b->setObjectName(name);
        b->setAutoDefault(false);
        m_topLayout->addWidget(b);
        return b;
    };
    m_asKnown = button(QStringLiteral("frame.top.asknown"), tr("As known: now"));
    m_asKnown->setFlat(true);
    setFlatLook(m_asKnown, false);
    m_asKnown->setAccessibleDescription(tr("Shows the book as it was known on a date. Control T."));
    m_person = button(QStringLiteral("frame.top.person"), tr("who?"));
    setTextRole(m_person, TextRole::Body, Weight::Heavy);
    m_person->setAccessibleName(tr("Initials of who works"));
    m_person->setAccessibleDescription(tr("Control I changes them."));
    connect(m_asKnown, &QPushButton::clicked, this, &Frame::asKnownAsked);
    connect(m_person, &QPushButton::clicked, this, &Frame::personAsked);
    layout->addWidget(m_top);
    layout->addWidget(ruleLine(this));
}

void Frame::buildLine(QVBoxLayout* layout)
{
    m_line = new QLabel(this);
    m_line->setObjectName(QStringLiteral("frame.shop.line"));
    m_line->setAccessibleName(tr("The shop in a sentence"));
    m_line->setTextFormat(Qt::RichText);
    m_line->setTextInteractionFlags(Qt::LinksAccessibleByMouse | Qt::LinksAccessibleByKeyboard);
    m_line->setFocusPolicy(Qt::NoFocus);
    m_line->setWordWrap(true);
    setTextRole(m_line, TextRole::Body);
    connect(m_line, &QLabel::linkActivated, this, [this](const QString& link) {
        const int index = current();
        if (index >= 0 && m_entries[static_cast<std::size_t>(index)].link)
            m_entries[static_cast<std::size_t>(index)].link(link);
    });
    layout->addWidget(m_line);
    layout->addWidget(ruleLine(this));
}

void Frame::buildSide(QWidget* central)
{
    // Over the desk, in no layout: opening it moves nothing under it.
    m_side = new QFrame(central);
    m_side->setFrameStyle(QFrame::Box | QFrame::Plain);
    m_side->setAutoFillBackground(true);
    m_side->setObjectName(QStringLiteral("frame.side"));
    setSurface(m_side, Role::Sheet);
    m_sideLayout = new QVBoxLayout(m_side);
    auto* head = new QHBoxLayout;
    m_sideTitle = new QLabel(m_side);
    m_sideTitle->setWordWrap(true);
    setTextRole(m_sideTitle, TextRole::Finding, Weight::Heavy);
    m_sideClose = new QPushButton(tr("Close  (Esc)"), m_side);
    m_sideClose->setObjectName(QStringLiteral("frame.side.close"));
    m_sideClose->setFlat(true);
    connect(m_sideClose, &QPushButton::clicked, this, &Frame::hidePanel);
    head->addWidget(m_sideTitle, 1);
    head->addWidget(m_sideClose, 0, Qt::AlignTop);
    m_sideLayout->addLayout(head);
    m_side->hide();
}

int Frame::addDesk(DeskEntry entry)
{
    const int index = static_cast<int>(m_entries.size());
    auto* word = new DeskWord(entry.name, m_words);
    word->setObjectName(QStringLiteral("frame.desk.%1").arg(entry.name.toLower()));
    word->setAccessibleName(tr("%1 desk").arg(entry.name));
    m_wordGroup->addButton(word, index);
    m_words->layout()->addWidget(word);
    m_stack->addWidget(entry.widget);
    QKeySequence keys(Qt::Key_F10);
    if (!entry.cabinet && m_desks < 4) {
        constexpr Qt::Key kDigits[] = {Qt::Key_1, Qt::Key_2, Qt::Key_3, Qt::Key_4};
        keys = QKeySequence(Qt::CTRL | kDigits[m_desks]);
        ++m_desks;
    }
    auto* shortcut = new QShortcut(keys, this);
    connect(shortcut, &QShortcut::activated, this, [this, index, word] {
        if (word->isEnabled())
            showDesk(index);
    });
    connect(word, &QPushButton::clicked, this, [this, index] { showDesk(index); });
    m_entries.push_back(std::move(entry));
    m_deskButtons.push_back(word);
    return index;
}

int Frame::addPage(DeskEntry entry)
{
    const int index = static_cast<int>(m_entries.size());
    m_stack->addWidget(entry.widget);
    m_entries.push_back(std::move(entry));
    m_deskButtons.push_back(nullptr);
    return index;
}

int Frame::current() const
{
    const QWidget* widget = m_stack->currentWidget();
    for (std::size_t i = 0; i < m_entries.size(); ++i)
        if (m_entries[i].widget == widget)
            return static_cast<int>(i);
    return -1;
}

QWidget* Frame::currentWidget() const
{
    return m_stack->currentWidget();
}

void Frame::bringUp(int index)
{
    const DeskEntry& entry = m_entries[static_cast<std::size_t>(index)];
    m_stack->setCurrentWidget(entry.widget);
    if (QPushButton* word = m_deskButtons[static_cast<std::size_t>(index)])
        word->setChecked(true);
    if (entry.shown)
        entry.shown();
    foldRegions();
    refreshSentence();
    Q_EMIT deskChanged(index);
}

void Frame::showDesk(int index)
{
    m_backStack.clear();
    bringUp(index);
}

void Frame::showPage(int index)
{
    const int before = current();
    if (before != index && before >= 0)
        m_backStack.push_back({before, QApplication::focusWidget()});
    bringUp(index);
}

void Frame::goBack()
{
    if (m_backStack.empty())
        return;
    const Return back = m_backStack.back();
    m_backStack.pop_back();
    bringUp(back.index);
    if (back.focus && back.focus->isVisible())
        back.focus->setFocus(Qt::OtherFocusReason);
}

void Frame::refreshSentence()
{
    const int index = current();
    QString text;
    if (!m_warning.isEmpty())
        text = QStringLiteral("<b>%1</b> ").arg(m_warning.toHtmlEscaped());
    if (m_past)
        text += tr("<b>As known on %1.</b> Later records and later corrections are left out. Nothing can be logged. Esc returns to now. ")
                    .arg(m_moment.toHtmlEscaped());
    if (index >= 0 && m_entries[static_cast<std::size_t>(index)].sentence)
        text += m_entries[static_cast<std::size_t>(index)].sentence();
    // Links are ink like everything else; the underline tells them.
    const QColor ink = Palette::of(palette())[Role::Ink1];
    text.replace(QStringLiteral("<a href"), QStringLiteral("<a style=\"color:%1\" href").arg(ink.name()));
    m_line->setText(text);
    m_line->setFocusPolicy(text.contains(QStringLiteral("<a ")) ? Qt::StrongFocus : Qt::NoFocus);
}

QString Frame::sentence() const
{
    return m_line->text();
}

void Frame::setBookOpen(bool open)
{
    for (QPushButton* word : m_deskButtons)
        if (word != nullptr)
            word->setEnabled(open);
    m_box->setEnabled(open);
    m_asKnown->setEnabled(open);
}

void Frame::setPerson(const QString& initials)
{
    m_person->setText(initials.isEmpty() ? tr("who?") : initials);
}

void Frame::setAsKnown(const QString& moment)
{
    m_past = !moment.isEmpty();
    m_moment = moment;
    m_asKnown->setText(m_past ? tr("As known on %1").arg(moment) : tr("As known: now"));
    paintGround();
    refreshSentence();
}

void Frame::setWarning(const QString& warning)
{
    if (m_warning == warning)
        return;
    m_warning = warning;
    refreshSentence();
}

void Frame::showPanel(QWidget* panel, const QString& title)
{
    if (!m_side->isVisible())
        m_focusBeforePanel = QApplication::focusWidget();
    if (m_sidePanel != panel) {
        if (m_sidePanel) {
            m_sideLayout->removeWidget(m_sidePanel);
            m_sidePanel->hide();
        }
        m_sidePanel = panel;
        panel->setParent(m_side);
        m_sideLayout->addWidget(panel, 1);
    }
    m_sideTitle->setText(title);
    panel->show();
    m_side->show();
    m_side->raise();
    applyWidth();
    if (QWidget* target = landingOf(panel))
        target->setFocus(Qt::OtherFocusReason);
    else
        m_sideClose->setFocus(Qt::OtherFocusReason);
}

void Frame::hidePanel()
{
    if (!m_side->isVisible())
        return;
    m_side->hide();
    applyWidth();
    if (m_focusBeforePanel && m_focusBeforePanel->isVisible())
        m_focusBeforePanel->setFocus(Qt::OtherFocusReason);
    else if (QWidget* widget = m_stack->currentWidget())
        if (QWidget* target = landingOf(widget))
            target->setFocus(Qt::OtherFocusReason);
    m_focusBeforePanel.clear();
}

bool Frame::panelShown() const
{
    return m_side->isVisible();
}

void Frame::closeEvent(QCloseEvent* event)
{
    bool mayClose = true;
    Q_EMIT closing(mayClose);
    if (mayClose)
        event->accept();
    else
        event->ignore();
}

}  // namespace halfcell::app
