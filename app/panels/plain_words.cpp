#include "app/panels/plain_words.h"

#include "app/style/figures.h"
#include "core/electrochemistry/standards.h"

#include <QCoreApplication>
#include <QDate>
#include <QDateTime>
#include <QHash>
#include <QLocale>
#include <QRegularExpression>
#include <QStringList>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

struct Say {
    Q_DECLARE_TR_FUNCTIONS(Words)
};

/// The words of every key that has an underscore: such a key is never a word of its own. Of a key in several lists the
/// first has its words.
const QHash<QString, QString>& keyWords()
{
    static const QHash<QString, QString> words = [] {
        QHash<QString, QString> all;
        const auto take = [&all](const auto& entries) {
            for (const auto& entry : entries)
                if (entry.key.find('_') != std::string_view::npos && !all.contains(plain(entry.key)))
                    all.insert(plain(entry.key), plain(entry.words));
        };
        take(core::keyEntries<core::ReferenceDesign>());
        take(core::keyEntries<core::Sensing>());
        take(core::keyEntries<core::VisitReason>());
        take(core::keyEntries<core::RemovalReason>());
        take(core::keyEntries<core::Phase>());
        take(core::keyEntries<core::Part>());
        take(core::keyEntries<core::Verdict>());
        take(core::keyEntries<core::TaskKind>());
        take(core::keyEntries<core::ActionKey>());
        take(core::keyEntries<core::HoldClosed>());
        take(core::keyEntries<core::Signal>());
        take(core::keyEntries<core::FindingCode>());
        take(core::keyEntries<core::NoAnswer>());
        return all;
    }();
    return words;
}

/// Standards, and keys with an underscore, the longest first.
QRegularExpression keysOfFiles()
{
    QStringList keys = keyWords().keys();
    std::ranges::sort(keys, [](const QString& a, const QString& b) { return a.size() != b.size() ? a.size() > b.size() : a < b; });
    return QRegularExpression(uR"(\b(?:ph\d{1,2}\.\d{2}|quinhydrone_ph[47]|value:\d+(?:\.\d+)?|zobell|%1)\b)"_s.arg(keys.join(u'|')));
}

QDate dateOf(std::int64_t day)
{
    return QDate(1970, 1, 1).addDays(day);
}

QDateTime localTime(const core::Instant& instant)
{
    return QDateTime::fromSecsSinceEpoch(instant.utcSeconds);
}

QString dayMonth(const QDate& date, std::int64_t today)
{
    const bool thisYear = date.year() == dateOf(today).year();
    return QLocale().toString(date, thisYear ? u"d MMM"_s : u"d MMM yyyy"_s);
}

}  // namespace

QString plain(std::string_view utf8)
{
    return QString::fromUtf8(utf8.data(), static_cast<qsizetype>(utf8.size()));
}

QString screenWords(const QString& core)
{
    static const QRegularExpression keys = keysOfFiles();
    QString text;
    qsizetype from = 0;
    for (auto it = keys.globalMatch(core); it.hasNext();) {
        const QRegularExpressionMatch match = it.next();
        text += QStringView(core).mid(from, match.capturedStart() - from);
        const auto words = keyWords().constFind(match.captured());
        text += words != keyWords().cend() ? *words : standardWords(match.captured().toStdString());
        from = match.capturedEnd();
    }
    text += QStringView(core).mid(from);
    return toScreen(text);
}

QString screenWords(std::string_view core)
{
    return screenWords(plain(core));
}

QString shopWords(std::string_view key)
{
    return screenWords(key).replace(u'_', u' ');
}

QString wordsOfKey(const QString& key)
{
    return keyWords().value(key, key);
}

QString keyOfWords(const QString& words)
{
    for (auto entry = keyWords().cbegin(); entry != keyWords().cend(); ++entry)
        if (entry.value().compare(words, Qt::CaseInsensitive) == 0)
            return entry.key();
    return words;
}

QString standardWords(std::string_view standard)
{
    return toScreen(plain(core::StandardsBook::shipped().words(standard)));
}

QString designWords(const core::Model& model)
{
    QStringList parts;
    const auto add = [&](std::string_view words) {
        if (!words.empty())
            parts.append(plain(words));
    };
    if (model.kind == core::SensorKind::Orp && model.sensing)
        add(core::wordsOf(*model.sensing));
    if (model.reference)
        add(core::wordsOf(*model.reference));
    if (model.kind == core::SensorKind::Ph && model.sensing)
        add(core::wordsOf(*model.sensing));
    if (model.reference_fill && model.kind == core::SensorKind::Orp)
        add(*model.reference_fill);
    return parts.join(u", "_s);
}

