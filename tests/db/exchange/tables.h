#pragma once

#include "db/exchange/csv_write.h"
#include "db/exchange/exchange.h"
#include "tests/db/support/book_fixture.h"

#include <fstream>
#include <iterator>
#include <map>

namespace halfcell::db::testing {

inline const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

inline void put(const std::filesystem::path& file, std::string_view text)
{
    std::ofstream out(file, std::ios::binary);
    out << text;
}
inline std::string get(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// A folder of small good tables, by hand.
inline std::map<std::string, std::string> goodTables()
{
    return {
        {"sites", "site,note\nSaltmarsh,\n"},
        {"points", "tag,site,loop_class,ph_low,ph_high,hazards\nAE-3107,Saltmarsh,control,6.5,9.5,acid;caustic\n"},
        {"models", "model,kind,reference,sensing\nK7,ph,double_gel,bulb\n"},
        {"sensors", "serial,model\nK7-0412,K7\nK7-0431,K7\n"},
        {"placements", "serial,place,from\nK7-0412,AE-3107,2025-02-01\nK7-0431,shelf,2025-02-01\n"},
        {"lots", "lot,standard,received\nB7-2231,ph7.00,2025-01-05\n"},
        {"readings", "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s\n"
                     "v1,2025-03-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,-13,19,60\n"
                     "v1,2025-03-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-176,19,60\n"
                     "v2,2025-04-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,-12,20,60\n"
                     "v2,2025-04-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-175,20,60\n"},
    };
}

inline void putTables(const std::filesystem::path& folder, const std::map<std::string, std::string>& tables)
{
    std::filesystem::create_directories(folder);
    for (const auto& [name, text] : tables)
        put(folder / (name + ".csv"), text);
}

class ExchangeTest : public ::testing::Test {
protected:
    void SetUp() override { book.emplace(newBook("shop.halfcell")); }
    Book newBook(const std::string& name)
    {
        auto made = Book::create(folder / name, kStamp);
        EXPECT_TRUE(made.has_value());
        return std::move(*made);
    }
    core::Result<void> import(Book& into, const std::map<std::string, std::string>& tables, ImportOptions options = {})
    {
        const auto dir = folder / ("in" + std::to_string(++count));
        putTables(dir, tables);
        return importTables(into, {dir}, options, kStamp, report);
    }
    core::Result<void> import(const std::map<std::string, std::string>& tables, ImportOptions options = {})
    {
        return import(*book, tables, std::move(options));
    }
    Folder folder;
    std::optional<Book> book;
    ImportReport report;
    int count = 0;
};

}  // namespace halfcell::db::testing
