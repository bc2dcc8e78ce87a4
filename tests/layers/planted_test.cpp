// Each rule of the tree, asked of a small tree with one offender planted in it: a check that cannot
// fail would be none. The same tree without the offender passes.

#include "tests/layers/cmake_text.h"
#include "tests/layers/file_rules.h"
#include "tests/layers/layer_rules.h"
#include "tests/layers/list_rules.h"
#include "tests/layers/source_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <unistd.h>

#include <fstream>

namespace halfcell::tree {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class PlantedTree : public testing::Test {
protected:
    PlantedTree()
    {
        m_root = std::filesystem::path(testing::TempDir()) / ("halfcell_tree_" + std::to_string(getpid()));
        std::filesystem::remove_all(m_root);
        write("CMakeLists.txt", "add_subdirectory(core)\nadd_subdirectory(db)\nadd_subdirectory(app)\nadd_subdirectory(tests)\n");
        write("core/CMakeLists.txt", "halfcell_layer(core)\nhalfcell_add_rooms(alpha beta)\n");
        write("core/alpha/CMakeLists.txt", "halfcell_room(core alpha SOURCES alpha.cpp HEADERS alpha.h)\n");
        write("core/alpha/alpha.h", "#pragma once\n#include <vector>\n");
        write("core/alpha/alpha.cpp", "#include \"core/alpha/alpha.h\"\n"
                                      "// not code: #include <QString> and \"SELECT x FROM y\"\n"
                                      "const char* remedy = \"select the standard from the list\";\n");
        write("core/beta/CMakeLists.txt", "halfcell_room(core beta SOURCES beta.cpp DEPENDS core_alpha)\n");
        write("core/beta/beta.cpp", "#include \"core/alpha/alpha.h\"\n");
        write("db/CMakeLists.txt", "halfcell_add_rooms(store)\n");
        write("db/store/CMakeLists.txt", "halfcell_room(db store SOURCES store.cpp DEPENDS core_beta LIBS SOCI::core)\n");
        write("db/store/store.cpp", "#include \"core/alpha/alpha.h\"\n#include <soci/soci.h>\nconst char* q = \"SELECT x FROM y\";\n");
        write("app/CMakeLists.txt", "halfcell_add_rooms(cli)\nif(HALFCELL_DESKTOP)\n    halfcell_add_rooms(desk)\nendif()\n");
        write("app/cli/CMakeLists.txt", "halfcell_program(halfcell-cli SOURCES main.cpp DEPENDS db_store)\n");
        write("app/cli/main.cpp", "#include \"core/alpha/alpha.h\"\nint main() {}\n");
        write("app/desk/CMakeLists.txt", "halfcell_room(app desk SOURCES desk.cpp DEPENDS db_store LIBS Qt6::Widgets)\n");
        write("app/desk/desk.cpp", "#include \"core/alpha/alpha.h\"\n#include <QWidget>\n#include \"desk.moc\"\n");
        write("tests/CMakeLists.txt", "halfcell_add_rooms(core)\n");
        write("tests/core/CMakeLists.txt", "halfcell_test(core alpha SOURCES alpha_test.cpp)\n");
        write("tests/core/alpha_test.cpp", "int x;\n");
        write("tests/data/sample.cpp", "not built\n");
        write("README.md", "See https://example.org/home/page, ${HOME}/tmp/x and /usr/bin/env.\n");
        write(".gitignore", "/build/\n");
        write("build/left/out.txt", "not of the tree\n");
    }

    ~PlantedTree() override
    {
        std::error_code ignored;
        std::filesystem::remove_all(m_root, ignored);
    }

    void write(const std::string& file, const std::string& text) const
    {
        std::filesystem::create_directories((m_root / file).parent_path());
        std::ofstream(m_root / file, std::ios::binary) << text;
    }

    Repository repository() const { return Repository::tracked(m_root); }

    static auto offender(const std::string& file, std::size_t line, const std::string& what)
    {
        return testing::AllOf(testing::Field(&Offence::file, file), testing::Field(&Offence::line, line),
                              testing::Field(&Offence::what, HasSubstr(what)));
    }

    std::filesystem::path m_root;
};

TEST_F(PlantedTree, PassesWithoutOffender)
{
    const Repository tree = repository();
    EXPECT_THAT(checkIncludes(tree), IsEmpty());
    EXPECT_THAT(checkRooms(tree), IsEmpty());
    EXPECT_THAT(checkLists(tree), IsEmpty());
    EXPECT_THAT(checkTopLevel(tree), IsEmpty());
    EXPECT_THAT(checkMachinePaths(tree), IsEmpty());
    EXPECT_THAT(checkUnfinished(tree), IsEmpty());
}

TEST_F(PlantedTree, RefusesQtInCore)
{
    write("core/alpha/alpha.h",
          "#pragma once\n#  include <QString>\n#include <QtCore/qglobal.h>\n#include \"qcustomplot.h\"\n#include <qnamespace.h>\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("core/alpha/alpha.h", 2, "without Qt"), offender("core/alpha/alpha.h", 3, "without Qt"),
                            offender("core/alpha/alpha.h", 4, "without Qt"), offender("core/alpha/alpha.h", 5, "without Qt")));
}

