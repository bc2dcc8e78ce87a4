#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <set>

namespace halfcell::test {
namespace {

constexpr const char* kDay = "2026-03-02";

std::vector<std::string> files(const std::filesystem::path& folder)
{
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        names.push_back(entry.path().filename().string());
    std::ranges::sort(names);
    return names;
}

TEST(NewBook, IsEmptyAndRefusesToReplaceAnother)
{
    const Folder folder;
    const Ran made = run({"new", "--book", folder / "shop.halfcell", "--json"});
    EXPECT_EQ(made.code, 0) << made.err;
    EXPECT_EQ(made.json().at("sensors"), 0);
    EXPECT_NE(run({"new", "--book", folder / "shop.halfcell"}).code, 0);
    EXPECT_EQ(run({"assess", "--book", folder / "shop.halfcell"}).code, 0);
    EXPECT_EQ(run({"verify", "--book", folder / "shop.halfcell"}).code, 0);
}

TEST(Book, MissingOrForeignIsSaidWithItsOwnExitCode)
{
    const Folder folder;
    EXPECT_EQ(run({"assess", "--book", folder / "none.halfcell"}).code, 4);
    writeFile(folder / "notes.halfcell", "this is a shopping list, not a book\n");
    const Ran foreign = run({"assess", "--book", folder / "notes.halfcell", "--json"});
    EXPECT_EQ(foreign.code, 4);
    EXPECT_FALSE(foreign.json().at("error").at("message").get<std::string>().empty());
    EXPECT_EQ(run({"assess"}).code, 2);
}

TEST(Demo, SameSeedAndDayGiveTheSameBytes)
{
    const Folder folder;
    for (const char* name : {"a", "b"})
        EXPECT_EQ(run({"demo", "--book", folder / name, "--until", kDay, "--years", "0.5", "--truth", folder / (std::string(name) + ".truth")}).code, 0);
    EXPECT_EQ(contentOf(folder / "a.truth/truth_states.csv"), contentOf(folder / "b.truth/truth_states.csv"));
    EXPECT_NE(contentOf(folder / "a.truth/truth_faults.csv").find(','), std::string::npos);
    for (const char* name : {"a", "b"})
        EXPECT_EQ(run({"export", "--book", folder / name, "--to", folder / (std::string(name) + ".tables")}).code, 0);
    for (const std::string& file : files(folder / "a.tables"))
        EXPECT_EQ(contentOf(std::filesystem::path(folder / "a.tables") / file), contentOf(std::filesystem::path(folder / "b.tables") / file)) << file;
    EXPECT_EQ(contentOf(folder / "a"), contentOf(folder / "b"));
}

TEST(Export, ComesBackAsTheSameBook)
{
    const Folder folder;
    const std::string& book = demoBook();
    ASSERT_EQ(run({"export", "--book", book, "--to", folder / "out", "--as-of", kDay}).code, 0);
    ASSERT_EQ(run({"new", "--book", folder / "again.halfcell"}).code, 0);
    const Ran taken = run({"import", "--book", folder / "again.halfcell", folder / "out", "--json"});
    EXPECT_EQ(taken.code, 0) << taken.out.substr(0, 2000);
    EXPECT_TRUE(taken.json().at("refused").empty());
    const Ran second = run({"import", "--book", folder / "again.halfcell", folder / "out", "--json"});
    EXPECT_EQ(second.json().at("taken"), 0);
    EXPECT_EQ(second.json().at("unchanged"), taken.json().at("taken"));
    ASSERT_EQ(run({"export", "--book", folder / "again.halfcell", "--to", folder / "out2", "--as-of", kDay}).code, 0);
    for (const std::string& file : files(folder / "out"))
        EXPECT_EQ(contentOf(std::filesystem::path(folder / "out") / file), contentOf(std::filesystem::path(folder / "out2") / file)) << file;
    const Ran before = run({"assess", "--book", book, "--as-of", kDay, "--json"});
    const Ran after = run({"assess", "--book", folder / "again.halfcell", "--as-of", kDay, "--json"});
    EXPECT_EQ(before.out, after.out);
    EXPECT_EQ(run({"verify", "--book", book}).code, 0);
    EXPECT_EQ(run({"verify", "--book", folder / "again.halfcell"}).code, 0);
}

TEST(Import, DryRunWritesNothing)
{
    const Folder folder;
    ASSERT_EQ(run({"export", "--book", demoBook(), "--to", folder / "out", "--as-of", kDay}).code, 0);
    ASSERT_EQ(run({"new", "--book", folder / "shop.halfcell"}).code, 0);
    const std::string before = run({"verify", "--book", folder / "shop.halfcell", "--json", "--as-of", kDay}).out;
    const Ran dry = run({"import", "--book", folder / "shop.halfcell", folder / "out", "--dry-run", "--json"});
    EXPECT_GT(dry.json().at("taken").get<int>(), 1000);
    EXPECT_EQ(run({"verify", "--book", folder / "shop.halfcell", "--json", "--as-of", kDay}).out, before);
}

TEST(Assess, JudgesTheDemoPlant)
{
    const Ran ran = run({"assess", "--book", demoBook(), "--as-of", kDay, "--json"});
    const Json answer = ran.json();
    EXPECT_EQ(answer.at("sensors").size(), 120U);
    EXPECT_EQ(ran.code, 1);  // the demo plant has sick sensors to find
    std::set<std::string> signals;
    for (const Json& s : answer.at("sensors")) {
        if (s.at("signal").is_string())
            signals.insert(s.at("signal"));
        EXPECT_TRUE(s.at("verdict").is_string());
        if (s.at("kind") == "orp") {
            EXPECT_TRUE(s.at("efficiency_pct").is_null());
        }
    }
    for (const char* signal : {"normal", "maintenance_required", "out_of_specification", "failure", "function_check"})
        EXPECT_TRUE(signals.contains(signal)) << signal;
    EXPECT_EQ(run({"assess", "--book", demoBook(), "--as-of", kDay, "--json"}).out, ran.out);
    EXPECT_EQ(run({"assess", "--book", demoBook(), "--serial", "NOBODY"}).code, 3);
}

TEST(Plan, DueRoundsAndReviewAnswer)
{
    const Json due = run({"due", "--book", demoBook(), "--as-of", kDay, "--json"}).json();
    ASSERT_FALSE(due.at("tasks").empty());
    for (const Json& t : due.at("tasks")) {
        EXPECT_FALSE(t.at("why").get<std::string>().empty());
        EXPECT_LE(t.at("due").get<std::string>(), t.at("latest").get<std::string>());
    }
    const Ran rounds = run({"rounds", "--book", demoBook(), "--as-of", kDay, "--week", "2026-W10", "--json"});
    const Json plan = rounds.json();
    EXPECT_FALSE(plan.at("days").empty());
    EXPECT_FALSE(plan.at("kit").empty());
    EXPECT_LE(plan.at("objective").get<double>(), plan.at("bound").get<double>() + 1e-6);
    for (const Json& u : plan.at("unplanned"))
        EXPECT_FALSE(u.at("why").get<std::string>().empty());
    for (const Json& d : plan.at("days"))
        EXPECT_LE(d.at("used_minutes").get<double>(), d.at("capacity_minutes").get<double>() + 1e-6);
    EXPECT_EQ(run({"rounds", "--book", demoBook(), "--as-of", kDay, "--week", "2026-W10", "--json"}).out, rounds.out);
    EXPECT_EQ(run({"rounds", "--book", demoBook(), "--week", "2026-10"}).code, 3);

    const Json review = run({"review", "--book", demoBook(), "--as-of", kDay, "--budget", "900", "--json"}).json();
    ASSERT_FALSE(review.at("sensors").empty());
    for (const Json& c : review.at("sensors")) {
        if (!c.at("abstained").is_null() || c.at("terminal").get<bool>())
            continue;
        double sum = 0.0;
        for (const Json& o : c.at("options"))
            sum += o.at("probability_best").get<double>();
        EXPECT_NEAR(sum, 1.0, 1e-6) << c.at("serial");
    }
    EXPECT_LE(review.at("budget").at("asked").get<double>(), 900.0);

    // Interval proposals: evidence with every group, nothing past a legal maximum, and lines that the rule reader takes.
    ASSERT_FALSE(review.at("intervals").empty());
    bool changes = false;
    for (const Json& p : review.at("intervals")) {
        EXPECT_FALSE(p.at("why").get<std::string>().empty());
        EXPECT_GT(p.at("target").get<double>(), 0.5);
        const double current = p.at("current_days").get<double>(), proposed = p.at("proposed_days").get<double>();
        changes = changes || proposed != current;
        if (p.at("legal_days").is_number()) {
            EXPECT_LE(proposed, p.at("legal_days").get<double>());
        }
        if (p.at("way") == "not_enough_data" && p.at("legal_days").is_null()) {
            EXPECT_EQ(proposed, current);
        }
    }
    EXPECT_EQ(changes, !review.at("interval_rules").is_null());
}

TEST(Explain, OpensAFigureIntoItsSteps)
{
    const Json assess = run({"assess", "--book", demoBook(), "--as-of", kDay, "--json"}).json();
    std::string serial;
    double efficiency = 0.0;
    for (const Json& s : assess.at("sensors"))
        if (s.at("efficiency_pct").is_number() && s.at("signal") == "normal") {
            serial = s.at("serial");
            efficiency = s.at("efficiency_pct");
        }
    ASSERT_FALSE(serial.empty());
    const Json explained = run({"explain", "--book", demoBook(), "--as-of", kDay, "--serial", serial, "--figure", "efficiency_pct", "--json"}).json();
    ASSERT_FALSE(explained.at("working").empty());
    bool found = false;
    for (const Json& step : explained.at("working")) {
        EXPECT_FALSE(step.at("source").get<std::string>().empty() && step.at("source_class").get<std::string>().empty());
        if (step.at("result").is_number() && std::abs(step.at("result").get<double>() - efficiency) < 1e-9)
            found = true;
    }
    EXPECT_TRUE(found) << explained.dump(1);
    EXPECT_EQ(run({"explain", "--finding", "film_scale", "--json"}).json().at("title"), "Scale film on the glass");
    EXPECT_EQ(run({"explain", "--finding", "gremlins"}).code, 3);
    EXPECT_EQ(run({"explain", "--book", demoBook(), "--visit", "no such visit"}).code, 3);
}

TEST(History, FollowsOneSensorAndObeysAsOf)
{
    const Json assess = run({"assess", "--book", demoBook(), "--as-of", kDay, "--json"}).json();
    // A sensor that was there a year before.
    std::string serial;
    for (const Json& s : assess.at("sensors"))
        if (run({"history", "--book", demoBook(), "--as-of", "2025-03-01", "--serial", s.at("serial"), "--quiet"}).code == 0) {
            serial = s.at("serial");
            break;
        }
    ASSERT_FALSE(serial.empty());
    const Json now = run({"history", "--book", demoBook(), "--as-of", kDay, "--serial", serial, "--json"}).json();
    const Json then = run({"history", "--book", demoBook(), "--as-of", "2025-03-01", "--serial", serial, "--json"}).json();
    EXPECT_GE(now.at("entries").size(), then.at("entries").size());
    for (const Json& e : then.at("entries"))
        EXPECT_LE(e.at("when").get<std::string>(), "2025-03-01T23:59:59Z");
    EXPECT_FALSE(run({"changes", "--book", demoBook(), "--json"}).json().at("entries").empty());
}

TEST(Rules, ShowCheckTrialAndAdopt)
{
    const Folder folder;
    const Ran shown = run({"rules", "show"});
    ASSERT_EQ(shown.code, 0);
    writeFile(folder / "mine.toml", shown.out);
    EXPECT_EQ(run({"rules", "check", folder / "mine.toml"}).code, 0);
    writeFile(folder / "bad.toml", "this is [not toml\n");
    const Ran bad = run({"rules", "check", folder / "bad.toml", "--json"});
    EXPECT_EQ(bad.code, 3);
    EXPECT_TRUE(bad.json().at("error").at("line").is_number()) << bad.out;
    const std::string head = run({"verify", "--book", demoBook(), "--json", "--as-of", kDay}).out;
    const Ran trial = run({"rules", "trial", folder / "mine.toml", "--book", demoBook(), "--as-of", kDay, "--json"});
    EXPECT_TRUE(trial.json().at("changes").empty()) << trial.out.substr(0, 500);
    EXPECT_EQ(run({"verify", "--book", demoBook(), "--json", "--as-of", kDay}).out, head);
    EXPECT_EQ(run({"rules", "adopt", folder / "mine.toml", "--book", demoBook()}).code, 2);
}

TEST(Log, TakesAVisitOnceAndRefusesAnotherUnderItsKey)
{
    const Folder folder;
    std::filesystem::copy_file(demoBook(), folder / "b");
    const Json assess = run({"assess", "--book", folder / "b", "--as-of", kDay, "--json"}).json();
    std::string serial;
    for (const Json& s : assess.at("sensors"))
        if (s.at("kind") == "ph" && s.at("tag").is_string() && s.at("signal") == "normal")
            serial = s.at("serial");
    const auto visit = [&](double mv) {
        return Json{{"visit", "test-1"},
                    {"when", "2026-03-02T10:00:00Z"},
                    {"serial", serial},
                    {"person", "T1"},
                    {"reason", "routine"},
                    {"readings",
                     {{{"phase", "as_found"}, {"standard", "ph7.00"}, {"mv", -2}, {"temp_degc", 20}, {"wait_s", 60}},
                      {{"phase", "as_found"}, {"standard", "ph4.01"}, {"mv", mv}, {"temp_degc", 20}, {"wait_s", 90}}}}}
            .dump();
    };
    const Ran logged = run({"log", "--book", folder / "b", "--visit", "-", "--json", "--as-of", "2026-03-02T11:00:00Z"}, visit(170));
    EXPECT_LE(logged.code, 1) << logged.err;
    EXPECT_EQ(logged.json().at("visit"), "test-1");
    EXPECT_FALSE(logged.json().at("unchanged").get<bool>());
    const Ran again = run({"log", "--book", folder / "b", "--visit", "-", "--json", "--as-of", "2026-03-02T11:00:00Z"}, visit(170));
    EXPECT_TRUE(again.json().at("unchanged").get<bool>()) << again.out;
    EXPECT_EQ(run({"log", "--book", folder / "b", "--visit", "-", "--as-of", "2026-03-02T11:00:00Z"}, visit(150)).code, 3);
    const Ran unknown = run({"log", "--book", folder / "b", "--visit", "-", "--json"}, R"({"visit":"x","when":"2026-03-02","serial":"NOBODY","readings":[]})");
    EXPECT_EQ(unknown.code, 3);
    EXPECT_EQ(run({"log", "--book", folder / "b", "--visit", "-"}, "{ not json").code, 3);
    EXPECT_EQ(run({"verify", "--book", folder / "b"}).code, 0);
    const Json now = run({"assess", "--book", folder / "b", "--serial", serial, "--as-of", "2026-03-02T12:00:00Z", "--json"}).json();
    EXPECT_EQ(now.at("sensors").at(0).at("measured"), "2026-03-02T10:00:00Z");
}

TEST(CommandLine, HelpVersionAndQuietWork)
{
    EXPECT_EQ(run({"--help"}).code, 0);
    EXPECT_EQ(run({"--version"}).code, 0);
    EXPECT_EQ(run({}).code, 2);
    EXPECT_EQ(run({"frobnicate"}).code, 2);
    const Ran usage = run({"assess", "--json"});
    EXPECT_EQ(usage.code, 2);
    EXPECT_EQ(usage.json().at("error").at("code"), "usage");
    EXPECT_EQ(run({"assess", "--book", demoBook(), "--as-of", "yesterday"}).code, 3);
}

}  // namespace
}  // namespace halfcell::test
