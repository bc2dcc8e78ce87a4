#include "app/panels/working_page.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "core/quantity/number.h"

#include <QCoreApplication>
#include <QLocale>
#include <QStringList>

#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

struct WorkingSay {
    Q_DECLARE_TR_FUNCTIONS(Working)
};

QString unitWords(const std::string& unit)
{
    return screenWords(unit == "degC" ? std::string("°C") : unit);
}

/// Formulas of core are ASCII; a product dot and true minus read better.
QString formulaWords(const std::string& formula)
{
    QString text = screenWords(formula);
    text.replace(u" * "_s, u" · "_s);
    text.replace(u" - "_s, u" − "_s);
    text.replace(u"^2"_s, u"²"_s);
    return text;
}

QStringList stepLines(const core::WorkingStep& step, int number, bool full)
{
    QStringList lines;
    const QString result = resultWords(step, full);
    QString head = QString::number(number) + u' ' + screenWords(step.step);
    lines.append(head);
    if (!step.formula.empty())
        lines.append(u"  "_s + formulaWords(step.formula));
    for (const core::WorkingInput& input : step.inputs)
        lines.append(u"  "_s + inputWords(input, full));
    if (!result.isEmpty())
        lines.append(u"  "_s + result);
    if (!step.source.empty())
        lines.append(u"  "_s + WorkingSay::tr("source: %1").arg(sourceWords(step)));
    return lines;
}

QString inputHtml(const core::WorkingInput& input, bool full, const WorkingInk& ink)
{
    const QString words = inputWords(input, full).toHtmlEscaped();
    if (input.readingRef.empty())
        return words;
    return u"<a href=\"reading:%1\" style=\"color:%2\">%3</a>"_s.arg(plain(input.readingRef).toHtmlEscaped(), ink.ink1, words);
}

QString stepHtml(const core::WorkingStep& step, int number, bool full, const WorkingInk& ink)
{
    QString html = u"<tr><td width=\"24\" style=\"color:%1\">%2</td><td>"_s.arg(ink.ink3, QString::number(number));
    html += u"<div>%1</div>"_s.arg(screenWords(step.step).toHtmlEscaped());
    if (!step.formula.empty())
        html += u"<div style=\"color:%1\">%2</div>"_s.arg(ink.ink2, formulaWords(step.formula).toHtmlEscaped());
    QStringList inputs;
    for (const core::WorkingInput& input : step.inputs)
        inputs.append(inputHtml(input, full, ink));
    if (!inputs.isEmpty())
        html += u"<div style=\"color:%1\">%2</div>"_s.arg(ink.ink2, inputs.join(u" &nbsp;·&nbsp; "_s));
    if (const QString result = resultWords(step, full); !result.isEmpty())
        html += u"<div><b>%1</b></div>"_s.arg(result.toHtmlEscaped());
    if (!step.source.empty())
        html += u"<div style=\"color:%1; font-size:%2px\">%3</div>"_s.arg(ink.ink3, QString::number(ink.hint),
                                                                          sourceWords(step).toHtmlEscaped());
    return html + u"</td></tr>"_s;
}

QString stepsHtml(const std::vector<core::WorkingStep>& steps, bool full, const WorkingInk& ink)
{
    QString html = u"<table width=\"100%\" cellspacing=\"0\" cellpadding=\"4\">"_s;
    int number = 1;
    for (const core::WorkingStep& step : steps)
        html += stepHtml(step, number++, full, ink);
    return html + u"</table>"_s;
}

}  // namespace

QString workingNumber(double value, bool full)
{
    if (!std::isfinite(value))
        return {};
    QLocale locale;
    locale.setNumberOptions(QLocale::OmitGroupSeparator);
    QString text = full ? QString::fromStdString(core::formatNumber(value)) : QString::number(value, 'g', 5);
    text.replace(u'.', locale.decimalPoint());
    if (text.startsWith(u'-'))
        text[0] = QChar(0x2212);
    return text;
}

QString inputWords(const core::WorkingInput& input, bool full)
{
    QString text = formulaWords(input.name);
    if (input.value) {
        text += u" = "_s + workingNumber(*input.value, full);
        if (!input.unit.empty())
            text += u' ' + unitWords(input.unit);
    }
    if (!input.text.empty())
        text += (input.value ? u", "_s : u" = "_s) + screenWords(input.text);
    return text;
}

QString resultWords(const core::WorkingStep& step, bool full)
{
    QString text;
    if (step.result) {
        text = u"= "_s + workingNumber(*step.result, full);
        if (!step.unit.empty())
            text += u' ' + unitWords(step.unit);
    }
    if (!step.text.empty())
        text += (text.isEmpty() ? QString() : u"; "_s) + screenWords(step.text);
    return text;
}

QString sourceWords(const core::WorkingStep& step)
{
    const QString kind = plain(core::sourceClassWords(step.sourceClass));
    const QString source = screenWords(step.source);
    return source == kind ? source : u"%1 (%2)"_s.arg(source, kind);
}

QString plainWorking(const WorkingPage& page, bool full)
{
    QStringList lines{page.title};
    if (!page.stamp.isEmpty())
        lines.append(page.stamp);
    if (!page.missing.isEmpty())
        lines.append(page.missing);
    const auto add = [&](const std::vector<core::WorkingStep>& steps) {
        int number = 1;
        for (const core::WorkingStep& step : steps)
            lines.append(stepLines(step, number++, full));
    };
    add(page.steps);
    if (!page.earlier.empty()) {
        lines.append(page.earlierTitle);
        add(page.earlier);
    }
    if (!page.judged.empty()) {
        lines.append(WorkingSay::tr("Against"));
        add(page.judged);
    }
    QString text = toPlain(lines.join(u'\n'));
    text.replace(u'·', u'*');
    return text;
}

QString workingHtml(const WorkingPage& page, bool full, const WorkingInk& ink)
{
    QString html = u"<div style=\"color:%1; font-size:%2px\">"_s.arg(ink.ink1, QString::number(ink.body));
    if (!page.missing.isEmpty())
        html += u"<p>%1</p>"_s.arg(page.missing.toHtmlEscaped());
    if (!page.steps.empty())
        html += stepsHtml(page.steps, full, ink);
    if (!page.earlier.empty())
        html += u"<hr><p><b>%1</b></p>"_s.arg(page.earlierTitle.toHtmlEscaped()) + stepsHtml(page.earlier, full, ink);
    if (!page.judged.empty())
        html += u"<hr><p><b>%1</b></p>"_s.arg(WorkingSay::tr("Against").toHtmlEscaped()) + stepsHtml(page.judged, full, ink);
    return html + u"</div>"_s;
}

}  // namespace halfcell::app