TEST_F(PlantedTree, RefusesQtInDbAndInTheCommandLine)
{
    write("db/store/store.cpp", "#include <QDateTime>\n");
    write("app/cli/main.cpp", "#include <QCoreApplication>\n#include \"app/desk/desk.h\"\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("app/cli/main.cpp", 1, "without Qt"), offender("app/cli/main.cpp", 2, "desktop room"),
                            offender("db/store/store.cpp", 1, "without Qt")));
}

TEST_F(PlantedTree, RefusesQtSqlEverywhere)
{
    write("app/desk/desk.cpp", "#include <QSqlDatabase>\n");
    EXPECT_THAT(checkIncludes(repository()), ElementsAre(offender("app/desk/desk.cpp", 1, "Qt SQL")));
}

TEST_F(PlantedTree, RefusesQtLibrariesBelowTheDesktop)
{
    write("db/store/CMakeLists.txt", "halfcell_room(db store SOURCES store.cpp DEPENDS core_beta\n    LIBS Qt6::Core)\n");
    EXPECT_THAT(checkRooms(repository()), ElementsAre(offender("db/store/CMakeLists.txt", 1, "without Qt: Qt6::Core")));
}

TEST_F(PlantedTree, RefusesSqlTextOutsideDb)
{
    write("core/alpha/alpha.cpp", "#include \"core/alpha/alpha.h\"\n"
                                  "auto a = \"SELECT name\" // joined over lines\n"
                                  "         \" FROM people\";\n"
                                  "auto b = R\"(\n  select name from people where x = 1)\";\n"
                                  "auto c = '\"'; auto d = 1'000; auto e = \"delete from visit\";\n");
    write("app/desk/desk.cpp", "auto a = \"INSERT OR IGNORE INTO visit VALUES (1)\";\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("app/desk/desk.cpp", 1, "SQL"), offender("core/alpha/alpha.cpp", 2, "SELECT name FROM people"),
                            offender("core/alpha/alpha.cpp", 4, "select name"), offender("core/alpha/alpha.cpp", 6, "delete from visit")));
}

TEST_F(PlantedTree, RefusesDatabaseFileAndClockInCore)
{
    write("core/alpha/alpha.cpp", "#include <soci/soci.h>\n#include <fstream>\n#include <chrono>\n"
                                  "auto t = std::chrono::system_clock::now();\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("core/alpha/alpha.cpp", 1, "no database"), offender("core/alpha/alpha.cpp", 2, "file"),
                            offender("core/alpha/alpha.cpp", 4, "told the time")));
}

TEST_F(PlantedTree, RefusesUpwardIncludes)
{
    write("core/alpha/alpha.h", "#include \"db/store/store.h\"\n#include <app/desk/desk.h>\n");
    write("db/store/store.cpp", "#include \"app/cli/main.h\"\n#include \"tests/core/x.h\"\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("core/alpha/alpha.h", 1, "core may not include db"), offender("core/alpha/alpha.h", 2, "in quotes"),
                            offender("db/store/store.cpp", 1, "db may not include app"), offender("db/store/store.cpp", 2, "tests")));
}

TEST_F(PlantedTree, RefusesIncludesThatAreNotFromTheRoot)
{
    write("core/beta/beta.cpp", "#include \"../alpha/alpha.h\"\n#include \"beta.h\"\n");
    EXPECT_THAT(checkIncludes(repository()),
                ElementsAre(offender("core/beta/beta.cpp", 1, "repository root"), offender("core/beta/beta.cpp", 2, "repository root")));
}

TEST_F(PlantedTree, RefusesUpwardDependencies)
{
    write("core/alpha/CMakeLists.txt", "# rooms\nhalfcell_room(core alpha SOURCES alpha.cpp HEADERS alpha.h DEPENDS db_store)\n");
    EXPECT_THAT(checkRooms(repository()),
                testing::Contains(offender("core/alpha/CMakeLists.txt", 2, "core_alpha may not depend on db_store")));
}

TEST_F(PlantedTree, RefusesCirclesOfRooms)
{
    write("core/alpha/CMakeLists.txt", "halfcell_room(core alpha SOURCES alpha.cpp HEADERS alpha.h DEPENDS core_beta)\n");
    EXPECT_THAT(checkRooms(repository()), ElementsAre(offender("core/alpha/CMakeLists.txt", 1, "depends on itself"),
                                                      offender("core/beta/CMakeLists.txt", 1, "depends on itself")));
}

