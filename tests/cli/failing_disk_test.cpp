#include "app/cli/verbs.h"
#include "tests/support/disk/recording_disk.h"

#include <gtest/gtest.h>
#include <sqlite3.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <sstream>

/// The verbs on a failing disk, in this process: exit code 4, a message and a remedy, the book as it was.
namespace halfcell::app {
namespace {

using test::RecordingDisk;
namespace fs = std::filesystem;

struct Answer {
    int code = -1;
    std::string out, err;
};

Answer runHere(const std::vector<std::string>& args)
{
    std::ostringstream out;
    std::ostringstream err;
    const Context context(out, err, *core::parseInstant("2026-03-02T08:00:00Z"));
    Answer answer;
    answer.code = runCommandLine(args, context);
    answer.out = out.str();
    answer.err = err.str();
    return answer;
}

class FailingDisk : public ::testing::Test {
protected:
    void SetUp() override
    {
        folder = fs::canonical(fs::temp_directory_path()) / ("halfcell_cli_disk_" + std::to_string(::getpid()));
        fs::create_directories(folder);
        book = (folder / "shop").string();
        visit = (folder / "visit.json").string();
        std::ofstream(folder / "sites.csv") << "site\nS\n";
        std::ofstream(folder / "models.csv") << "model,kind,reference,sensing\nK,ph,double_gel,bulb\n";
        std::ofstream(folder / "sensors.csv") << "serial,model\nK1,K\n";
        std::ofstream(visit) << R"({"visit":"v1","when":"2026-03-02","serial":"K1","readings":[
            {"phase":"as_found","standard":"ph7.00","mv":-2,"temp_degc":25},{"phase":"as_found","standard":"ph4.01","mv":170,"temp_degc":25}]})";
        ASSERT_EQ(runHere({"new", "--book", book}).code, 0);
        ASSERT_EQ(runHere({"import", "--book", book, folder.string()}).code, 0);
    }
    void TearDown() override
    {
        RecordingDisk::instance().heal();
        std::error_code ec;
        fs::remove_all(folder, ec);
    }
    fs::path folder;
    std::string book, visit;
};

TEST_F(FailingDisk, EndsInExitCodeFourAndWritesNothingByHalves)
{
    struct Fault {
        RecordingDisk::Calls calls;
        int code;
        const char* word;
    };
    for (const Fault& fault :
         {Fault{RecordingDisk::Calls::Write, SQLITE_FULL, "disk_full"}, Fault{RecordingDisk::Calls::Write, SQLITE_READONLY, "cannot_write"},
          Fault{RecordingDisk::Calls::Sync, SQLITE_IOERR_FSYNC, "cannot_write"},
          Fault{RecordingDisk::Calls::Open, SQLITE_CANTOPEN, "cannot_read"}}) {
        RecordingDisk::instance().failFrom(folder, fault.calls, 1, fault.code);
        const Answer failed = runHere({"log", "--book", book, "--visit", visit, "--json"});
        EXPECT_TRUE(RecordingDisk::instance().heal());
        EXPECT_EQ(failed.code, 4) << failed.err;
        const Json answer = Json::parse(failed.out);
        EXPECT_EQ(answer.at("error").at("code"), fault.word) << failed.out;
        EXPECT_FALSE(answer.at("error").at("message").get<std::string>().empty());
        EXPECT_FALSE(answer.at("error").at("remedy").get<std::string>().empty());
        EXPECT_EQ(answer.at("error").at("file"), book);
        EXPECT_EQ(runHere({"verify", "--book", book}).code, 0);
        EXPECT_EQ(runHere({"explain", "--book", book, "--visit", "v1"}).code, 3) << "half a visit is there";
    }
    EXPECT_LE(runHere({"log", "--book", book, "--visit", visit}).code, 1);
    EXPECT_EQ(runHere({"explain", "--book", book, "--visit", "v1"}).code, 0);
}

}  // namespace
}  // namespace halfcell::app
