#include "tests/bench/bench_book.h"

#include <unistd.h>

#include <cstdlib>
#include <iostream>

namespace halfcell::db::bench_book {

namespace fs = std::filesystem;

void stop(const core::Error& error)
{
    std::cerr << error.detail << " " << error.field << '\n';
    std::exit(1);
}

std::string serialOf(int sensor)
{
    const std::string number = std::to_string(10000 + sensor);
    return "K7-" + number;
}

core::Visit visitTo(int sensor, std::int64_t when)
{
    core::Visit v;
    v.when = {when, 60};
    v.recorded = v.when;
    v.serial = serialOf(sensor);
    v.tag = "AE-1";
    v.person = "T1";
    v.reason = core::VisitReason::Routine;
    const double drift = static_cast<double>(when - kStart) / static_cast<double>(kWeek) * 0.02;
    for (int i = 0; i < 4; ++i) {
        core::Reading r;
        r.when = {when + 60 * i, 60};
        r.recorded = v.when;
        r.phase = i < 2 ? core::Phase::AsFound : core::Phase::AsLeft;
        r.standard = i % 2 == 0 ? "ph7.00" : "ph10.01";
        r.lot = i % 2 == 0 ? "B7-2231" : "B10-0874";
        r.mv = i % 2 == 0 ? -10.25 - drift : -176.5 + drift;
        r.temp_degc = 19.5;
        r.temp_source = core::TemperatureSource::Measured;
        r.wait_s = 60.0;
        r.t90_s = 24.0;
        r.meter = "H3";
        r.thermometer = "C2";
        r.dip = 1;
        v.readings.push_back(r);
    }
    for (int step = 1; step <= 2; ++step) {
        core::Action a;
        a.when = v.when;
        a.recorded = v.when;
        a.step = step;
        a.action = step == 1 ? core::ActionKey::CleanDetergent : core::ActionKey::CleanAcid;
        a.minutes = 6.0;
        v.actions.push_back(a);
    }
    return v;
}

std::string keyOf(int number)
{
    const std::string digits = std::to_string(number);
    return "0190a3f0-0000-7000-8000-" + std::string(12 - digits.size(), '0') + digits;
}

core::Records plantOf(int sensors)
{
    core::Records plant;
    core::Site site;
    site.site = "S";
    plant.sites.push_back(site);
    core::Point point;
    point.tag = "AE-1";
    point.site = "S";
    plant.points.push_back(point);
    core::Model model;
    model.model = "K7";
    model.reference = core::ReferenceDesign::DoubleGel;
    model.sensing = core::Sensing::Bulb;
    plant.models.push_back(model);
    for (int s = 0; s < sensors; ++s) {
        core::Sensor sensor;
        sensor.serial = serialOf(s);
        sensor.model = "K7";
        plant.sensors.push_back(sensor);
    }
    return plant;
}

Bench& Bench::instance()
{
    static Bench bench;
    return bench;
}

Bench::Bench()
{
    if (const char* wanted = std::getenv("HALFCELL_BENCH_SENSORS"))
        m_sensors = std::max(1, std::atoi(wanted));
    m_folder = fs::temp_directory_path() / ("halfcell_bench_" + std::to_string(::getpid()));
    fs::create_directories(m_folder);
    m_file = m_folder / "bench.halfcell";
    const BookStamp stamp{.person = "T1", .now = {kStart, 0}};
    auto made = Book::create(m_file, stamp);
    must(made);
    m_book = std::make_unique<Book>(std::move(*made));
    must(m_book->add(plantOf(m_sensors), stamp));
    for (int v = 0; v < kVisitsEach; ++v) {
        core::Records week;
        for (int s = 0; s < m_sensors; ++s) {
            core::Visit visit = visitTo(s, kStart + v * kWeek + s * 300);
            visit.visit = keyOf(v * m_sensors + s);
            week.visits.push_back(std::move(visit));
        }
        must(m_book->add(week, stamp));
    }
    m_time = kStart + kVisitsEach * kWeek;
    must(m_book->refreshLatest({}, {m_time, 0}));
    if (sqlite3_open_v2(m_file.c_str(), &m_raw, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK)
        std::exit(1);
    for (const char* pragma : {"PRAGMA cache_size = -65536", "PRAGMA mmap_size = 268435456"})
        sqlite3_exec(m_raw, pragma, nullptr, nullptr, nullptr);
    std::cerr << "book: " << m_sensors << " sensors, " << m_sensors * kVisitsEach << " visits, " << fs::file_size(m_file) / 1000000
              << " MB\n";
}

Bench::~Bench()
{
    sqlite3_close(m_raw);
    m_book.reset();
    std::error_code ec;
    fs::remove_all(m_folder, ec);
}

std::size_t stepThrough(sqlite3_stmt* statement)
{
    std::size_t sum = 0;
    const int columns = sqlite3_column_count(statement);
    while (sqlite3_step(statement) == SQLITE_ROW)
        for (int c = 0; c < columns; ++c)
            switch (sqlite3_column_type(statement, c)) {
            case SQLITE_TEXT: {
                const auto* text = sqlite3_column_text(statement, c);
                sum += text[0] + static_cast<std::size_t>(sqlite3_column_bytes(statement, c));
                break;
            }
            case SQLITE_FLOAT: sum += static_cast<std::size_t>(sqlite3_column_double(statement, c) != 0.0); break;
            case SQLITE_INTEGER: sum += static_cast<std::size_t>(sqlite3_column_int64(statement, c) != 0); break;
            default: break;
            }
    sqlite3_reset(statement);
    return sum;
}

sqlite3_stmt* prepare(const std::string& sql)
{
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(Bench::instance().raw(), sql.c_str(), -1, &statement, nullptr) != SQLITE_OK) {
        std::cerr << sqlite3_errmsg(Bench::instance().raw()) << '\n';
        std::exit(1);
    }
    return statement;
}

std::string readingColumns(std::string_view prefix)
{
    const RowSlots<core::Reading> slots;
    return joinNames(slots.names(), prefix);
}

}  // namespace halfcell::db::bench_book
