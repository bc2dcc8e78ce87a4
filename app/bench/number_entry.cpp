#include "app/bench/number_entry.h"

#include "app/bench/say.h"
#include "core/quantity/number.h"

#include <QDateTime>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr std::int64_t kDay = 86400;
constexpr QChar kMinus(0x2212);

bool isGroupSign(QChar key, const QLocale& locale)
{
    return locale.groupSeparator().startsWith(key) || key == u',' || key == u'.' || key == u'\'' || key == QChar(0x2019) || key.isSpace();
}

}  // namespace

KeyEffect typeInto(const std::string& text, int cursor, int selected, QChar key, const NumberShape& shape, const QLocale& locale)
{
    KeyEffect effect{text, cursor, false, {}};
    const auto keep = [&](int from, int length, const std::string& with) {
        effect.text = text.substr(0, static_cast<std::size_t>(from)) + with + text.substr(static_cast<std::size_t>(from + length));
        effect.cursor = from + static_cast<int>(with.size());
        effect.taken = true;
    };
    const std::string rest =
        selected > 0 ? text.substr(0, static_cast<std::size_t>(cursor)) + text.substr(static_cast<std::size_t>(cursor + selected)) : text;
    if (key == u'+' || key == u'-' || key == kMinus) {
        if (!shape.sign) {
            effect.refused = Say::tr("no sign here");
            return effect;
        }
        // A sign stands at the front, whatever stood there; a plus is not kept, a number without a sign is positive.
        std::string digits = rest;
        if (!digits.empty() && (digits.front() == '-' || digits.front() == '+'))
            digits.erase(0, 1);
        const int at = selected > 0 ? cursor : cursor - (text.size() > 0 && (text.front() == '-' || text.front() == '+') ? 1 : 0);
        effect.text = (key == u'+' ? "+" : "-") + digits;
        effect.cursor = std::clamp(at + 1, 1, static_cast<int>(effect.text.size()));
        effect.taken = true;
        return effect;
    }
    if (key.isDigit()) {
        const int digit = key.digitValue();
        if (!rest.empty() && (rest.front() == '-' || rest.front() == '+') && cursor == 0 && selected == 0)
            cursor = 1;
        const auto point = rest.find('.');
        if (point != std::string::npos && cursor > static_cast<int>(point) && static_cast<int>(rest.size() - point) > shape.decimals) {
            effect.refused = Say::tr("as many decimals as can be read");
            return effect;
        }
        constexpr std::size_t kLongest = 9;
        if (rest.size() >= kLongest) {
            effect.refused = Say::tr("no reading is that long");
            return effect;
        }
        keep(cursor, selected, std::string(1, static_cast<char>('0' + digit)));
        return effect;
    }
    if (key == u'.' || locale.decimalPoint() == QString(key)) {
        if (rest.find('.') != std::string::npos) {
            effect.refused = Say::tr("there is a decimal sign already; groups of digits are not separated");
            return effect;
        }
        if (shape.decimals == 0) {
            effect.refused = Say::tr("whole numbers here");
            return effect;
        }
        keep(cursor, selected, ".");
        return effect;
    }
    if (isGroupSign(key, locale))
        effect.refused = Say::tr("groups of digits are not separated; the decimal sign is %1").arg(locale.decimalPoint());
    return effect;
}

Result<std::string> numberFrom(const QString& typed, const QLocale& locale)
{
    std::string text;
    const NumberShape any{true, 0.0, 0.0, 6};
    for (const QChar c : typed.trimmed()) {
        const auto effect = typeInto(text, static_cast<int>(text.size()), 0, c, any, locale);
        if (!effect.taken)
            return failure(Errc::BadInput, (effect.refused.isEmpty() ? Say::tr("that is no number") : effect.refused).toStdString(),
                           "type the number alone");
        text = effect.text;
    }
    if (!parseNumber(text))
        return failure(Errc::BadInput, "that is no number", "type the number alone");
    return text;
}

QString shownNumber(const std::string& ascii, const QLocale& locale)
{
    QString shown = QString::fromStdString(ascii);
    shown.replace(u'-', kMinus);
    shown.replace(QLatin1String("."), locale.decimalPoint());
    return shown;
}

namespace {

/// The moments at which the clocks of a zone show these seconds since 1970: one, none where they leapt, two where they went back.
std::vector<Instant> atClock(std::int64_t clockSeconds, const QTimeZone& zone)
{
    std::vector<Instant> found;
    for (const std::int64_t side : {-kDay, kDay}) {
        const int offset = zone.offsetFromUtc(QDateTime::fromSecsSinceEpoch(clockSeconds + side, Qt::UTC));
        const Instant moment{clockSeconds - offset, offset / 60};
        const bool fits = zone.offsetFromUtc(QDateTime::fromSecsSinceEpoch(moment.utcSeconds, Qt::UTC)) == offset;
        if (fits && (found.empty() || found.front() != moment))
            found.push_back(moment);
    }
    std::ranges::sort(found);
    return found;
}

}  // namespace

Result<std::vector<Instant>> momentsFrom(const std::string& typed, const Instant& now, const QTimeZone& zone,
                                         const std::optional<Instant>& notBefore)
{
    std::string digits;
    for (const char c : typed) {
        if (c >= '0' && c <= '9')
            digits += c;
        else if (c != ':' && c != ' ' && c != '.')
            return failure(Errc::BadInput, "a time is four digits", "type 0812 for 08:12");
    }
    if (digits.size() != 4 && digits.size() != 3)
        return failure(Errc::BadInput, "a time is four digits", "type 0812 for 08:12");
    const int number = std::stoi(digits);
    const int hours = number / 100;
    const int minutes = number % 100;
    if (hours > 23 || minutes > 59)
        return failure(Errc::BadInput, "there is no such time of day", "type 0812 for 08:12");
    const auto secondsOfDay = static_cast<std::int64_t>(hours * 3600 + minutes * 60);
    const std::int64_t firstDay = dayNumber(notBefore ? *notBefore : now);
    const std::int64_t step = notBefore ? 1 : -1;
    bool leapt = false;
    for (const std::int64_t day : {firstDay, firstDay + step}) {
        auto moments = atClock(day * kDay + secondsOfDay, zone);
        leapt = leapt || moments.empty();
        // Times carry minutes only, so the same minute counts as not before.
        std::erase_if(moments, [&](const Instant& m) { return m > now || (notBefore && m.utcSeconds + 59 < notBefore->utcSeconds); });
        if (!moments.empty() && !(leapt && day != firstDay))
            return moments;
    }
    if (leapt)
        return failure(Errc::BadInput, "the clocks leapt over that time", "they went forward by an hour: type what they showed");
    return failure(Errc::BadInput, "that moment is still to come", "type the time that is on the sheet");
}

QTimeZone zoneOf(const Instant& now)
{
    const QTimeZone machine = QTimeZone::systemTimeZone();
    const int offset = now.offsetMinutes * 60;
    if (machine.isValid() && machine.offsetFromUtc(QDateTime::fromSecsSinceEpoch(now.utcSeconds, Qt::UTC)) == offset)
        return machine;
    return QTimeZone(offset);
}

QString shownMoment(const Instant& instant, const Instant& now)
{
    const QString clock = QString::fromStdString(formatInstant(instant).substr(11, 5));
    if (dayNumber(instant) == dayNumber(now))
        return clock;
    return QLocale().dayName(isoWeekday(dayNumber(instant)), QLocale::ShortFormat) + u' ' + clock;
}

}  // namespace halfcell::app::bench
