#pragma once

#include "core/quantity/result.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace halfcell::db {

/// A packed file opened for reading, part by part, in pieces. One thread.
class ZipArchive {
public:
    static core::Result<ZipArchive> open(const std::filesystem::path& file);
    ZipArchive(ZipArchive&&) noexcept;
    ZipArchive& operator=(ZipArchive&&) noexcept;
    ~ZipArchive();

    [[nodiscard]] bool has(const std::string& part) const;
    /// Gives the content of a part piece by piece, with the share given so far; `take` returns false to stop.
    /// Errc::BadInput if the part is missing, damaged, locked, or unpacks to more than kLargestPart.
    core::Result<void> read(const std::string& part, const std::function<bool(std::string_view piece, double share)>& take) const;

    [[nodiscard]] const std::filesystem::path& file() const;

private:
    struct Impl;
    explicit ZipArchive(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

/// Most bytes a part may unpack to: a full sheet of a million rows has about half of it (our choice).
inline constexpr unsigned long long kLargestPart = 2ULL << 30U;

}  // namespace halfcell::db