QString placeWord(std::string_view place)
{
    if (place == core::kShelf)
        return Say::tr("shelf");
    if (place == core::kSoak)
        return Say::tr("in soak");
    if (place == core::kBench)
        return Say::tr("bench");
    if (place == core::kQuarantine)
        return Say::tr("quarantine");
    if (place == core::kScrap)
        return Say::tr("scrapped");
    return plain(place);
}

bool isStore(std::string_view place)
{
    return place == core::kShelf || place == core::kSoak || place == core::kBench || place == core::kQuarantine || place == core::kScrap;
}

std::int64_t localDay(const core::Instant& instant)
{
    return QDate(1970, 1, 1).daysTo(localTime(instant).date());
}

QString dayWords(std::int64_t day, std::int64_t today)
{
    return day == today ? Say::tr("today") : dayMonth(dateOf(day), today);
}

QString dateWords(const core::Instant& instant, std::int64_t today)
{
    return dayMonth(localTime(instant).date(), today);
}

QString fullDate(const core::Instant& instant)
{
    return QLocale().toString(localTime(instant).date(), u"d MMM yyyy"_s);
}

QString withoutYear(const QString& text, std::int64_t today)
{
    static const QRegularExpression day(uR"(\b(\d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)) (\d{4})\b)"_s);
    const QString year = QString::number(dateOf(today).year());
    QString shorter;
    qsizetype from = 0;
    for (auto it = day.globalMatch(text); it.hasNext();) {
        const QRegularExpressionMatch match = it.next();
        shorter += QStringView(text).mid(from, match.capturedStart() - from);
        shorter += match.captured(2) == year ? match.captured(1) : match.captured();
        from = match.capturedEnd();
    }
    shorter += QStringView(text).mid(from);
    return shorter;
}

QString momentWords(const core::Instant& instant, std::int64_t today)
{
    return dateWords(instant, today) + u' ' + clockWords(instant);
}

QString clockWords(const core::Instant& instant)
{
    return localTime(instant).toString(u"HH:mm"_s);
}

std::optional<core::Instant> parseMoment(const QString& typed, const core::Instant& now)
{
    const QString text = typed.simplified();
    if (text.isEmpty() || text.compare(Say::tr("now"), Qt::CaseInsensitive) == 0)
        return now;
    const QDateTime today = localTime(now);
    const auto asInstant = [](const QDateTime& at) {
        return core::Instant{at.toSecsSinceEpoch(), static_cast<std::int32_t>(at.offsetFromUtc() / 60)};
    };
    if (const QTime clock = QTime::fromString(text, u"H:mm"_s); clock.isValid())
        return asInstant(QDateTime(today.date(), clock));
    const QLocale locale;
    for (const QString& form : {u"d MMM yyyy H:mm"_s, u"d MMM yyyy"_s, u"yyyy-MM-dd H:mm"_s, u"yyyy-MM-dd'T'H:mm"_s, u"yyyy-MM-dd"_s})
        if (const QDateTime at = locale.toDateTime(text, form); at.isValid())
            return asInstant(at);
    // Without a year this year's day is meant.
    const QString year = QString::number(today.date().year());
    for (const QString& form : {u"d MMM H:mm yyyy"_s, u"d MMM yyyy"_s})
        if (const QDateTime at = locale.toDateTime(text + u' ' + year, form); at.isValid())
            return asInstant(at);
    return std::nullopt;
}

std::optional<core::Instant> parseAsKnown(const QString& typed, const core::Instant& now)
{
    const QString text = typed.simplified();
    if (const auto moment = parseMoment(text, now)) {
        if (text.contains(u':') || text.isEmpty() || *moment == now)
            return moment;
        // A day alone: all of it.
        const QDateTime day = localTime(*moment);
        const QDateTime end(day.date(), QTime(23, 59, 59));
        return core::Instant{end.toSecsSinceEpoch(), static_cast<std::int32_t>(end.offsetFromUtc() / 60)};
    }
    if (const auto moment = core::parseInstant(text.toStdString(), core::DateMeans::EndOfDay))
        return *moment;
    return std::nullopt;
}

QString asKnownWords(const core::Instant& moment)
{
    const int seconds = localTime(moment).time().second();
    constexpr int kLastSecond = 59;
    const QString clock = seconds == 0 || seconds == kLastSecond ? clockWords(moment) : localTime(moment).toString(u"HH:mm:ss"_s);
    return fullDate(moment) + u", "_s + clock;
}

QString foldedKey(const QString& text)
{
    QString folded;
    for (const QChar c : text.normalized(QString::NormalizationForm_KD)) {
        if (c.category() == QChar::Mark_NonSpacing || c == u'-' || c == QChar(0x2212) || c == u'_')
            continue;
        folded += c.toCaseFolded();
    }
    return folded.simplified();
}

}  // namespace halfcell::app
