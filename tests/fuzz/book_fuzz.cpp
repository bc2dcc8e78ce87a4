#include "db/book/book.h"
#include "tests/fuzz/bytes_file.h"

#include <fstream>
#include <iterator>
#include <vector>

using namespace halfcell;

namespace {

/// A small book, made once.
const std::string& soundBook()
{
    static const std::string bytes = [] {
        std::string folder = (std::filesystem::temp_directory_path() / "halfcell-fuzz-XXXXXX").string();
        fuzz::must(::mkdtemp(folder.data()) != nullptr);
        const std::filesystem::path file = std::filesystem::path(folder) / "b.halfcell";
        {
            const db::BookStamp stamp{.person = "T1", .now = {1'700'000'000, 0}};
            auto book = db::Book::create(file, stamp);
            fuzz::must(book.has_value());
            core::Records rows;
            rows.sites.push_back({.site = "Saltmarsh", .note = {}, .recorded = stamp.now});
            core::Model model;
            model.model = "K7";
            model.recorded = stamp.now;
            rows.models.push_back(model);
            core::Sensor sensor;
            sensor.serial = "K7-0412";
            sensor.model = "K7";
            sensor.recorded = stamp.now;
            rows.sensors.push_back(sensor);
            fuzz::must(book->add(rows, stamp).has_value());
        }
        std::ifstream in(file, std::ios::binary);
        std::string all{std::istreambuf_iterator<char>(in), {}};
        std::filesystem::remove_all(folder);
        return all;
    }();
    return bytes;
}

void lookAt(const std::filesystem::path& file)
{
    const auto book = db::Book::open(file, db::OpenMode::ReadOnly);
    if (!book) {
        fuzz::must(!book.error().detail.empty());
        return;
    }
    (void)book->info();
    (void)book->verify();
    (void)book->loadRecords();
    (void)book->latestStates();
    (void)book->journal(0, 10);
}

}  // namespace

/// A book with bytes changed: five bytes of input are one change (place, value), a last odd one cuts the file. Opening, verifying and
/// reading it give an answer or an error, never more. Input that begins with SQLite's own mark is taken as a file itself.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    std::string bytes;
    if (const std::string_view whole = fuzz::textOf(data, size); whole.starts_with("SQLite")) {
        bytes = whole;
    } else {
        bytes = soundBook();
        for (; size >= 5; data += 5, size -= 5) {
            const std::size_t place = data[0] + 256U * data[1] + 65536U * data[2] + 16777216U * data[3];
            bytes[place % bytes.size()] = static_cast<char>(data[4]);
        }
        if (size > 0)
            bytes.resize(bytes.size() * data[0] / 256);
    }
    static const std::filesystem::path folder = [] {
        std::string name = (std::filesystem::temp_directory_path() / "halfcell-fuzz-XXXXXX").string();
        fuzz::must(::mkdtemp(name.data()) != nullptr);
        return std::filesystem::path(name);
    }();
    const std::filesystem::path file = folder / "b.halfcell";
    std::ofstream(file, std::ios::binary | std::ios::trunc) << bytes;
    lookAt(file);
    std::error_code ec;
    for (const char* left : {"b.halfcell", "b.halfcell-wal", "b.halfcell-shm"})
        std::filesystem::remove(folder / left, ec);
    return 0;
}
