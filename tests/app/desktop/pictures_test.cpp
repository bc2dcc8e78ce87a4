#include "app/bench/bench_desk.h"
#include "app/desktop/cabinet_desk.h"
#include "app/record/record_view.h"
#include "app/register/register_desk.h"
#include "app/review/review_desk.h"
#include "app/rounds/rounds_desk.h"
#include "tests/app/desktop/workbench_fixture.h"
#include "tests/support/qt/widgets.h"

#include <QListWidget>
#include <QTemporaryDir>

#include <gtest/gtest.h>

#include <fstream>

/// Every desk painted at the sizes and themes it is judged at. With HALFCELL_PICTURES naming a folder the pictures are kept there;
/// without it the light 1280x800 ones are painted all the same, and checked for being painted and for keeping to their size.
namespace halfcell::test {
namespace {

using namespace Qt::Literals::StringLiterals;
using namespace app;

class Screens {
public:
    Screens(WholeProgram& program, QString suffix, QSize size) : m_program(program), m_suffix(std::move(suffix)), m_size(size) {}

    void take(const QString& name)
    {
        m_program.settle();
        m_program.frame().resize(m_size);
        m_program.settle();
        EXPECT_EQ(m_program.frame().size(), m_size) << name.toStdString();
        const QImage image = m_program.frame().grab().toImage();
        EXPECT_FALSE(image.isNull()) << name.toStdString();
        keepPicture(image, name + m_suffix);
        m_taken += image.isNull() ? 0 : 1;
    }

    void all()
    {
        Workbench& workbench = m_program.workbench();
        workbench.showDesk(u"Register"_s);
        take(u"register"_s);
        m_program.key(Qt::Key_E, Qt::ControlModifier);
        waitFor([&] { return m_program.frame().panelShown(); }, 5000);
        take(u"working"_s);
        m_program.key(Qt::Key_Escape);
        workbench.registerDesk()->openMove();
        take(u"move"_s);
        m_program.key(Qt::Key_Escape);
        const QString serial = workbench.registerDesk()->chosenSerial();
        workbench.openRecord(serial);
        take(u"record"_s);
        workbench.showDesk(u"Bench"_s);
        take(u"bench-start"_s);
        workbench.startVisit(serial);
        m_program.settle();
        m_program.key(Qt::Key_Space);
        m_program.type("7");
        m_program.key(Qt::Key_Return);
        m_program.type("7.2");
        m_program.key(Qt::Key_Return);
        m_program.type("21");
        m_program.key(Qt::Key_Return);
        m_program.type("2h");
        m_program.type("-13");
        m_program.key(Qt::Key_Return);
        m_program.type("19.0");
        m_program.key(Qt::Key_Return);
        m_program.type("150");
        take(u"bench-visit"_s);
        m_program.key(Qt::Key_F3);
        take(u"bench-tests"_s);
        m_program.key(Qt::Key_Escape);
        workbench.showDesk(u"Rounds"_s);
        waitFor([&] { return workbench.roundsDesk()->presenter().plan() != nullptr; }, 30000);
        take(u"rounds"_s);
        workbench.showDesk(u"Review"_s);
        waitFor([&] { return workbench.reviewDesk()->presenter().review() != nullptr; }, 30000);
        take(u"review"_s);
        workbench.showDesk(u"Cabinet"_s);
        auto* pages = m_program.frame().findChild<QListWidget*>(u"cabinet.pages.list"_s);
        ASSERT_NE(pages, nullptr);
        for (int row = 0; row < pages->count(); ++row) {
            pages->setCurrentRow(row);
            take(u"cabinet-%1"_s.arg(row + 1));
        }
        EXPECT_EQ(m_taken, kBeforeTheCabinet + pages->count());
        EXPECT_GT(pages->count(), 4);
    }

private:
    static constexpr int kBeforeTheCabinet = 9;

