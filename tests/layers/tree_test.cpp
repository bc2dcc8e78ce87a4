// The rules of the tree, asked of the tree itself. planted_test.cpp shows that each can fail.

#include "tests/layers/file_rules.h"
#include "tests/layers/layer_rules.h"
#include "tests/layers/list_rules.h"

#include <gtest/gtest.h>

namespace halfcell::tree {
namespace {

Repository thisRepository()
{
    return Repository::tracked(std::filesystem::path(HALFCELL_TEST_DATA).parent_path().parent_path());
}

TEST(Tree, IsFound)
{
    const Repository repository = thisRepository();
    EXPECT_TRUE(repository.has("CMakeLists.txt"));
    EXPECT_TRUE(repository.has("core/quantity/units.h"));
    EXPECT_FALSE(repository.read("core/quantity/units.h").empty());
}

TEST(Tree, IncludesPointDown)
{
    const auto offences = checkIncludes(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

TEST(Tree, RoomsDependOnWhatTheyInclude)
{
    const auto offences = checkRooms(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

TEST(Tree, EverySourceAndFolderIsListed)
{
    const auto offences = checkLists(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

TEST(Tree, TopLevelHoldsTheAgreedEntriesOnly)
{
    const auto offences = checkTopLevel(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

TEST(Tree, NoFileNamesAPlaceOnOneMachine)
{
    const auto offences = checkMachinePaths(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

TEST(Tree, NoFileCarriesAMarkOfUnfinishedWork)
{
    const auto offences = checkUnfinished(thisRepository());
    EXPECT_TRUE(offences.empty()) << listed(offences);
}

}  // namespace
}  // namespace halfcell::tree
