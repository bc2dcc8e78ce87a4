#include "app/bench/bench_desk.h"
#include "app/desktop/cabinet_desk.h"
#include "app/record/record_page.h"
#include "app/record/record_view.h"
#include "app/register/register_desk.h"
#include "app/review/review_desk.h"
#include "app/rounds/rounds_desk.h"
#include "tests/app/desktop/workbench_fixture.h"
#include "tests/support/qt/widgets.h"

#include <QAbstractButton>
#include <QAbstractItemView>
#include <QComboBox>
#include <QGroupBox>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QRegularExpression>
#include <QTabBar>
#include <QTextDocumentFragment>
#include <QTextEdit>

#include <gtest/gtest.h>

#include <set>

/// Keys of files (`check_wiring`, `drinking_water`) never reach screen or speech: what every desk of the demo plant shows is
/// read, hidden tabs and tool tips with it, and no word of it may have an underscore.
namespace halfcell::test {
namespace {

using namespace Qt::Literals::StringLiterals;
using namespace app;

class KeysOnScreen {
public:
    void look(const QString& where, const QString& text)
    {
        static const QRegularExpression key(uR"((?<![\w/\\.])[a-z0-9]+(?:_[a-z0-9]+)+\b(?!\.))"_s);
        for (auto it = key.globalMatch(text); it.hasNext();) {
            const QRegularExpressionMatch match = it.next();
            if (m_found.insert(match.captured()).second)
                ADD_FAILURE() << match.captured().toStdString() << " stands in " << where.toStdString() << ": \""
                              << text.mid(std::max<qsizetype>(0, match.capturedStart() - 60), 160).toStdString() << '"';
        }
        ++m_texts;
    }
    [[nodiscard]] int texts() const { return m_texts; }

    void look(const QWidget& root)
    {
        lookAt(root);
        for (const QWidget* part : root.findChildren<QWidget*>())
            lookAt(*part);
    }

private:
    void lookAt(const QWidget& widget)
    {
        const QString where = widget.objectName().isEmpty() ? QString::fromLatin1(widget.metaObject()->className()) : widget.objectName();
        for (const QString& text : {widget.accessibleName(), widget.accessibleDescription(), widget.toolTip()})
            look(where, text);
        if (const auto* label = qobject_cast<const QLabel*>(&widget))
            look(where, QTextDocumentFragment::fromHtml(label->text()).toPlainText());
        else if (const auto* button = qobject_cast<const QAbstractButton*>(&widget))
            look(where, button->text());
        else if (const auto* line = qobject_cast<const QLineEdit*>(&widget))
            look(where, line->placeholderText());
        else if (const auto* edit = qobject_cast<const QTextEdit*>(&widget))
            look(where, edit->toPlainText());
        else if (const auto* box = qobject_cast<const QGroupBox*>(&widget))
            look(where, box->title());
        else if (const auto* tabs = qobject_cast<const QTabBar*>(&widget))
            for (int i = 0; i < tabs->count(); ++i)
                look(where, tabs->tabText(i));
        else if (const auto* combo = qobject_cast<const QComboBox*>(&widget))
            for (int i = 0; i < combo->count(); ++i)
                look(where, combo->itemText(i));
        else if (const auto* view = qobject_cast<const QAbstractItemView*>(&widget);
                 view != nullptr && view->model() != nullptr && qobject_cast<const QHeaderView*>(view) == nullptr)
            look(where, *view->model(), {});
    }
    void look(const QString& where, const QAbstractItemModel& model, const QModelIndex& parent)
    {
        for (int column = 0; column < model.columnCount(parent) && !parent.isValid(); ++column)
            for (const int role : {Qt::DisplayRole, Qt::ToolTipRole, Qt::AccessibleTextRole})
                look(where, model.headerData(column, Qt::Horizontal, role).toString());
        for (int row = 0; row < model.rowCount(parent); ++row)
            for (int column = 0; column < model.columnCount(parent); ++column) {
                const QModelIndex index = model.index(row, column, parent);
                for (const int role : {Qt::DisplayRole, Qt::ToolTipRole, Qt::AccessibleTextRole})
                    look(where, index.data(role).toString());
                if (column == 0 && model.hasChildren(index))
                    look(where, model, index);
            }
    }

