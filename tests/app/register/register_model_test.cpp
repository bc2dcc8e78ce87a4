#include "app/register/register_model.h"
#include "app/style/figure_painter.h"
#include "tests/app/register/register_fixture.h"

#include <QAbstractItemModelTester>
#include <QSignalSpy>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::RegisterFixture;
using ::testing::ElementsAre;

class RegisterModelTest : public ::testing::Test {
protected:
    RegisterFixture fixture;
    RegisterModel model;
    QAbstractItemModelTester tester{&model, QAbstractItemModelTester::FailureReportingMode::Fatal};

    void SetUp() override { model.setRows(fixture.rows()); }
    std::vector<std::string> keys() const
    {
        std::vector<std::string> list;
        for (int line = 0; line < model.rowCount(); ++line)
            list.push_back(model.rowAt(line) != nullptr ? model.rowAt(line)->key.toStdString() : "head");
        return list;
    }
    QString text(int line, RegisterModel::Column column) const { return model.index(line, column).data().toString(); }
};

TEST_F(RegisterModelTest, LeavesOutTheScrappedUnlessTheyAreAskedFor)
{
    EXPECT_EQ(model.lineOf(u"K7-0100"_s), -1);
    model.setFilter({.place = {.kind = Place::Kind::Scrapped}});
    EXPECT_THAT(keys(), ElementsAre("K7-0100"));
}

TEST_F(RegisterModelTest, SortsOffsetByItsNumberAndUnknownLast)
{
    model.sortBy(RegisterModel::Offset, Qt::AscendingOrder);
    EXPECT_EQ(text(0, RegisterModel::Offset), u"−212.0 ±3.4 mV"_s);
    EXPECT_THAT(keys(), ElementsAre("K7-0388", "M2-0118", "K7-0431", "K7-0412", "K7-0420", "K7-0466", "K7-0421", "K7-0297", "K7-0470"));
    model.sortBy(RegisterModel::Offset, Qt::DescendingOrder);
    EXPECT_EQ(keys().front(), "K7-0297");
    EXPECT_EQ(keys().back(), "K7-0470");
    // 142 after 95: as numbers, not as text.
    model.sortBy(RegisterModel::T90, Qt::AscendingOrder);
    EXPECT_THAT(keys(), ElementsAre("K7-0466", "K7-0420", "K7-0421", "M2-0118", "K7-0431", "K7-0412", "K7-0297", "K7-0388", "K7-0470"));
}

TEST_F(RegisterModelTest, FiltersByAnyFragmentInOneReset)
{
    QSignalSpy reset(&model, &QAbstractItemModel::modelReset);
    model.setFilter({.text = u"431"_s});
    EXPECT_THAT(keys(), ElementsAre("K7-0431"));
    EXPECT_EQ(reset.count(), 1);
    model.setFilter({.text = u"ae3107"_s});
    EXPECT_THAT(keys(), ElementsAre("K7-0412"));
    model.setFilter({.text = u"out of spec"_s});
    EXPECT_THAT(keys(), ElementsAre("K7-0297"));
    model.setFilter({.overdue = true});
    EXPECT_THAT(keys(), ElementsAre("K7-0431"));
    model.setFilter({.need = Need::Now});
    EXPECT_THAT(keys(), ElementsAre("K7-0388", "K7-0297"));
    model.setFilter({.text = u"nothing like it"_s});
    EXPECT_EQ(model.rowCount(), 0);
}

TEST_F(RegisterModelTest, GivesTheRawNumberBesideTheText)
{
    const int line = model.lineOf(u"K7-0297"_s);
    EXPECT_EQ(model.index(line, RegisterModel::Efficiency).data(RegisterModel::kRawRole).toDouble(), 68.9);
    EXPECT_FALSE(model.index(model.lineOf(u"K7-0466"_s), RegisterModel::Efficiency).data(RegisterModel::kRawRole).isValid());
    const Figure figure = model.index(line, RegisterModel::Efficiency).data(FigureDelegate::kFigureRole).value<Figure>();
    EXPECT_TRUE(figure.guilty);
    EXPECT_EQ(figure.expanded, 1.6);
}

