#include "app/record/record_side.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"
#include "app/style/wrapped_label.h"

#include <QFrame>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QTimer>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QLabel* words(const QString& text, TextRole role, Weight weight, QWidget* parent)
{
    auto* label = new WrappedLabel(text, parent);
    label->setTextFormat(Qt::PlainText);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    label->setFocusPolicy(Qt::NoFocus);
    setTextRole(label, role, weight);
    return label;
}

/// Words drawn in a quieter ink.
QLabel* quiet(const QString& text, QPalette::ColorRole ink, QWidget* parent)
{
    QLabel* label = words(text, TextRole::Hint, Weight::Regular, parent);
    label->setForegroundRole(ink);
    return label;
}

/// "Scale film on the glass" with its probability at the right, as figures stand.
QWidget* titleRow(const FindingWords& finding, QWidget* parent)
{
    auto* row = new QWidget(parent);
    auto* layout = new QHBoxLayout(row);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(Metrics::of(parent).spacing());
    layout->addWidget(words(finding.title, TextRole::Finding, Weight::Heavy, row), 1);
    if (!finding.probability.isEmpty()) {
        auto* share = new QLabel(finding.probability, row);
        setTextRole(share, TextRole::Finding, Weight::Heavy);
        layout->addWidget(share, 0, Qt::AlignTop);
    }
    return row;
}

QFrame* rule(QWidget* parent)
{
    auto* line = new QFrame(parent);
    line->setFixedHeight(1);
    line->setAutoFillBackground(true);
    line->setBackgroundRole(QPalette::Midlight);
    return line;
}

}  // namespace