    std::set<QString> m_found;
    int m_texts = 0;
};

TEST(Words, NoKeyOfFilesIsReadAnywhere)
{
    WholeProgram program;
    Workbench& workbench = program.workbench();
    KeysOnScreen keys;
    const auto now = [&](const QString& desk) {
        program.settle();
        SCOPED_TRACE(desk.toStdString());
        keys.look(program.frame());
        const QWidget* shown = program.frame().currentWidget();
        ASSERT_NE(shown, nullptr);
    };
    now(u"Register"_s);
    program.key(Qt::Key_E, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return program.frame().panelShown(); }, 5000));
    now(u"Working"_s);
    program.key(Qt::Key_Escape);

    // One sensor of each leading finding: its Record with all tabs, and its last visit opened.
    std::set<core::FindingCode> seen;
    for (const core::Assessment& judged : program.shop().overview()->assessments) {
        if (judged.findings.empty() || !seen.insert(judged.findings.front().code).second || seen.size() > 8)
            continue;
        workbench.openRecord(QString::fromStdString(judged.serial));
        program.settle();
        const auto page = workbench.recordView()->presenter().page();
        ASSERT_NE(page, nullptr) << judged.serial;
        if (!page->visits.empty())
            workbench.recordView()->openVisit(page->visits.front().visit);
        now(u"Record of "_s + QString::fromStdString(judged.serial));
    }
    EXPECT_GT(seen.size(), 3U);
    // What the others say is the same kind of text.
    for (const core::Assessment& judged : program.shop().overview()->assessments)
        for (const FindingWords& finding : findingWords(judged))
            for (const QStringList& texts : {QStringList{finding.title, finding.nextTest}, finding.speaksFor, finding.against,
                                             finding.notMeasured, finding.notPossible, finding.cautions})
                for (const QString& text : texts)
                    keys.look(u"finding of "_s + QString::fromStdString(judged.serial), text);

    workbench.showDesk(u"Bench"_s);
    now(u"Bench, start"_s);
    workbench.startVisit(workbench.registerDesk()->chosenSerial());
    now(u"Bench, visit"_s);
    workbench.showDesk(u"Rounds"_s);
    ASSERT_TRUE(waitFor([&] { return workbench.roundsDesk()->presenter().plan() != nullptr; }, 30000));
    now(u"Rounds"_s);
    workbench.showDesk(u"Review"_s);
    ASSERT_TRUE(waitFor([&] { return workbench.reviewDesk()->presenter().review() != nullptr; }, 30000));
    const auto cases = workbench.reviewDesk()->presenter().rows().size();
    for (std::size_t i = 0; i < cases; ++i)
        for (const QString& line : workbench.reviewDesk()->presenter().assumptionsOf(i))
            keys.look(u"assumptions"_s, line);
    now(u"Review"_s);
    workbench.showDesk(u"Cabinet"_s);
    auto* pages = program.frame().findChild<QListWidget*>(u"cabinet.pages.list"_s);
    ASSERT_NE(pages, nullptr);
    for (int row = 0; row < pages->count(); ++row) {
        pages->setCurrentRow(row);
        now(pages->item(row)->text());
    }
    // The lists of the audit share a table: each is looked at in turn.
    workbench.cabinet()->showAudit();
    for (const QString& name : {u"cabinet.audit.list.journal"_s, u"cabinet.audit.list.standing"_s}) {
        auto* list = program.frame().findChild<QAbstractButton*>(name);
        ASSERT_NE(list, nullptr) << name.toStdString();
        list->click();
        now(name);
    }
    EXPECT_GT(keys.texts(), 10000);
}

}  // namespace
}  // namespace halfcell::test
