#include "tests/fuzz/bytes_file.h"

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

/// Runs a fuzzed function over the files of a folder as they are, and over changed copies of each: bytes flipped, cut, doubled, put in,
/// by a small generator with a fixed start, so that every run is the same. With `--seconds N` it goes round again, with other changes,
/// until N seconds are over.
namespace {

constexpr int kCopies = 300;

class Generator {
public:
    std::uint32_t next()
    {
        m_state = m_state * 6364136223846793005ULL + 1442695040888963407ULL;  // constants of Knuth's MMIX
        return static_cast<std::uint32_t>(m_state >> 33U);
    }
    std::size_t below(std::size_t n) { return n == 0 ? 0 : next() % n; }

private:
    std::uint64_t m_state = 1;
};

void change(std::vector<std::uint8_t>& bytes, Generator& generator)
{
    static constexpr std::uint8_t kTelling[] = {0, '"', ',', ';', '\n', '\r', '-', '.', '=', '[', '{', '<', '&', 0x80, 0xFF, '9'};
    for (std::size_t n = 1 + generator.below(4); n > 0; --n) {
        const std::size_t at = generator.below(bytes.size() + 1);
        const auto place = bytes.begin() + static_cast<std::ptrdiff_t>(at);
        switch (generator.below(5)) {
        case 0:
            if (at < bytes.size())
                *place = static_cast<std::uint8_t>(generator.next());
            break;
        case 1: bytes.insert(place, kTelling[generator.below(std::size(kTelling))]); break;
        case 2: bytes.erase(place, place + static_cast<std::ptrdiff_t>(std::min(generator.below(20), bytes.size() - at))); break;
        case 3: {
            const std::vector<std::uint8_t> part(place,
                                                 place + static_cast<std::ptrdiff_t>(std::min(generator.below(40), bytes.size() - at)));
            bytes.insert(bytes.begin() + static_cast<std::ptrdiff_t>(generator.below(bytes.size() + 1)), part.begin(), part.end());
            break;
        }
        default: bytes.resize(generator.below(bytes.size() + 1)); break;
        }
    }
}

/// The input being tried, written out where the function ends the run.
const std::vector<std::uint8_t>* g_tried = nullptr;

void showInput(int)
{
    static constexpr char kSays[] = "the run ended with this input:\n";
    if (::write(2, kSays, sizeof kSays - 1) > 0 && ::write(2, g_tried->data(), g_tried->size()) > 0)
        ::_exit(1);
    ::_exit(1);
}

void tryOut(const std::vector<std::uint8_t>& bytes)
{
    g_tried = &bytes;
    LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
}

}  // namespace

int main(int argc, char** argv)
{
    std::vector<std::string> given(argv + 1, argv + argc);
    std::chrono::seconds least{0};
    if (given.size() >= 2 && given[0] == "--seconds") {
        least = std::chrono::seconds(std::strtol(given[1].c_str(), nullptr, 10));
        given.erase(given.begin(), given.begin() + 2);
    }
    if (given.empty()) {
        std::fputs("usage: [--seconds N] FOLDER...   the folders of the seeds\n", stderr);
        return 2;
    }
    std::vector<std::filesystem::path> files;
    for (const std::string& folder : given)
        for (const auto& entry : std::filesystem::directory_iterator(folder))
            files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    std::signal(SIGABRT, showInput);
    Generator generator;
    const auto start = std::chrono::steady_clock::now();
    std::size_t runs = 0;
    do {
        for (const auto& file : files) {
            std::ifstream in(file, std::ios::binary);
            const std::vector<std::uint8_t> seed{std::istreambuf_iterator<char>(in), {}};
            tryOut(seed);
            ++runs;
            for (int i = 0; i < kCopies; ++i) {
                auto bytes = seed;
                change(bytes, generator);
                tryOut(bytes);
                ++runs;
            }
        }
    } while (!files.empty() && std::chrono::steady_clock::now() - start < least);
    std::printf("%zu seeds, %zu runs\n", files.size(), runs);
    return files.empty() ? 1 : 0;
}
