#include "tests/db/merge/parted.h"

#include <fmt/format.h>

namespace halfcell::db::testing {

Reads readsOf(const std::filesystem::path& file, const core::Instant& now)
{
    Reads reads;
    auto book = Book::open(file, OpenMode::ReadWrite);
    EXPECT_TRUE(book.has_value());
    const auto verified = book->verify();
    EXPECT_TRUE(verified.has_value() && verified->ok) << (verified ? verified->firstBad : verified.error().detail);
    EXPECT_TRUE(book->refreshLatest({}, now).has_value());
    const auto records = book->loadRecords();
    EXPECT_TRUE(records.has_value()) << records.error().detail;
    reads.records = *records;
    reads.earlier = *book->loadRecords(at("2026-03-20T00:00:00Z"));
    const auto clashes = clashesOf(*book);
    EXPECT_TRUE(clashes.has_value()) << clashes.error().detail;
    reads.clashes = *clashes;
    reads.rules = book->rulesAt(now)->id();
    reads.shop = book->info()->shop;
    reads.states = *book->latestStates();
    // One history alone reads as it does among all.
    for (const core::Sensor& sensor : reads.records.sensors) {
        const auto alone = book->loadSensorRecords(sensor.serial);
        EXPECT_TRUE(alone.has_value());
        std::vector<core::Visit> own;
        for (const core::Visit& visit : reads.records.visits)
            if (visit.serial == sensor.serial)
                own.push_back(visit);
        std::vector<core::Visit> first;
        for (const core::Visit& visit : alone->visits)
            if (visit.serial == sensor.serial)
                first.push_back(visit);
        EXPECT_EQ(first, own) << sensor.serial;
    }
    return reads;
}

std::string difference(const Reads& a, const Reads& b)
{
    const auto records = [](const core::Records& x, const core::Records& y) -> std::string {
        if (x.sites != y.sites)
            return "sites";
        if (x.points != y.points)
            return "points";
        if (x.models != y.models)
            return "models";
        if (x.sensors != y.sensors)
            return "sensors";
        if (x.placements != y.placements)
            return "placements";
        if (x.parts != y.parts)
            return "parts";
        if (x.lots != y.lots)
            return "lots";
        if (x.holds != y.holds)
            return "holds";
        if (x.corrections != y.corrections)
            return "corrections";
        for (std::size_t i = 0; i < std::min(x.visits.size(), y.visits.size()); ++i)
            if (x.visits[i] != y.visits[i])
                return "visit " + x.visits[i].visit;
        return x == y ? std::string() : "records";
    };
    if (const std::string text = records(a.records, b.records); !text.empty())
        return text;
    if (const std::string text = records(a.earlier, b.earlier); !text.empty())
        return "as known before: " + text;
    if (a.rules != b.rules)
        return "rules " + a.rules + " " + b.rules;
    if (a.shop != b.shop)
        return "shop " + a.shop + " " + b.shop;
    if (a.states != b.states)
        return "figures";
    if (a.clashes.size() != b.clashes.size())
        return fmt::format("{} and {} clashes", a.clashes.size(), b.clashes.size());
    for (std::size_t i = 0; i < a.clashes.size(); ++i) {
        const Clash& x = a.clashes[i];
        const Clash& y = b.clashes[i];
        if (x.id != y.id || x.subject != y.subject || x.open != y.open || x.rows.size() != y.rows.size())
            return "clash " + x.subject;
        for (std::size_t r = 0; r < x.rows.size(); ++r)
            if (x.rows[r].text != y.rows[r].text || x.rows[r].counts != y.rows[r].counts)
                return "clash " + x.subject + ": " + x.rows[r].text + " / " + y.rows[r].text;
    }
    return {};
}

void makeShop(const std::filesystem::path& file)
{
    const BookStamp stamp{.person = "T1", .now = at("2026-03-01T08:00:00Z")};
    auto book = Book::create(file, stamp);
    ASSERT_DONE(book);
    core::Records shop = smallShop();
    shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
    shop.visits.push_back(ordinaryVisit("v2", "2025-04-02"));
    ASSERT_DONE(book->add(shop, stamp));
}

void copyBook(const std::filesystem::path& from, const std::filesystem::path& to)
{
    std::filesystem::copy_file(from, to, std::filesystem::copy_options::overwrite_existing);
}

MergeReport mergeInto(const std::filesystem::path& book, const std::filesystem::path& other, const char* now)
{
    auto opened = Book::open(book, OpenMode::ReadWrite);
    EXPECT_TRUE(opened.has_value());
    const auto report = mergeFrom(*opened, other, {.person = "M1", .now = at(now)});
    EXPECT_TRUE(report.has_value()) << report.error().detail;
    return report ? *report : MergeReport{};
}

void workByChance(const std::filesystem::path& file, unsigned seed, int side, int steps)
{
    auto opened = Book::open(file, OpenMode::ReadWrite);
    ASSERT_DONE(opened);
    Book& book = *opened;
    std::mt19937 random(seed);
    const auto pick = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
    std::int64_t clock = at("2026-03-02T08:00:00Z").utcSeconds;
    const std::string who = "T" + std::to_string(side);
    for (int i = 0; i < steps; ++i) {
        // Seconds of one side never are those of another.
        clock += 40 * (1 + pick(3000));
        const BookStamp stamp{.person = who, .now = {clock - clock % 10 + side, 60}};
        switch (pick(12)) {
        case 0:
        case 1: {
            core::Visit visit = ordinaryVisit(fmt::format("w{}", pick(6)), "2026-03-10");
            visit.recorded = stamp.now;
            visit.readings[1].mv = -176.0 - pick(3);
            if (pick(3) == 0)
                visit.serial = "K7-0431";
            (void)book.recordVisit(visit, stamp);
            break;
        }
        case 2: {
            core::Records more;
            core::Visit visit = ordinaryVisit(fmt::format("w{}", pick(6)), "2026-03-10");
            if (const auto there = book.loadVisit(visit.visit)) {
                visit = *there;
                core::Reading reading = visit.readings.front();
                reading.dip = 2 + pick(2);
                reading.mv = -13.0 - pick(2);
                reading.recorded = stamp.now;
                visit.readings = {reading};
                visit.grabs.clear();
                visit.checks.clear();
                visit.actions.clear();
                more.visits.push_back(visit);
                (void)book.add(more, stamp);
            }
            break;
        }
        case 3:
        case 4:
        case 5: {
            core::Correction c;
            c.visit = pick(2) == 0 ? "v1" : fmt::format("w{}", pick(6));
            c.table = "readings";
            c.row = 1 + pick(3);
            c.field = "mv";
            c.person = who;
            c.why = "misread";
            // Whatever stands there now, found by trying.
            for (const char* old : {"-13", "-176", "-10", "-177", "-178", "-11.5", "-12.5", "-170"}) {
                c.old_value = old;
                c.new_value = pick(2) == 0 ? "-11.5" : pick(2) == 0 ? "-12.5" : "-170";
                if (c.new_value != c.old_value && book.correct(c, stamp))
                    break;
            }
            break;
        }
        case 6:
        case 7: {
            const char* places[] = {"AE-3107", "AE-3109", "shelf", "bench", "soak"};
            (void)book.moveSensor(pick(2) == 0 ? "K7-0412" : "K7-0431", places[pick(5)], stamp.now, core::RemovalReason::Slow, stamp);
            break;
        }
        case 8: {
            (void)(pick(2) == 0 ? book.openLot("B7-2231", stamp.now, stamp) : book.discardLot("B7-2231", stamp.now, stamp));
            break;
        }
        case 9: {
            core::Records more;
            core::Site site;
            site.site = fmt::format("Site {}", pick(3));
            if (pick(2) == 0)
                site.note = "by side " + who;
            more.sites.push_back(site);
            core::Lot lot;
            lot.lot = fmt::format("L{}", pick(4));
            lot.standard = pick(2) == 0 ? "ph7.00" : "ph4.01";
            lot.recorded = pick(2) == 0 ? at("2026-02-01") : stamp.now;
            more.lots.push_back(lot);
            (void)book.add(more, stamp);
            break;
        }
        case 10: {
            core::Hold hold;
            hold.point = "AE-3109";
            hold.from = at(pick(2) == 0 ? "2026-03-03" : "2026-03-04");
            hold.person = who;
            (void)book.openHold(hold, stamp);
            (void)book.closeHold("AE-3109", hold.from, stamp.now, who, core::HoldClosed::Auto, stamp);
            break;
        }
        case 11: (void)book.nameShop("Shop of " + who, stamp); break;
        default: break;
        }
    }
}

}  // namespace halfcell::db::testing
