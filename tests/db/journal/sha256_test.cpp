#include "db/journal/journal.h"
#include "db/journal/sha256.h"

#include <gtest/gtest.h>

namespace halfcell::db {
namespace {

// Examples of FIPS 180-4, appendix B.1 and B.2.
TEST(Sha256, GivesTheStandardsExamples)
{
    Sha256 sha;
    EXPECT_EQ(hex(sha.digest("abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_EQ(hex(sha.digest("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")),
              "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    EXPECT_EQ(hex(sha.digest("")), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(ChainedHash, DependsOnEveryPart)
{
    Sha256 sha;
    const JournalRow row{.seq = 3, .time = {1000, 60}, .person = "T1", .what = "visit", .key = "v1", .serial = "K7", .text = "t", .content = "c", .hash = {}};
    const std::string base = chainedHash(sha, row, "before");
    EXPECT_NE(chainedHash(sha, row, "Before"), base);
    const auto changed = [&](auto change) {
        JournalRow other = row;
        change(other);
        return chainedHash(sha, other, "before");
    };
    EXPECT_NE(changed([](JournalRow& r) { r.seq = 4; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.time.utcSeconds = 1001; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.time.offsetMinutes = 0; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.person = "T2"; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.what = "lot"; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.key = "v2"; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.serial = "K8"; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.text = "u"; }), base);
    EXPECT_NE(changed([](JournalRow& r) { r.content = "d"; }), base);
    // Moving a letter from one part to its neighbour is a change as well.
    EXPECT_NE(changed([](JournalRow& r) { r.person = "T1v"; r.what = "isit"; }), base);
}

}  // namespace
}  // namespace halfcell::db