RecordSide::RecordSide(QWidget* parent) : QScrollArea(parent)
{
    setObjectName(u"record.side.page"_s);
    setAccessibleName(tr("What it is, and what next"));
    setWidgetResizable(true);
    setFrameShape(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setSurface(this, Role::Sheet);
    m_build.setSingleShot(true);
    m_build.setInterval(0);
    connect(&m_build, &QTimer::timeout, this, &RecordSide::build);
    clear();
}

void RecordSide::replaceWith(QWidget* content)
{
    // This may be called while the style of all widgets is being changed: the old ones may go only after that.
    if (QWidget* old = takeWidget()) {
        old->hide();
        old->deleteLater();
    }
    setWidget(content);
    content->show();
}

void RecordSide::clear()
{
    auto* empty = new QWidget;
    setSurface(empty, Role::Sheet);
    m_build.stop();
    m_filled = false;
    replaceWith(empty);
}

/// What speaks for and against a finding, in a quieter ink than its title.
void RecordSide::fillReasons(QVBoxLayout& column, const FindingWords& finding)
{
    QWidget* parent = column.parentWidget();
    const auto list = [&](const QString& lead, const QStringList& texts, QPalette::ColorRole ink) {
        if (!texts.isEmpty())
            column.addWidget(quiet(lead.arg(texts.join(u"; "_s)), ink, parent));
    };
    list(tr("for: %1"), finding.speaksFor, QPalette::BrightText);
    list(tr("against: %1"), finding.against, QPalette::BrightText);
    list(tr("not measured: %1"), finding.notMeasured, QPalette::PlaceholderText);
    list(tr("not possible for this design: %1"), finding.notPossible, QPalette::PlaceholderText);
}

/// Findings of little weight in one line; a link opens what is to be said of one, and closes it.
void RecordSide::fillMinor(QVBoxLayout& column, const std::vector<FindingWords>& findings)
{
    const QString line = alsoWeighed(findings, true);
    if (line.isEmpty())
        return;
    QWidget* parent = column.parentWidget();
    QLabel* also = quiet({}, QPalette::BrightText, parent);
    also->setObjectName(u"record.side.also"_s);
    also->setTextFormat(Qt::RichText);
    also->setText(line);
    also->setTextInteractionFlags(Qt::LinksAccessibleByMouse | Qt::LinksAccessibleByKeyboard);
    also->setFocusPolicy(Qt::StrongFocus);
    also->setAccessibleName(alsoWeighed(findings, false));
    also->setAccessibleDescription(tr("Tab goes from cause to cause, Enter opens one"));
    column.addWidget(also);
    for (std::size_t i = 0; i < findings.size(); ++i) {
        const FindingWords& finding = findings[i];
        if (!finding.minor)
            continue;
        auto* more = new QWidget(parent);
        more->setObjectName(u"record.side.also.%1"_s.arg(i));
        auto* inner = new QVBoxLayout(more);
        inner->setContentsMargins(0, 0, 0, 0);
        inner->setSpacing(column.spacing());
        inner->addWidget(words(finding.title + u"   "_s + finding.probability, TextRole::Body, Weight::Heavy, more));
        fillReasons(*inner, finding);
        if (!finding.action.isEmpty())
            inner->addWidget(quiet(tr("then: %1").arg(finding.action), QPalette::BrightText, more));
        for (const QString& caution : finding.cautions)
            inner->addWidget(words(caution, TextRole::Hint, Weight::Heavy, more));
        more->hide();
        column.addWidget(more);
    }
    connect(also, &QLabel::linkActivated, also, [this, parent](const QString& link) {
        auto* more = parent->findChild<QWidget*>(u"record.side.also."_s + link, Qt::FindDirectChildrenOnly);
        if (more == nullptr)
            return;
        more->setVisible(more->isHidden());
        if (more->isVisible())
            QTimer::singleShot(0, more, [this, more] { ensureWidgetVisible(more); });
    });
}

void RecordSide::fillNext(QVBoxLayout& column, const NextWords& next)
{
    QWidget* parent = column.parentWidget();
    column.addWidget(words(next.action, TextRole::Finding, Weight::Heavy, parent));
    if (!next.sentence.isEmpty())
        column.addWidget(words(next.sentence, TextRole::Body, Weight::Regular, parent));
    const auto caution = [&](const QString& text) {
        QLabel* label = words(text, TextRole::Body, Weight::Regular, parent);
        label->setObjectName(u"record.side.caution"_s);
        column.addWidget(label);
    };
    if (!next.cautions.isEmpty()) {
        column.addWidget(words(tr("Taking it out"), TextRole::Body, Weight::Heavy, parent));
        for (const QString& text : next.cautions)
            caution(text);
    }
    // One step without a caution only says the action again.
    if (next.steps.size() == 1 && next.steps.front().cautions.isEmpty())
        return;
    for (const StepWords& step : next.steps) {
        QString what = step.what;
        if (step.place > 0 && next.order.size() > 1)
            what = u"%1  %2"_s.arg(step.place).arg(what);
        else if (!what.isEmpty())
            what[0] = what[0].toUpper();
        column.addWidget(words(what, TextRole::Body, Weight::Heavy, parent));
        for (const QString& text : step.cautions)
            caution(text);
    }
}

void RecordSide::fillOutlook(QVBoxLayout& column, const OutlookWords& outlook)
{
    QWidget* parent = column.parentWidget();
    if (!outlook.state.isEmpty())
        column.addWidget(words(outlook.state, TextRole::Body, Weight::Regular, parent));
    if (!outlook.sentence.isEmpty())
        column.addWidget(words(outlook.sentence, TextRole::Body, Weight::Regular, parent));
    for (const QString& line : outlook.odds)
        column.addWidget(words(line, TextRole::Body, Weight::Regular, parent));
    if (!outlook.past.isEmpty())
        column.addWidget(quiet(outlook.past, QPalette::BrightText, parent));
    if (!outlook.hasWorking)
        return;
    QLabel* working = quiet({}, QPalette::BrightText, parent);
    working->setObjectName(u"record.side.outlook.working"_s);
    working->setTextFormat(Qt::RichText);
    working->setText(u"<a href=\"working\">%1</a>"_s.arg(tr("How it was worked out")));
    working->setTextInteractionFlags(Qt::LinksAccessibleByMouse | Qt::LinksAccessibleByKeyboard);
    working->setFocusPolicy(Qt::StrongFocus);
    working->setAccessibleName(tr("How the outlook was worked out"));
    column.addWidget(working);
    connect(working, &QLabel::linkActivated, this, &RecordSide::outlookWorkingAsked);
}

void RecordSide::fill(QVBoxLayout& column, const Shown& page)
{
    QWidget* parent = column.parentWidget();
    const auto heading = [&](const QString& text, const QString& name) {
        QLabel* label = words(text, TextRole::Hint, Weight::Heavy, parent);
        label->setForegroundRole(QPalette::BrightText);
        label->setObjectName(name);
        column.addWidget(label);
    };
    heading(tr("What it is"), u"record.side.findings"_s);
    for (const FindingWords& finding : page.findings) {
        if (finding.minor)
            continue;
        column.addWidget(titleRow(finding, parent));
        fillReasons(column, finding);
    }
    fillMinor(column, page.findings);
    if (!page.remainder.isEmpty()) {
        QLabel* rest = quiet(page.remainder.left(1).toUpper() + page.remainder.mid(1), QPalette::BrightText, parent);
        rest->setObjectName(u"record.side.remainder"_s);
        column.addWidget(rest);
    }
    if (!page.findings.empty())
        column.addWidget(words(page.testWords, TextRole::Body, Weight::Regular, parent));
    column.addWidget(rule(parent));
    heading(tr("What next"), u"record.side.next"_s);
    fillNext(column, page.next);
    if (page.outlook != OutlookWords{}) {
        column.addWidget(rule(parent));
        heading(tr("Outlook"), u"record.side.outlook"_s);
        fillOutlook(column, page.outlook);
    }
    if (!page.next.tasks.empty()) {
        column.addWidget(rule(parent));
        heading(tr("Due"), u"record.side.due"_s);
        for (const TaskWords& task : page.next.tasks) {
            column.addWidget(words(task.what, TextRole::Body, Weight::Regular, parent));
            column.addWidget(quiet(task.why, QPalette::PlaceholderText, parent));
        }
    }
    column.addStretch(1);
}

void RecordSide::setPage(const RecordPage& page, const OutlookWords& outlook)
{
    Shown wanted{.findings = page.findings,
                 .remainder = page.remainder,
                 .testWords = page.testWords,
                 .next = page.next,
                 .outlook = outlook,
                 .spacing = Metrics::of(this).grid(2)};
    if (m_filled && wanted == m_shown)
        return;
    m_shown = std::move(wanted);
    m_filled = true;
    m_build.start();
}

void RecordSide::build()
{
    auto* content = new QWidget;
    content->setObjectName(u"record.side.content"_s);
    setSurface(content, Role::Sheet);
    auto* column = new QVBoxLayout(content);
    column->setSpacing(m_shown.spacing);
    fill(*column, m_shown);
    replaceWith(content);
}

void RecordSide::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_PageUp || event->key() == Qt::Key_PageDown)
        event->ignore();  // the Record's: next sensor
    else
        QScrollArea::keyPressEvent(event);
}

}  // namespace halfcell::app
