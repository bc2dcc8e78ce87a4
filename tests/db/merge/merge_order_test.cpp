#include "tests/db/merge/parted.h"

#include <cstdlib>

/// Merging is a union: any order, any number of times, the same book.
namespace halfcell::db {
namespace {

using namespace testing;

const core::Instant kNow = at("2026-07-01T00:00:00Z");

class PartedBooks : public ::testing::TestWithParam<unsigned> {};

TEST_P(PartedBooks, ReadTheSameInWhateverOrderTheyMeet)
{
    const Folder folder;
    makeShop(folder / "base");
    for (int side = 1; side <= 3; ++side) {
        copyBook(folder / "base", folder / std::to_string(side));
        workByChance(folder / std::to_string(side), GetParam() * 7 + static_cast<unsigned>(side), side, 30);
    }
    const auto merged = [&](const std::string& name, const std::string& into, const std::vector<std::string>& others) {
        copyBook(folder / into, folder / name);
        for (const std::string& other : others)
            mergeInto(folder / name, folder / other);
        return readsOf(folder / name, kNow);
    };
    // Two books, either way round.
    const Reads ab = merged("ab", "1", {"2"});
    EXPECT_EQ(difference(ab, merged("ba", "2", {"1"})), "");
    // Three, in every grouping; again and again; through each other.
    const Reads abc = merged("abc", "1", {"2", "3"});
    EXPECT_EQ(difference(abc, merged("cba", "3", {"2", "1"})), "");
    EXPECT_EQ(difference(abc, merged("bac", "2", {"1", "3"})), "");
    merged("bc", "2", {"3"});
    EXPECT_EQ(difference(abc, merged("a(bc)", "1", {"bc"})), "");
    EXPECT_EQ(difference(abc, merged("(bc)a", "bc", {"1"})), "");
    EXPECT_EQ(difference(abc, merged("(ab)(bc)", "ab", {"bc"})), "");
    EXPECT_EQ(difference(abc, merged("again", "abc", {"1", "2", "3", "ab", "bc", "base"})), "");
    // Nothing new is nothing written.
    const std::int64_t entries = Book::open(folder / "abc", OpenMode::ReadOnly)->info()->entries;
    const MergeReport none = mergeInto(folder / "abc", folder / "(ab)(bc)");
    EXPECT_EQ(none.taken, 0U);
    EXPECT_EQ(none.newClashes, 0U);
    EXPECT_EQ(Book::open(folder / "abc", OpenMode::ReadOnly)->info()->entries, entries);
}

INSTANTIATE_TEST_SUITE_P(Seeds, PartedBooks, ::testing::Range(1U, std::getenv("HALFCELL_LONG") != nullptr ? 60U : 5U));

TEST(Merge, BooksStartedApartMeetToo)
{
    const Folder folder;
    makeShop(folder / "a");
    {
        const BookStamp stamp{.person = "T9", .now = at("2026-05-01T08:00:00Z")};
        auto book = Book::create(folder / "b", stamp);
        ASSERT_DONE(book);
        core::Records shop = smallShop();
        shop.models[0].price = 250.0;
        shop.visits.push_back(ordinaryVisit("v9", "2026-04-02"));
        ASSERT_DONE(book->add(shop, stamp));
    }
    copyBook(folder / "a", folder / "ab");
    copyBook(folder / "b", folder / "ba");
    const MergeReport report = mergeInto(folder / "ab", folder / "b");
    mergeInto(folder / "ba", folder / "a");
    EXPECT_EQ(difference(readsOf(folder / "ab", kNow), readsOf(folder / "ba", kNow)), "");
    ASSERT_EQ(report.clashes.size(), 1U);
    EXPECT_EQ(report.clashes[0].subject, "models K7");
    EXPECT_GT(report.unchanged, 10U);
}

}  // namespace
}  // namespace halfcell::db
