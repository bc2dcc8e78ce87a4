#include "app/handbook/handbook.h"

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

TEST(Handbook, HasAPageForEveryFinding)
{
    for (const auto& entry : core::keyEntries<core::FindingCode>()) {
        const HandbookPage page = handbookPage(entry.value);
        EXPECT_EQ(page.title, entry.words);
        EXPECT_FALSE(page.sign.empty()) << entry.key;
        EXPECT_FALSE(page.cure.empty()) << entry.key;
        EXPECT_FALSE(page.source.empty()) << entry.key;
    }
}

TEST(Handbook, CautionsDeferToTheSite)
{
    using core::FindingCode;
    for (const FindingCode code : {FindingCode::FilmScale, FindingCode::Biofilm, FindingCode::ReferencePoisoned, FindingCode::GlassBroken}) {
        const std::string caution = handbookPage(code).caution;
        EXPECT_NE(caution.find("ite procedure"), std::string::npos) << caution;
    }
    EXPECT_NE(handbookPage(FindingCode::Biofilm).caution.find("never with acid"), std::string::npos);
}

}  // namespace
}  // namespace halfcell::app
