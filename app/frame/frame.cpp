#include "app/frame/frame.h"

#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QButtonGroup>
#include <QCloseEvent>
#include <QDateTime>
#include <QDialog>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QShortcut>
#include <QStackedWidget>
#include <QStyle>
#include <QTextBrowser>
#include <QVBoxLayout>

namespace halfcell::app {

namespace {

/// A desk word: plain text, the chosen one heavy over an ink bar.
class DeskWord : public QPushButton {
public:
    DeskWord(const QString& text, QWidget* parent) : QPushButton(text, parent)
    {
        setCheckable(true);
        setFlat(true);
        setAutoDefault(false);
    }
    [[nodiscard]] QSize sizeHint() const override
    {
        const Metrics metrics = Metrics::of(this);
        return {fontMetrics().horizontalAdvance(text()) + metrics.px(24), metrics.topBar()};
    }

protected:
    void paintEvent(QPaintEvent*) override
    {
        QPainter painter(this);
        const Palette inks = Palette::of(palette());
        const Metrics metrics = Metrics::of(this);
        QFont f = fontOf(TextRole::Field, isChecked() ? Weight::Heavy : Weight::Regular, metrics.scale);
        painter.setFont(f);
        painter.setPen(isEnabled() ? inks[isChecked() ? Role::Ink1 : Role::Ink2] : inks[Role::Ink3]);
        painter.drawText(rect(), Qt::AlignCenter, text());
        if (isChecked())
            painter.fillRect(QRect(metrics.px(12), height() - metrics.px(4), width() - metrics.px(24), metrics.px(4)), inks[Role::Ink1]);
        if (hasFocus()) {
            painter.setPen(QPen(inks[Role::Ink1], metrics.focusWidth()));
            painter.drawRect(rect().adjusted(metrics.px(3), metrics.px(3), -metrics.px(4), -metrics.px(7)));
        }
    }
};

QFrame* ruleLine(QWidget* parent)
{
    auto* line = new QFrame(parent);
    line->setFrameShape(QFrame::HLine);
    line->setFrameShadow(QFrame::Plain);
    line->setFixedHeight(1);
    return line;
}

void setGround(QWidget* widget, Role role)
{
    QPalette p = widget->palette();
    p.setColor(QPalette::Window, Palette::of(QApplication::palette())[role]);
    widget->setPalette(p);
    widget->setAutoFillBackground(true);
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

    auto* middle = new QHBoxLayout;
    middle->setContentsMargins(0, 0, 0, 0);
    middle->setSpacing(0);
    m_stack = new QStackedWidget(central);
    m_stack->setObjectName(QStringLiteral("frame.stack"));
    middle->addWidget(m_stack, 1);
    const Metrics metrics = Metrics::of(this);
    m_side = new QWidget(central);
    m_side->setObjectName(QStringLiteral("frame.side"));
    m_side->setFixedWidth(metrics.rightColumn());
    m_sideLayout = new QVBoxLayout(m_side);
    m_sideLayout->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    auto* head = new QHBoxLayout;
    m_sideTitle = new QLabel(m_side);
    m_sideTitle->setWordWrap(true);
    setTextRole(m_sideTitle, TextRole::Finding, Weight::Heavy);
    auto* close = new QPushButton(tr("Close  (Esc)"), m_side);
    close->setObjectName(QStringLiteral("frame.side.close"));
    close->setFlat(true);
    connect(close, &QPushButton::clicked, this, &Frame::hidePanel);
    head->addWidget(m_sideTitle, 1);
    head->addWidget(close, 0, Qt::AlignTop);
    m_sideLayout->addLayout(head);
    m_side->hide();
    middle->addWidget(m_side);
    layout->addLayout(middle, 1);

    layout->addWidget(ruleLine(central));
    m_strip = new WorkStrip(central);
    layout->addWidget(m_strip);
    setCentralWidget(central);
    connect(m_strip, &WorkStrip::holdsAsked, this, &Frame::holdAsked);
    connect(m_strip, &WorkStrip::correctAsked, this, &Frame::correctAsked);
    m_scan = new ScanWatch(this);
    connect(m_scan, &ScanWatch::scanned, this, &Frame::scanned);
    shortcuts();
    paintGround();
}

QPushButton* Frame::barButton(const QString& name, const QString& text)
{
    auto* button = new QPushButton(text, m_top);
    button->setObjectName(name);
    button->setAutoDefault(false);
    return button;
}

void Frame::buildTop(QVBoxLayout* layout)
{
    const Metrics metrics = Metrics::of(this);
    m_top = new QWidget(this);
    m_top->setObjectName(QStringLiteral("frame.top"));
    m_top->setFixedHeight(metrics.topBar());
    auto* bar = new QHBoxLayout(m_top);
    bar->setContentsMargins(metrics.px(8), 0, metrics.margin(), 0);
    bar->setSpacing(metrics.spacing());
    m_words = new QWidget(m_top);
    auto* words = new QHBoxLayout(m_words);
    words->setContentsMargins(0, 0, 0, 0);
    words->setSpacing(0);
    m_wordGroup = new QButtonGroup(this);
    m_wordGroup->setExclusive(true);
    bar->addWidget(m_words);
    bar->addSpacing(metrics.margin());
    m_box = new FindBox(m_top);
    m_box->setMaximumWidth(metrics.px(460));
    bar->addWidget(m_box, 1);
    bar->addStretch(0);
    m_asKnown = barButton(QStringLiteral("frame.asknown"), tr("As known: now"));
    m_asKnown->setFlat(true);
    m_asKnown->setAccessibleDescription(tr("Shows the book as it was known on a date. Control T."));
    m_person = barButton(QStringLiteral("frame.person"), QStringLiteral("–"));
    m_person->setAccessibleName(tr("Initials of who works. Control I changes them."));
    bar->addWidget(m_asKnown);
    bar->addWidget(m_person);
    connect(m_asKnown, &QPushButton::clicked, this, &Frame::asKnownAsked);
    connect(m_person, &QPushButton::clicked, this, &Frame::personAsked);
    layout->addWidget(m_top);
    layout->addWidget(ruleLine(this));

    m_line = new QLabel(this);
    m_line->setObjectName(QStringLiteral("frame.line"));
    m_line->setAccessibleName(tr("The shop in a sentence"));
    m_line->setMinimumHeight(metrics.shopLine());
    m_line->setContentsMargins(metrics.margin() + metrics.px(4), 0, metrics.margin(), 0);
    m_line->setTextFormat(Qt::RichText);
    m_line->setTextInteractionFlags(Qt::LinksAccessibleByMouse | Qt::LinksAccessibleByKeyboard);
    m_line->setFocusPolicy(Qt::StrongFocus);
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

void Frame::shortcuts()
{
    const auto key = [this](const QKeySequence& keys, auto act) {
        auto* shortcut = new QShortcut(keys, this);
        shortcut->setContext(Qt::WindowShortcut);
        connect(shortcut, &QShortcut::activated, this, act);
    };
    key(QKeySequence(Qt::CTRL | Qt::Key_F), [this] { m_box->take(); });
    key(QKeySequence(Qt::CTRL | Qt::Key_I), [this] { Q_EMIT personAsked(); });
    key(QKeySequence(Qt::CTRL | Qt::Key_T), [this] { Q_EMIT asKnownAsked(); });
    key(QKeySequence(Qt::CTRL | Qt::Key_L), [this] { Q_EMIT visitAsked(); });
    key(QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_E), [this] { Q_EMIT correctAsked(); });
    key(QKeySequence(Qt::Key_F9), [this] { Q_EMIT holdAsked(); });
    key(QKeySequence(Qt::ALT | Qt::Key_Left), [this] { goBack(); });
    key(QKeySequence(Qt::Key_F6), [this] { walkRegions(1); });
    key(QKeySequence(Qt::SHIFT | Qt::Key_F6), [this] { walkRegions(-1); });
    key(QKeySequence(Qt::Key_F11), [this] { isFullScreen() ? showNormal() : showFullScreen(); });
    key(QKeySequence(Qt::CTRL | Qt::Key_Plus), [this] { Q_EMIT scaleAsked(1); });
    key(QKeySequence(Qt::CTRL | Qt::Key_Equal), [this] { Q_EMIT scaleAsked(1); });
    key(QKeySequence(Qt::CTRL | Qt::Key_Minus), [this] { Q_EMIT scaleAsked(-1); });
    key(QKeySequence(Qt::CTRL | Qt::Key_0), [this] { Q_EMIT scaleAsked(0); });
    key(QKeySequence(Qt::Key_F1), [this] {
        const QWidget* focus = QApplication::focusWidget();
        const QString name = focus != nullptr ? focus->objectName() : QString();
        const qint64 now = QDateTime::currentMSecsSinceEpoch();
        constexpr qint64 kTwiceMs = 1500;
        if (name == m_lastHelp && now - m_lastHelpAt < kTwiceMs)
            showKeys();
        else
            Q_EMIT helpAsked(name);
        m_lastHelp = name;
        m_lastHelpAt = now;
    });
}

int Frame::addDesk(DeskEntry entry)
{
    const int index = static_cast<int>(m_entries.size());
    auto* word = new DeskWord(entry.name, m_words);
    word->setObjectName(QStringLiteral("frame.desk.%1").arg(entry.name.toLower()));
    word->setAccessibleName(tr("%1 desk").arg(entry.name));
    m_wordGroup->addButton(word, index);
    if (entry.cabinet)
        m_words->layout()->addItem(new QSpacerItem(Metrics::of(this).px(12), 0));
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

void Frame::showDesk(int index)
{
    m_backStack.clear();
    m_stack->setCurrentWidget(m_entries[static_cast<std::size_t>(index)].widget);
    if (QPushButton* word = m_deskButtons[static_cast<std::size_t>(index)])
        word->setChecked(true);
    if (m_entries[static_cast<std::size_t>(index)].shown)
        m_entries[static_cast<std::size_t>(index)].shown();
    refreshSentence();
    Q_EMIT deskChanged(index);
}

void Frame::showPage(int index)
{
    const int before = current();
    if (before != index && before >= 0)
        m_backStack.push_back(before);
    m_stack->setCurrentWidget(m_entries[static_cast<std::size_t>(index)].widget);
    if (m_entries[static_cast<std::size_t>(index)].shown)
        m_entries[static_cast<std::size_t>(index)].shown();
    refreshSentence();
    Q_EMIT deskChanged(index);
}

void Frame::goBack()
{
    if (m_backStack.empty())
        return;
    const int index = m_backStack.back();
    m_backStack.pop_back();
    m_stack->setCurrentWidget(m_entries[static_cast<std::size_t>(index)].widget);
    if (QPushButton* word = m_deskButtons[static_cast<std::size_t>(index)])
        word->setChecked(true);
    if (m_entries[static_cast<std::size_t>(index)].shown)
        m_entries[static_cast<std::size_t>(index)].shown();
    refreshSentence();
    Q_EMIT deskChanged(index);
}

void Frame::refreshSentence()
{
    const int index = current();
    QString text;
    if (m_past)
        text = tr("<b>%1</b> Later records and later corrections are left out. Nothing can be logged. ").arg(m_asKnown->text());
    if (index >= 0 && m_entries[static_cast<std::size_t>(index)].sentence)
        text += m_entries[static_cast<std::size_t>(index)].sentence();
    // Links are ink like everything else; the underline tells them.
    const QColor ink = Palette::of(QApplication::palette())[Role::Ink1];
    text.replace(QStringLiteral("<a href"), QStringLiteral("<a style=\"color:%1\" href").arg(ink.name()));
    m_line->setText(text);
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
    m_asKnown->setText(m_past ? tr("As known on %1.").arg(moment) : tr("As known: now"));
    paintGround();
    refreshSentence();
}

void Frame::paintGround()
{
    setGround(m_top, Role::Sheet);
    setGround(m_strip, Role::Sheet);
    setGround(m_side, Role::Sheet);
    setGround(m_stack, m_past ? Role::Past : Role::Ground);
}

void Frame::changeEvent(QEvent* event)
{
    QMainWindow::changeEvent(event);
    if ((event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) && m_stack != nullptr && m_strip != nullptr) {
        paintGround();
        refreshSentence();
    }
}

void Frame::showPanel(QWidget* panel, const QString& title)
{
    if (m_sidePanel != panel) {
        if (m_sidePanel != nullptr) {
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
    panel->setFocus();
}

void Frame::hidePanel()
{
    if (!m_side->isVisible())
        return;
    m_side->hide();
    if (QWidget* widget = m_stack->currentWidget())
        widget->setFocus();
}

bool Frame::panelShown() const
{
    return m_side->isVisible();
}

void Frame::walkRegions(int direction)
{
    QList<QWidget*> regions;
    const int index = current();
    if (index >= 0) {
        const DeskEntry& entry = m_entries[static_cast<std::size_t>(index)];
        if (entry.regions)
            regions = entry.regions();
        else
            regions = {entry.widget};
    }
    if (m_side->isVisible() && m_sidePanel != nullptr)
        regions.append(m_sidePanel);
    regions.append(m_strip);
    regions.append(m_line);
    const QWidget* focus = QApplication::focusWidget();
    qsizetype at = -1;
    for (qsizetype i = 0; i < regions.size(); ++i)
        if (focus != nullptr && (regions[i] == focus || regions[i]->isAncestorOf(focus)))
            at = i;
    for (qsizetype step = 1; step <= regions.size(); ++step) {
        const qsizetype next = (at + direction * step + 2 * regions.size()) % regions.size();
        QWidget* region = regions[next];
        if (!region->isVisible())
            continue;
        QWidget* target = region->focusPolicy() != Qt::NoFocus ? region : nullptr;
        if (target == nullptr)
            for (QWidget* child : region->findChildren<QWidget*>())
                if (child->isVisible() && child->isEnabled() && (child->focusPolicy() & Qt::TabFocus)) {
                    target = child;
                    break;
                }
        if (target != nullptr) {
            target->setFocus(Qt::TabFocusReason);
            return;
        }
    }
}

void Frame::showKeys()
{
    QDialog dialog(this);
    dialog.setWindowTitle(tr("Keys of this screen"));
    auto* layout = new QVBoxLayout(&dialog);
    auto* text = new QTextBrowser(&dialog);
    text->setObjectName(QStringLiteral("frame.keys"));
    text->setAccessibleName(tr("Keys"));
    QString html = QStringLiteral("<table cellpadding=3>");
    for (const KeyLine& line : m_keys)
        html += QStringLiteral("<tr><td><b>%1</b></td><td>%2</td></tr>").arg(line.keys.toHtmlEscaped(), line.does.toHtmlEscaped());
    text->setHtml(html + QStringLiteral("</table>"));
    layout->addWidget(text);
    dialog.resize(Metrics::of(this).px(520), Metrics::of(this).px(480));
    dialog.exec();
}

void Frame::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) {
        if (m_side->isVisible()) {
            hidePanel();
            return;
        }
        if (m_past) {
            Q_EMIT asKnownAsked();
            return;
        }
    }
    QMainWindow::keyPressEvent(event);
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