    WholeProgram& m_program;
    QString m_suffix;
    QSize m_size;
    int m_taken = 0;
};

TEST(Pictures, EveryDeskAtDeskSizeInLight)
{
    WholeProgram program;
    Screens(program, u"-1280-light"_s, {1280, 800}).all();
}

/// A shop's own table as it comes: titles, two lines of names, commas, words among the numbers, rows that can't be taken.
TEST(Pictures, TheImportOfAMessyTable)
{
    const bool all = !qEnvironmentVariableIsEmpty("HALFCELL_PICTURES");
    QTemporaryDir folder;
    for (const auto& [choice, name] : {std::pair{ThemeChoice::Light, "light"}, std::pair{ThemeChoice::Dark, "dark"}}) {
        if (choice == ThemeChoice::Dark && !all)
            continue;
        WholeProgram program;
        program.theme().setChoice(choice);
        const auto& sensors = program.shop().reference()->sensors;
        ASSERT_GE(sensors.size(), 20U);
        const std::filesystem::path file = std::filesystem::path(folder.path().toStdString()) / "ph log 2019-2024.csv";
        {
            std::ofstream out(file, std::ios::binary);
            out << "Upper works, pH log 2019-2024;;;;;;;\n;;;;;;;\nSerial no;Date;Time;as found;;as left;;Remarks\n;;;pH 7;pH 4;pH "
                   "7;temp;\n";
            for (std::size_t i = 0; i < 60; ++i)
                out << (i == 5 ? std::string("K9-9999") : sensors[i % 20].serial) << ';' << i % 28 + 1 << ".0" << i % 9 + 1
                    << ".2019;8:" << 10 + i % 50 << ";-" << i % 17 << ',' << i % 10 << ";1" << 60 + i % 17 << (i == 3 ? "x" : ",2") << ";-"
                    << i % 4 << ";" << (i == 9 ? "broken" : "19,5") << ";" << (i % 7 == 0 ? "white film, brushed" : "") << "\n";
        }
        program.workbench().showDesk(u"Cabinet"_s);
        auto* import = program.frame().findChild<ImportPage*>();
        ASSERT_NE(import, nullptr);
        import->preview({file});
        ASSERT_TRUE(waitFor([&] { return import->presenter().state() == ImportPresenter::State::Counted; }));
        EXPECT_GT(import->presenter().counted()->report.taken, 100U);
        for (const QSize size : {QSize(1280, 800), QSize(1920, 1080)})
            Screens(program, u"-%1-%2"_s.arg(size.width()).arg(QLatin1String(name)), size).take(u"cabinet-import-messy"_s);
    }
}

TEST(Pictures, EveryDeskAtTwiceTheScale)
{
    WholeProgram program;
    program.theme().setScale(2.0);
    Screens(program, u"-1920-200-light"_s, {1920, 1080}).all();
}

TEST(Pictures, EveryDeskInTheOtherSizesAndThemes)
{
    if (qEnvironmentVariableIsEmpty("HALFCELL_PICTURES"))
        GTEST_SKIP() << "painted only when HALFCELL_PICTURES says where to keep them";
    for (const auto& [choice, name] : {std::pair{ThemeChoice::Light, "light"}, std::pair{ThemeChoice::Dark, "dark"}}) {
        for (const QSize size : {QSize(1280, 800), QSize(1920, 1080)}) {
            WholeProgram program;
            program.theme().setChoice(choice);
            Screens(program, u"-%1-%2"_s.arg(size.width()).arg(QLatin1String(name)), size).all();
        }
        WholeProgram doubled;
        doubled.theme().setChoice(choice);
        doubled.theme().setScale(2.0);
        Screens(doubled, u"-1920-200-%1"_s.arg(QLatin1String(name)), {1920, 1080}).all();
    }
    WholeProgram first(false);
    Screens(first, u"-1280-light"_s, {1280, 800}).take(u"first"_s);
}

}  // namespace
}  // namespace halfcell::test
