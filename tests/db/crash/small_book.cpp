#include "tests/db/crash/small_book.h"

#include <fmt/format.h>

#include <fstream>

#include <unistd.h>

namespace halfcell::db::testing {

namespace fs = std::filesystem;

MemoryFolder::MemoryFolder(const std::string& name)
{
    const fs::path memory = "/dev/shm";
    std::error_code ec;
    const fs::path parent = fs::is_directory(memory, ec) && ::access(memory.c_str(), W_OK) == 0 ? memory : fs::temp_directory_path();
    m_path = fs::canonical(parent) / fmt::format("halfcell_{}_{}", ::getpid(), name);
    fs::create_directories(m_path);
}

MemoryFolder::~MemoryFolder()
{
    std::error_code ec;
    fs::remove_all(m_path, ec);
}

void MemoryFolder::clear() const
{
    std::error_code ec;
    for (const auto& entry : fs::directory_iterator(m_path, ec))
        fs::remove_all(entry.path(), ec);
}

core::Visit visitFor(const std::string& key, int number)
{
    core::Visit visit = ordinaryVisit(key, "2026-03-01");
    visit.readings[0].mv = -13.0 - 0.25 * number;
    visit.remark = fmt::format("visit number {}", number);
    return visit;
}

void makeBook(const fs::path& file, int visits)
{
    auto book = Book::create(file, kStamp);
    ASSERT_DONE(book);
    core::Records shop = smallShop();
    for (int i = 1; i <= visits; ++i)
        shop.visits.push_back(visitFor(fmt::format("v{}", i), i));
    ASSERT_DONE(book->add(shop, kStamp));
}

void writeReadings(const fs::path& file, const std::string& prefix, int visits)
{
    std::ofstream out(file);
    out << "visit,when,serial,phase,standard,mv,temp_degc\n";
    for (int i = 1; i <= visits; ++i)
        for (const char* rest : {"ph7.00,-12,20", "ph4.01,160,20"})
            out << fmt::format("{}{},2026-02-01T08:{:02}:00Z,K7-0412,as_found,{}\n", prefix, i, i % 60, rest);
}

core::Result<Visits> visitsOf(const fs::path& file)
{
    const auto book = Book::open(file, OpenMode::ReadWrite);
    if (!book)
        return std::unexpected(book.error());
    const auto report = book->verify();
    if (!report)
        return std::unexpected(report.error());
    if (!report->ok)
        return core::failure(core::Errc::DamagedBook, report->firstBad);
    auto records = book->loadRecords();
    if (!records)
        return std::unexpected(records.error());
    Visits visits;
    for (core::Visit& visit : records->visits)
        visits.emplace(visit.visit, std::move(visit));
    return visits;
}

std::string wrongWith(const fs::path& file, const Visits& expected, const std::set<std::string>& acknowledged)
{
    const auto visits = visitsOf(file);
    if (!visits)
        return visits.error().detail;
    for (const auto& [key, visit] : *visits) {
        const auto at = expected.find(key);
        if (at == expected.end())
            return "visit " + key + " was never written";
        if (at->second != visit)
            return "visit " + key + " is not whole";
    }
    for (const std::string& key : acknowledged)
        if (!visits->contains(key))
            return "visit " + key + " was acknowledged and is gone";
    return {};
}

}  // namespace halfcell::db::testing
