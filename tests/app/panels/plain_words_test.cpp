#include "app/panels/plain_words.h"

#include <QDateTime>
#include <QTimeZone>

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;

/// 2 March 2026, 08:12 on this machine's clock.
core::Instant morning()
{
    const QDateTime at(QDate(2026, 3, 2), QTime(8, 12));
    return {at.toSecsSinceEpoch(), static_cast<std::int32_t>(at.offsetFromUtc() / 60)};
}

QString roundTrip(const QString& typed)
{
    const auto at = parseMoment(typed, morning());
    return at ? QDateTime::fromSecsSinceEpoch(at->utcSeconds).toString(u"yyyy-MM-dd HH:mm"_s) : u"none"_s;
}

TEST(PlainWords, PutsWordsInThePlaceOfKeysOfFiles)
{
    EXPECT_EQ(screenWords(std::string("ph7.00 at 19 degC")), u"pH 7.00 at 19 °C"_s);
    EXPECT_EQ(screenWords(std::string("read -176 mV in ph10.01 and value:4.5")), u"read −176 mV in pH 10.01 and known pH 4.5"_s);
    EXPECT_EQ(screenWords(std::string("t90 95 -> 24 s")), u"t90 95 → 24 s"_s);
    EXPECT_EQ(screenWords(std::string("beyond: out_of_specification (as_found)")), u"beyond: Out of specification (as found)"_s);
    EXPECT_EQ(screenWords(std::string("temperature_element_2, my_as_left")), u"temperature_element_2, my_as_left"_s) << "only whole keys";
    EXPECT_EQ(wordsOfKey(u"after_clean"_s), u"after cleaning"_s);
    EXPECT_EQ(keyOfWords(u"After cleaning"_s), u"after_clean"_s);
    EXPECT_EQ(keyOfWords(u"routine"_s), u"routine"_s);
    // Serials and tags keep their hyphens.
    EXPECT_EQ(screenWords(std::string("K7-0412 at AE-3107")), u"K7-0412 at AE-3107"_s);
}

TEST(PlainWords, SaysADesignInWords)
{
    core::Model ph;
    ph.model = "K7";
    ph.kind = core::SensorKind::Ph;
    ph.reference = core::ReferenceDesign::DoubleGel;
    ph.sensing = core::Sensing::Bulb;
    EXPECT_EQ(designWords(ph), u"double-junction gel, bulb glass"_s);
    core::Model orp;
    orp.model = "M2";
    orp.kind = core::SensorKind::Orp;
    orp.sensing = core::Sensing::Platinum;
    orp.reference_fill = "3M KCl";
    EXPECT_EQ(designWords(orp), u"platinum, 3M KCl"_s);
    EXPECT_EQ(designWords(core::Model{}), QString());
}

TEST(PlainWords, SaysDaysWithTheYearOnlyWhereItIsAnotherOne)
{
    const std::int64_t today = localDay(morning());
    EXPECT_EQ(dayWords(today, today), u"today"_s);
    EXPECT_EQ(dayWords(today + 1, today), u"3 Mar"_s);
    EXPECT_EQ(dayWords(today + 365, today), u"2 Mar 2027"_s);
    EXPECT_EQ(momentWords(morning(), today), u"2 Mar 08:12"_s);
    EXPECT_EQ(withoutYear(u"last 25 Feb 2026; here since 3 Nov 2025"_s, today), u"last 25 Feb; here since 3 Nov 2025"_s);
}

TEST(PlainWords, ReadsAMomentAsItIsTyped)
{
    EXPECT_EQ(roundTrip(QString()), u"2026-03-02 08:12"_s);
    EXPECT_EQ(roundTrip(u"now"_s), u"2026-03-02 08:12"_s);
    EXPECT_EQ(roundTrip(u"7:45"_s), u"2026-03-02 07:45"_s);
    EXPECT_EQ(roundTrip(u"28 Feb 14:05"_s), u"2026-02-28 14:05"_s);
    EXPECT_EQ(roundTrip(u"28 Feb 2025"_s), u"2025-02-28 00:00"_s);
    EXPECT_EQ(roundTrip(u"2026-02-28 14:05"_s), u"2026-02-28 14:05"_s);
    EXPECT_EQ(roundTrip(u"2026-02-28"_s), u"2026-02-28 00:00"_s);
    EXPECT_EQ(roundTrip(u"31 Feb"_s), u"none"_s);
    EXPECT_EQ(roundTrip(u"yesterday"_s), u"none"_s);
}

TEST(PlainWords, FoldsSoThatHyphensAndAccentsDoNotMatter)
{
    EXPECT_EQ(foldedKey(u"AE-3107"_s), u"ae3107"_s);
    EXPECT_TRUE(foldedKey(u"Klärbecken Süd"_s).contains(foldedKey(u"klarbecken sud"_s)));
}

}  // namespace
}  // namespace halfcell::app
