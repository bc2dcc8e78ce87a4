#pragma once

#include <sys/mman.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <string_view>

/// What a fuzzed function gets, and a file of it that is nowhere on disk.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace halfcell::fuzz {

inline std::string_view textOf(const std::uint8_t* data, std::size_t size)
{
    return {reinterpret_cast<const char*>(data), size};
}

/// Ends the run where a promise was broken, in every build.
inline void must(bool held)
{
    if (!held)
        std::abort();
}

class BytesFile {
public:
    explicit BytesFile(std::string_view bytes) : m_fd(::memfd_create("fuzz", 0))
    {
        must(m_fd >= 0 && ::write(m_fd, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
    }
    BytesFile(const BytesFile&) = delete;
    BytesFile& operator=(const BytesFile&) = delete;
    ~BytesFile() { ::close(m_fd); }
    [[nodiscard]] std::filesystem::path path() const { return "/proc/self/fd/" + std::to_string(m_fd); }

private:
    int m_fd;
};

}  // namespace halfcell::fuzz