TEST_F(PlantedTree, RefusesAnIncludeWithoutDependency)
{
    write("core/beta/CMakeLists.txt", "halfcell_room(core beta SOURCES beta.cpp)\n");
    EXPECT_THAT(checkRooms(repository()), ElementsAre(offender("app/cli/main.cpp", 1, "does not DEPEND on core_alpha"),
                                                      offender("app/desk/desk.cpp", 1, "core_alpha"),
                                                      offender("core/beta/beta.cpp", 1, "does not DEPEND on core_alpha"),
                                                      offender("db/store/store.cpp", 1, "core_alpha")));
}

TEST_F(PlantedTree, RefusesARoomInTheFolderOfAnother)
{
    write("core/beta/CMakeLists.txt", "halfcell_room(core gamma SOURCES beta.cpp DEPENDS core_alpha)\n");
    EXPECT_THAT(checkRooms(repository()), testing::Contains(offender("core/beta/CMakeLists.txt", 1, "folder of another")));
}

TEST_F(PlantedTree, RefusesUnlistedSourcesAndFolders)
{
    write("core/beta/forgotten.cpp", "int x;\n");
    write("tests/core/forgotten_test.cpp", "int x;\n");
    write("core/CMakeLists.txt", "halfcell_layer(core)\nhalfcell_add_rooms(alpha)  # beta\n");
    EXPECT_THAT(checkLists(repository()), ElementsAre(offender("core/beta/CMakeLists.txt", 0, "core/CMakeLists.txt"),
                                                      offender("core/beta/forgotten.cpp", 0, "core/beta/CMakeLists.txt"),
                                                      offender("tests/core/forgotten_test.cpp", 0, "tests/core/CMakeLists.txt")));
}

TEST_F(PlantedTree, RefusesOtherEntriesAtTheTopLevel)
{
    write("utils/strings.h", "int x;\n");
    write("utils/strings.cpp", "int x;\n");
    write("NOTES.txt", "x\n");
    EXPECT_THAT(checkTopLevel(repository()), ElementsAre(offender("NOTES.txt", 0, "top level"), offender("utils", 0, "top level")));
}

TEST_F(PlantedTree, RefusesPlacesOnOneMachine)
{
    const std::string slash = "/";
    write("README.md", "one\n\"" + slash + "home/someone/book\"\nfile://" + slash + "tmp/x\nC:" + "\\Users\\someone\n");
    write("core/alpha/alpha.h", "// " + m_root.string() + "\n");
    EXPECT_THAT(checkMachinePaths(repository()), testing::AllOf(testing::Contains(offender("README.md", 2, slash + "home/")),
                                                                testing::Contains(offender("README.md", 3, slash + "tmp/")),
                                                                testing::Contains(offender("README.md", 4, "on a drive")),
                                                                testing::Contains(offender("core/alpha/alpha.h", 1, m_root.string()))));
}

TEST_F(PlantedTree, RefusesMarksOfUnfinishedWork)
{
    write("core/alpha/alpha.h", std::string("int x;\n// TO") + "DO: the rest\n");
    EXPECT_THAT(checkUnfinished(repository()), ElementsAre(offender("core/alpha/alpha.h", 2, "unfinished")));
}

TEST(SourceText, SurvivesOpenCommentsAndLiterals)
{
    EXPECT_TRUE(readSource("/* open").literals.empty());
    EXPECT_EQ(readSource("auto a = \"open").literals.size(), 1U);
    EXPECT_EQ(readSource("auto a = R\"x(open").literals.size(), 1U);
    EXPECT_TRUE(readSource("").includes.empty());
    EXPECT_EQ(readSource("auto a = \"\\\"//\"; int b;").code.front(), "auto a = \"\"; int b;");
}

TEST(CMakeText, ReadsCommandsKeywordsAndComments)
{
    const auto commands =
        readCMake("# x(y)\nhalfcell_room(core a SOURCES a.cpp # b.cpp\n  \"c d.cpp\" DEPENDS core_b)\nif(NOT (A))\nendif()");
    ASSERT_EQ(commands.size(), 3U);
    EXPECT_EQ(commands[0].line, 2U);
    EXPECT_THAT(commands[0].after("SOURCES"), ElementsAre("a.cpp", "c d.cpp"));
    EXPECT_THAT(commands[0].after("DEPENDS"), ElementsAre("core_b"));
    EXPECT_THAT(commands[0].after("LIBS"), IsEmpty());
}

}  // namespace
}  // namespace halfcell::tree
