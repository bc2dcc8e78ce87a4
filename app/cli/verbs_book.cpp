#include "app/cli/verbs.h"

#include "core/quantity/number.h"
#include "core/simulator/simulate.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

int runNew(Context& context)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = db::Book::create(context.book, {.person = {}, .now = *asOf});
    if (!book)
        return context.fail(book.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["book"] = context.book;
        answer["sensors"] = 0;
        answer["visits"] = 0;
        context.print(answer);
    } else {
        context.out() << "Started the book " << context.book << '\n';
    }
    return kDone;
}

struct DemoOptions {
    std::uint64_t seed = 1;
    double years = 2.5;
    int sensors = 120;
    std::string until, truth;
};

Result<void> writeTruth(const std::filesystem::path& where, const SimulatedPlant& plant)
{
    std::error_code ec;
    std::filesystem::create_directories(where, ec);
    const auto write = [&](const char* name, const std::string& text) -> Result<void> {
        std::ofstream file(where / name, std::ios::binary | std::ios::trunc);
        file << text;
        file.close();
        if (!file)
            return failure(Errc::CannotWrite, fmt::format("{} can't be written", (where / name).string()), "name a folder that can be written");
        return {};
    };
    std::string states = "visit,serial,age,film,chloride_lost,poison,junction,dehydration,wet,metal_film,true_efficiency_pct,true_offset_mv,true_t90_s\n";
    for (const TruthState& s : plant.states) {
        states += s.visit + ',' + s.serial;
        for (const double v : {s.age, s.film, s.chloride_lost, s.poison, s.junction, s.dehydration, s.wet, s.metal_film, s.true_efficiency_pct,
                               s.true_offset_mv, s.true_t90_s})
            states += ',' + formatFixed(v, 6);
        states += "\r\n";
    }
    std::string faults = "visit,serial,code\r\n";
    for (const TruthFault& f : plant.faults)
        faults += f.visit + ',' + f.serial + ',' + f.code + "\r\n";
    if (auto done = write("truth_states.csv", states); !done)
        return done;
    return write("truth_faults.csv", faults);
}

int runDemo(Context& context, const DemoOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    Instant until = *asOf;
    if (!options.until.empty()) {
        const auto parsed = parseInstant(options.until, DateMeans::EndOfDay);
        if (!parsed) {
            Error error = parsed.error();
            error.field = "--until";
            return context.fail(error);
        }
        until = *parsed;
    }
    // The history ends with the last second of its day, so that the same day gives the same bytes at any hour.
    until = Instant{startOfDay(dayNumber(until)).utcSeconds + 86399, 0};
    if (options.sensors < 20 || options.sensors > 20000)
        return context.failUsage("--sensors must be 20 to 20000", "the demo plant as described has 120");
    if (!(options.years >= 0.25 && options.years <= 20.0))
        return context.failUsage("--years must be 0.25 to 20", "the demo plant as described has 2.5");
    std::error_code ec;
    if (std::filesystem::exists(context.book, ec))
        return context.fail(Error{.code = Errc::Conflict, .detail = fmt::format("{} exists already", context.book), .remedy = "name a new file"});

    SimulatedPlant plant =
        simulatePlant({.seed = options.seed, .years = options.years, .sensors = options.sensors, .until = until});
    const std::size_t sensors = plant.records.sensors.size();
    const std::size_t visits = plant.records.visits.size();
    const db::BookStamp stamp{.person = "demo", .now = until};
    {
        auto book = db::Book::create(context.book, stamp);
        if (!book)
            return context.fail(book.error());
        if (auto added = book->add(plant.records, stamp); !added)
            return context.fail(added.error());
        if (auto refreshed = book->refreshLatest({}, until); !refreshed)
            return context.fail(refreshed.error());
    }
    if (!options.truth.empty())
        if (auto written = writeTruth(options.truth, plant); !written)
            return context.fail(written.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), until);
        answer["book"] = context.book;
        answer["sensors"] = sensors;
        answer["visits"] = visits;
        context.print(answer);
    } else {
        context.out() << fmt::format("Made the demo plant {}: {} sensors, {} visits up to {}. Everything in it is invented.\n", context.book, sensors,
                                     visits, formatDate(until));
    }
    return kDone;
}

int runRebuild(Context& context)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    const auto report = book->rebuild(*asOf);
    if (!report)
        return context.fail(report.error());
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["rebuilt"] = report->rebuilt;
        answer["different"] = report->different;
        context.print(answer);
    } else {
        context.out() << fmt::format("{} sensors worked out anew, {} differ from what was stored.\n", report->rebuilt, report->different.size());
        for (const std::string& serial : report->different)
            context.out() << "  " << serial << '\n';
    }
    return kDone;
}

}  // namespace

std::vector<Verb> bookVerbs()
{
    return {
        {"new", "start a new, empty book", true, [](CLI::App&) { return [](Context& context) { return runNew(context); }; }},
        {"demo", "make a book with the invented demo plant", true,
         [](CLI::App& command) {
             auto options = std::make_shared<DemoOptions>();
             command.add_option("--seed", options->seed, "seed of the simulation");
             command.add_option("--years", options->years, "years of history (2.5)");
             command.add_option("--sensors", options->sensors, "sensors in service and spare (120)");
             command.add_option("--until", options->until, "the last day of the history (today)");
             command.add_option("--truth", options->truth, "folder for the hidden truth, for scoring")->type_name("DIR");
             return [options](Context& context) { return runDemo(context, *options); };
         }},
        {"rebuild", "work out all stored figures anew from the readings", true,
         [](CLI::App&) { return [](Context& context) { return runRebuild(context); }; }},
    };
}

}  // namespace halfcell::app
