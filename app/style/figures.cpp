#include "app/style/figures.h"

#include <QCoreApplication>

#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr QChar kMinus(0x2212);
constexpr QChar kPlusMinus(0x00B1);
constexpr QChar kNarrowSpace(0x202F);

/// The digits of |value| with the locale's decimal sign and no group sign.
QString magnitude(double value, int decimals, QLocale locale)
{
    locale.setNumberOptions(QLocale::OmitGroupSeparator);
    return locale.toString(std::abs(value), 'f', decimals);
}

bool roundsToZero(double value, int decimals)
{
    return std::abs(value) * std::pow(10.0, decimals) < 0.5;
}

QString signedText(double value, int decimals, Sign sign, QChar minus, const QLocale& locale)
{
    if (!std::isfinite(value))
        return {};
    QString text = magnitude(value, decimals, locale);
    // What is shown decides about the sign: −0.04 with one decimal is 0.0.
    if (roundsToZero(value, decimals))
        return magnitude(0.0, decimals, locale);
    if (value < 0)
        text.prepend(minus);
    else if (sign == Sign::Always)
        text.prepend(u'+');
    return text;
}

QString join(std::initializer_list<QString> parts)
{
    QString text;
    for (const QString& part : parts) {
        if (part.isEmpty())
            continue;
        if (!text.isEmpty())
            text += u' ';
        text += part;
    }
    return text;
}

}  // namespace

QString figureText(double value, int decimals, Sign sign, const QLocale& locale)
{
    return signedText(value, decimals, sign, kMinus, locale);
}

QString uncertaintyText(double expanded, int decimals, const QLocale& locale)
{
    return std::isfinite(expanded) ? kPlusMinus + magnitude(expanded, decimals, locale) : QString();
}

QString screenText(const Figure& figure, const QLocale& locale)
{
    if (!figure.value)
        return figure.reason;
    return join({figure.lead, figureText(*figure.value, figure.decimals, figure.sign, locale),
                 figure.expanded ? uncertaintyText(*figure.expanded, figure.decimals, locale) : QString(), figure.unit});
}

QString copyText(const Figure& figure, const QLocale& locale)
{
    return figure.value ? signedText(*figure.value, figure.decimals, figure.sign, u'-', locale) : QString();
}

QString copyFullText(const Figure& figure, const QString& date, const QLocale& locale)
{
    const QString text = toPlain(screenText(figure, locale));
    return date.isEmpty() ? text : text + u", "_s + date;
}

QString spokenUnit(const QString& unit)
{
    if (unit == u"%")
        return QCoreApplication::translate("halfcell", "percent");
    if (unit == u"mV")
        return QCoreApplication::translate("halfcell", "millivolts");
    if (unit == u"s")
        return QCoreApplication::translate("halfcell", "seconds");
    if (unit == u"°C")
        return QCoreApplication::translate("halfcell", "degrees Celsius");
    return unit;
}

QString spokenText(const Figure& figure, const QLocale& locale)
{
    if (!figure.value)
        return figure.reason;
    const bool negative = *figure.value < 0 && !roundsToZero(*figure.value, figure.decimals);
    QString text = magnitude(*figure.value, figure.decimals, locale);
    if (negative)
        text.prepend(QCoreApplication::translate("halfcell", "minus ", "spoken before a figure"));
    text = join({figure.lead, text, spokenUnit(figure.unit)});
    if (figure.expanded)
        text += QCoreApplication::translate("halfcell", ", plus or minus %1").arg(magnitude(*figure.expanded, figure.decimals, locale));
    return text;
}

QString countText(qint64 count)
{
    QString digits = QString::number(count < 0 ? -count : count);
    for (qsizetype at = digits.size() - 3; at > 0; at -= 3)
        digits.insert(at, kNarrowSpace);
    return count < 0 ? kMinus + digits : digits;
}

QString probabilityText(double probability)
{
    const double percent = 100.0 * probability;
    if (percent < 1.0)
        return QCoreApplication::translate("halfcell", "under 1 %");
    if (percent > 99.0)
        return QCoreApplication::translate("halfcell", "over 99 %");
    return QString::number(std::lround(percent)) + u" %"_s;
}

QString heldText(qint64 minutes)
{
    constexpr qint64 kDay = 24 * 60;
    if (minutes >= kDay)
        return QCoreApplication::translate("halfcell", "%1 d %2 h").arg(minutes / kDay).arg(minutes % kDay / 60);
    return QCoreApplication::translate("halfcell", "%1 h %2").arg(minutes / 60).arg(minutes % 60, 2, 10, QLatin1Char('0'));
}

QString toScreen(const QString& ascii)
{
    QString text = ascii;
    text.replace(u"->"_s, u"→"_s);
    text.replace(u"+-"_s, u"±"_s);
    text.replace(u"+/-"_s, u"±"_s);
    text.replace(u"degC"_s, u"°C"_s);
    for (qsizetype i = 0; i + 1 < text.size(); ++i) {
        if (text.at(i) != u'-' || !text.at(i + 1).isDigit())
            continue;
        const QChar before = i > 0 ? text.at(i - 1) : QChar(u' ');
        if (before.isSpace() || before == u'(' || before == u'[' || before == u'=' || before == u'"')
            text[i] = kMinus;
    }
    return text;
}

QString toPlain(const QString& screen)
{
    QString text = screen;
    text.replace(kMinus, u'-');
    for (const char16_t space : {u'\u202F', u'\u2007', u'\u00A0', u'\u2009'})
        text.replace(QChar(space), QChar(u' '));
    return text;
}

}  // namespace halfcell::app