TEST_F(RegisterModelTest, RowsNeverMoveUnderTheHand)
{
    QSignalSpy reset(&model, &QAbstractItemModel::modelReset);
    QSignalSpy changed(&model, &QAbstractItemModel::dataChanged);
    QSignalSpy waiting(&model, &RegisterModel::waitingMovesChanged);
    const auto before = keys();
    fixture.state("K7-0412").signal = core::Signal::Failure;
    model.setRows(fixture.rows());
    EXPECT_EQ(keys(), before);
    EXPECT_EQ(reset.count(), 0);
    ASSERT_EQ(changed.count(), 1);
    EXPECT_EQ(changed.first().first().toModelIndex().row(), model.lineOf(u"K7-0412"_s));
    EXPECT_EQ(text(model.lineOf(u"K7-0412"_s), RegisterModel::Signal), u"Failure"_s);
    // One row would move, not all those it passes.
    ASSERT_EQ(waiting.count(), 1);
    EXPECT_EQ(model.waitingMoves(), 1);
    model.resort();
    EXPECT_EQ(model.waitingMoves(), 0);
    EXPECT_EQ(model.lineOf(u"K7-0412"_s), 0);
}

TEST_F(RegisterModelTest, ARowThatIsGoneGoesAndANewOneStandsAtTheEnd)
{
    std::erase_if(fixture.latest, [](const db::LatestState& s) { return s.serial == "K7-0421"; });
    fixture.latest.push_back(test::stateOf("K7-0001", "AE-3102", core::Signal::Failure));
    const auto before = keys();
    model.setRows(fixture.rows());
    EXPECT_EQ(model.lineOf(u"K7-0421"_s), -1);
    EXPECT_EQ(keys().back(), "K7-0001");
    EXPECT_EQ(keys().size(), before.size());
    EXPECT_GT(model.waitingMoves(), 0);
    model.resort();
    EXPECT_EQ(keys().front(), "K7-0001");
}

TEST_F(RegisterModelTest, GroupsByAreaUnderAHead)
{
    model.setGrouped(true);
    EXPECT_THAT(keys(), ElementsAre("head", "K7-0388", "head", "K7-0297", "M2-0118", "K7-0431", "K7-0466", "K7-0420", "K7-0421", "K7-0412",
                                    "head", "K7-0470"));
    EXPECT_EQ(text(0, RegisterModel::Signal), u"Cinder Lane Plating Shop, Cyanide destruction"_s);
    EXPECT_TRUE(model.index(0, 0).data(RegisterModel::kGroupRole).toBool());
    EXPECT_FALSE(model.flags(model.index(0, 0)) & Qt::ItemIsSelectable);
    EXPECT_EQ(model.serials().size(), 9);
}

TEST_F(RegisterModelTest, ARowReadsAsASentence)
{
    const QModelIndex at = model.index(model.lineOf(u"K7-0297"_s), RegisterModel::Signal);
    EXPECT_EQ(at.data(Qt::AccessibleTextRole).toString(),
              u"AE-3109, K7-0297, pH, out of specification because efficiency 68.9 percent, replace, due 3 March"_s);
}

TEST(PlacesModel, CountsSensorsAndThoseThatNeedSomeone)
{
    RegisterFixture fixture;
    PlacesModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.setRows(*fixture.rows());
    const auto at = [&](Place place) { return model.indexOf(place); };
    const QModelIndex all = at({.kind = Place::Kind::All});
    EXPECT_EQ(model.countOf(all), 9);
    EXPECT_EQ(model.needOf(all), 4);
    const QString site = u"Cinder Lane Plating Shop"_s;
    EXPECT_EQ(model.countOf(at({.kind = Place::Kind::Site, .site = site})), 8);
    EXPECT_EQ(model.needOf(at({.kind = Place::Kind::Area, .site = site, .area = u"Cyanide destruction"_s})), 1);
    EXPECT_EQ(model.needOf(at({.kind = Place::Kind::Area, .site = site, .area = u"Neutralisation"_s})), 3);
    EXPECT_EQ(model.countOf(at({.kind = Place::Kind::Shelf})), 1);
    EXPECT_EQ(model.countOf(at({.kind = Place::Kind::Ready})), 1);
    EXPECT_EQ(model.countOf(at({.kind = Place::Kind::Scrapped})), 1);
    EXPECT_EQ(model.needOf(at({.kind = Place::Kind::Scrapped})), 0);
    EXPECT_EQ(all.data(Qt::AccessibleTextRole).toString(), u"All places, 9 sensors, 4 need someone"_s);
    // New figures change counts in place; a new area makes the tree anew.
    QSignalSpy reset(&model, &QAbstractItemModel::modelReset);
    fixture.state("K7-0420").signal = core::Signal::Failure;
    model.setRows(*fixture.rows());
    EXPECT_EQ(reset.count(), 0);
    EXPECT_EQ(model.needOf(model.indexOf({.kind = Place::Kind::All})), 5);
    fixture.state("K7-0420").area = "Rinse recovery";
    model.setRows(*fixture.rows());
    EXPECT_EQ(reset.count(), 1);
}

}  // namespace
}  // namespace halfcell::app
