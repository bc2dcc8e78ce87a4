#include "app/cli/json_forms.h"
#include "app/cli/response_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <fstream>
#include <iostream>
#include <iterator>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

int runLog(Context& context, const std::string& file)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    std::string text;
    if (file == "-") {
        text.assign(std::istreambuf_iterator<char>(std::cin), {});
    } else {
        std::ifstream in(file, std::ios::binary);
        if (!in)
            return context.fail(
                Error{.code = Errc::BadInput, .detail = "the file can't be read", .file = file, .remedy = "check the path"});
        text.assign(std::istreambuf_iterator<char>(in), {});
    }
    auto visit = db::visitFromJson(text);
    if (!visit) {
        Error error = visit.error();
        if (error.file.empty() && file != "-")
            error.file = file;
        return context.fail(error);
    }
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    const std::string person = visit->person.value_or(std::string());
    const auto stored = book->recordVisit(std::move(*visit), {.person = person, .now = *asOf});
    if (!stored)
        return context.fail(stored.error());

    auto records = book->loadSensorAndRound(stored->visit.serial, *asOf);
    if (!records)
        return context.fail(records.error());
    const auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    const StandardsBook standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const SensorHistory* history = plant.history(stored->visit.serial);
    if (history == nullptr)
        return context.fail(
            Error{.code = Errc::BadInput, .detail = "the visit lies after the moment of --as-of", .remedy = "leave --as-of out"});
    const auto figures = figuresOfHistory(plant, *history, standards, *rules, false);
    Assessment assessment;
    GoodEnough good;
    const PhaseFigures* before = nullptr;
    for (std::size_t i = 0; i < figures.size(); ++i)
        if (figures[i].visit != nullptr && figures[i].visit->visit == stored->visit.visit) {
            before = stateToCompareWith(std::span(figures).first(i));
            assessment = assessVisit(plant, *history, figures, i, standards, *rules);
            good = goodEnoughAt(plant, *history, figures, i, *rules);
        }
    const Point* point = stored->visit.tag ? plant.point(*stored->visit.tag) : nullptr;
    const LimitProfile& profile = rules->profileFor(history->model, point);
    const auto questions =
        questionsAbout(stored->visit, history->model != nullptr ? history->model->kind : SensorKind::Ph,
                       history->model != nullptr ? history->model->reference_fill.value_or("") : "", before, standards, *rules, profile);
    if (context.json) {
        Json answer = context.envelope(rules->id(), *asOf);
        answer["visit"] = stored->visit.visit;
        answer["unchanged"] = stored->unchanged;
        answer["signal"] = assessment.signal ? Json(keyOf(*assessment.signal)) : Json();
        answer["verdict"] = keyOf(assessment.verdict);
        answer["findings"] = jsonOf(std::span<const Finding>(assessment.findings));
        answer["settling"] = assessment.figures ? settlingJson(*assessment.figures) : Json::array();
        answer["good_enough"] = goodEnoughJson(good);
        Json asked = Json::array();
        for (const Question& q : questions)
            asked.push_back(
                {{"text", q.text}, {"reading", q.reading ? Json(*q.reading + 1) : Json()}, {"suggestion", jsonOf(q.suggestion)}});
        answer["questions"] = std::move(asked);
        context.print(answer);
    } else {
        context.out() << (stored->unchanged ? "Known already, nothing changed: " : "Logged ") << stored->visit.visit << '\n'
                      << signalWords(assessment.signal) << ": " << wordsOf(assessment.verdict) << '\n';
        if (!assessment.sentence.empty())
            writeWrapped(context.out(), assessment.sentence, 0, 0);
        writeFindings(context.out(), assessment.findings);
        if (assessment.figures) {
            writeSettling(context.out(), *assessment.figures, 2);
            if (good.now)
                writeWrapped(context.out(), good.sentence, 2, 4);
        }
        for (const Question& q : questions)
            writeWrapped(context.out(), "? " + q.text, 2, 4);
    }
    return assessment.signal == Signal::Normal ? kDone : kAttention;
}

}  // namespace

std::vector<Verb> exchangeVerbs()
{
    return {
        importVerb(),
        exportVerb(),
        {"log", "log one whole visit", true,
         [](CLI::App& command) {
             auto file = std::make_shared<std::string>();
             command.add_option("--visit", *file, "the visit as JSON; - reads standard input")->required()->type_name("FILE");
             return [file](Context& context) { return runLog(context, *file); };
         }},
    };
}

}  // namespace halfcell::app
