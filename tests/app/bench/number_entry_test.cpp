#include "app/bench/number_entry.h"

#include <gtest/gtest.h>

namespace halfcell::app::bench {
namespace {

const NumberShape kMv{.sign = true, .low = -2000, .high = 2000, .decimals = 2};
const NumberShape kSeconds{.sign = false, .low = 0, .high = 86400, .decimals = 0};

std::string typed(const char* keys, const NumberShape& shape, const QLocale& locale)
{
    std::string text;
    int cursor = 0;
    for (const QChar key : QString::fromUtf8(keys)) {
        const auto effect = typeInto(text, cursor, 0, key, shape, locale);
        text = effect.text;
        cursor = effect.cursor;
    }
    return text;
}

TEST(NumberEntry, TakesDigitsSignAndPoint)
{
    EXPECT_EQ(typed("-176", kMv, QLocale::c()), "-176");
    EXPECT_EQ(typed("-10.5", kMv, QLocale::c()), "-10.5");
    EXPECT_EQ(typed("+55", kMv, QLocale::c()), "+55");
}

TEST(NumberEntry, PutsTheSignInFrontWhereverItIsTyped)
{
    EXPECT_EQ(typed("176-", kMv, QLocale::c()), "-176");
    EXPECT_EQ(typed("-1+76", kMv, QLocale::c()), "+176");
}

TEST(NumberEntry, TakesTheDecimalSignOfTheLocaleAndThePoint)
{
    const QLocale german(QLocale::German);
    EXPECT_EQ(typed("19,5", kMv, german), "19.5");
    EXPECT_EQ(typed("19.5", kMv, german), "19.5");
    EXPECT_EQ(shownNumber("-19.5", german), QStringLiteral("\u221219,5"));
    EXPECT_EQ(shownNumber("-19.5", QLocale::c()), QStringLiteral("\u221219.5"));
}

TEST(NumberEntry, RefusesSignsThatSeparateGroups)
{
    const QLocale german(QLocale::German);
    EXPECT_EQ(typed("1,234", kMv, QLocale(QLocale::English, QLocale::UnitedStates)), "1234");
    const auto comma = typeInto("1", 1, 0, u',', kMv, QLocale(QLocale::English, QLocale::UnitedStates));
    EXPECT_FALSE(comma.taken);
    EXPECT_FALSE(comma.refused.isEmpty());
    const auto twice = typeInto("1.234", 5, 0, u',', kMv, german);
    EXPECT_FALSE(twice.taken);
    EXPECT_FALSE(twice.refused.isEmpty());
    EXPECT_FALSE(numberFrom(QStringLiteral("1.234,5"), german));
    EXPECT_FALSE(numberFrom(QStringLiteral("1 234"), german));
    EXPECT_EQ(numberFrom(QStringLiteral(" -12,5 "), german).value(), "-12.5");
}

TEST(NumberEntry, RefusesASignAndAPointWhereThereIsNone)
{
    EXPECT_EQ(typed("-120.5", kSeconds, QLocale::c()), "1205");
    EXPECT_FALSE(typeInto("", 0, 0, u'-', kSeconds, QLocale::c()).refused.isEmpty());
}

TEST(NumberEntry, LeavesLettersToOthersWithoutAWord)
{
    const auto letter = typeInto("12", 2, 0, u'K', kMv, QLocale::c());
    EXPECT_FALSE(letter.taken);
    EXPECT_TRUE(letter.refused.isEmpty());
}

TEST(NumberEntry, ReplacesWhatIsSelected)
{
    const auto digit = typeInto("-176", 0, 4, u'9', kMv, QLocale::c());
    EXPECT_EQ(digit.text, "9");
    EXPECT_EQ(typeInto("-176", 0, 4, u'-', kMv, QLocale::c()).text, "-");
}

TEST(MomentEntry, IsTheLastSuchMomentNotLaterThanNow)
{
    const auto now = core::parseInstant("2026-03-02T08:30:00+01:00").value();
    const QTimeZone zone(3600);
    EXPECT_EQ(core::formatInstant(momentsFrom("0812", now, zone).value().front()), "2026-03-02T08:12:00+01:00");
    EXPECT_EQ(core::formatInstant(momentsFrom("812", now, zone).value().front()), "2026-03-02T08:12:00+01:00");
    EXPECT_EQ(core::formatInstant(momentsFrom("23:52", now, zone).value().front()), "2026-03-01T23:52:00+01:00");
}

TEST(MomentEntry, GoesOnFromTheLineAboveOnASheet)
{
    const auto now = core::parseInstant("2026-03-03T07:00:00+01:00").value();
    const auto above = core::parseInstant("2026-03-02T23:50:00+01:00").value();
    const QTimeZone zone(3600);
    EXPECT_EQ(core::formatInstant(momentsFrom("0010", now, zone, above).value().front()), "2026-03-03T00:10:00+01:00");
    EXPECT_EQ(core::formatInstant(momentsFrom("2355", now, zone, above).value().front()), "2026-03-02T23:55:00+01:00");
}

TEST(MomentEntry, RefusesWhatIsNoTimeOfDay)
{
    const auto now = core::parseInstant("2026-03-02T08:30:00+01:00").value();
    EXPECT_FALSE(momentsFrom("2460", now, QTimeZone(3600)));
    EXPECT_FALSE(momentsFrom("8", now, QTimeZone(3600)));
    EXPECT_FALSE(momentsFrom("ab", now, QTimeZone(3600)));
}

// Central European Time: the clocks went back on 25 October 2026 at 03:00 and forward on 29 March 2026 at 02:00 (Directive 2000/84/EC).
TEST(MomentEntry, TheHourThatComesTwiceGivesBothMomentsAndTheOneLeaptOverNone)
{
    const QTimeZone zone("Europe/Berlin");
    ASSERT_TRUE(zone.isValid());
    const auto texts = [](const core::Result<std::vector<core::Instant>>& moments) {
        std::vector<std::string> list;
        if (moments)
            for (const auto& m : *moments)
                list.push_back(core::formatInstant(m));
        return list;
    };
    using List = std::vector<std::string>;
    const auto autumn = core::parseInstant("2026-10-25T08:30:00+01:00").value();
    EXPECT_EQ(texts(momentsFrom("0230", autumn, zone)), (List{"2026-10-25T02:30:00+02:00", "2026-10-25T02:30:00+01:00"}));
    EXPECT_EQ(texts(momentsFrom("0130", autumn, zone)), (List{"2026-10-25T01:30:00+02:00"}));
    EXPECT_EQ(texts(momentsFrom("0300", autumn, zone)), (List{"2026-10-25T03:00:00+01:00"}));
    EXPECT_EQ(texts(momentsFrom("2330", autumn, zone)), (List{"2026-10-24T23:30:00+02:00"})) << "by the clock of that day";
    // Within the hour itself only what has been can be meant.
    const auto between = core::parseInstant("2026-10-25T02:40:00+02:00").value();
    EXPECT_EQ(texts(momentsFrom("0230", between, zone)), (List{"2026-10-25T02:30:00+02:00"}));
    const auto above = core::parseInstant("2026-10-25T02:10:00+01:00").value();
    EXPECT_EQ(texts(momentsFrom("0230", autumn, zone, above)), (List{"2026-10-25T02:30:00+01:00"}));
    EXPECT_FALSE(momentsFrom("0900", autumn, zone, above)) << "still to come";
    const auto spring = core::parseInstant("2026-03-29T08:30:00+02:00").value();
    const auto leapt = momentsFrom("0230", spring, zone);
    ASSERT_FALSE(leapt);
    EXPECT_NE(leapt.error().detail.find("leapt"), std::string::npos);
}

TEST(MomentEntry, SaysTheDayWhenItIsAnotherOne)
{
    const auto now = core::parseInstant("2026-03-02T08:30:00+01:00").value();
    EXPECT_EQ(shownMoment(core::parseInstant("2026-03-02T08:12:00+01:00").value(), now), QStringLiteral("08:12"));
    EXPECT_EQ(shownMoment(core::parseInstant("2026-03-01T23:52:00+01:00").value(), now), QStringLiteral("Sun 23:52"));
}

}  // namespace
}  // namespace halfcell::app::bench
