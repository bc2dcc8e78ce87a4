#include "app/record/record_side.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QFrame>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QLabel* words(const QString& text, TextRole role, Weight weight, QWidget* parent)
{
    auto* label = new QLabel(text, parent);
    label->setTextFormat(Qt::PlainText);
    label->setWordWrap(true);
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
    replaceWith(empty);
}

void RecordSide::fill(QVBoxLayout& column, const RecordPage& page)
{
    QWidget* parent = column.parentWidget();
    const auto heading = [&](const QString& text, const QString& name) {
        QLabel* label = words(text, TextRole::Hint, Weight::Heavy, parent);
        label->setForegroundRole(QPalette::BrightText);
        label->setObjectName(name);
        column.addWidget(label);
    };
    const auto list = [&](const QString& lead, const QStringList& texts, QPalette::ColorRole ink) {
        if (!texts.isEmpty())
            column.addWidget(quiet(lead.arg(texts.join(u"; "_s)), ink, parent));
    };
    QStringList cautioned;  // each caution once, where it is first needed
    const auto cautions = [&](const auto& texts) {
        for (const QString& caution : texts)
            if (!cautioned.contains(caution)) {
                cautioned.append(caution);
                column.addWidget(words(caution, TextRole::Body, Weight::Heavy, parent));
            }
    };
    heading(tr("What it is"), u"record.side.findings"_s);
    for (const FindingWords& finding : page.findings) {
        const QString title = finding.probability.isEmpty() ? finding.title : finding.title + u"   "_s + finding.probability;
        column.addWidget(words(title, TextRole::Finding, Weight::Heavy, parent));
        list(tr("for: %1"), finding.speaksFor, QPalette::BrightText);
        list(tr("against: %1"), finding.against, QPalette::BrightText);
        list(tr("not measured: %1"), finding.notMeasured, QPalette::PlaceholderText);
        list(tr("not possible for this design: %1"), finding.notPossible, QPalette::PlaceholderText);
        cautions(finding.cautions);
    }
    if (!page.findings.empty())
        column.addWidget(words(page.testWords, TextRole::Body, Weight::Regular, parent));
    column.addWidget(rule(parent));
    heading(tr("What next"), u"record.side.next"_s);
    column.addWidget(words(page.next.action, TextRole::Finding, Weight::Heavy, parent));
    if (!page.next.sentence.isEmpty())
        column.addWidget(words(page.next.sentence, TextRole::Body, Weight::Regular, parent));
    if (page.next.order.size() > 1)
        column.addWidget(quiet(tr("in this order: %1").arg(page.next.order.join(u", "_s)), QPalette::BrightText, parent));
    cautions(page.next.cautions);
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

void RecordSide::setPage(const RecordPage& page)
{
    auto* content = new QWidget;
    content->setObjectName(u"record.side.content"_s);
    setSurface(content, Role::Sheet);
    auto* column = new QVBoxLayout(content);
    column->setSpacing(Metrics::of(this).grid(2));
    fill(*column, page);
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
