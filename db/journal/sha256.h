#pragma once

#include <array>
#include <memory>
#include <string>
#include <string_view>

namespace halfcell::db {

using Digest = std::array<unsigned char, 32>;

/// SHA-256 (FIPS 180-4) through libcrypto, the algorithm fetched once, at the first digest, and the context reused. One per thread.
/// Checked against the standard's example "abc".
class Sha256 {
public:
    Sha256();
    Sha256(Sha256&&) noexcept;
    Sha256& operator=(Sha256&&) noexcept;
    ~Sha256();

    [[nodiscard]] Digest digest(std::string_view bytes);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// 64 lower-case hexadecimal digits.
[[nodiscard]] std::string hex(const Digest& digest);

/// `count` random bytes from libcrypto's generator.
[[nodiscard]] std::string randomBytes(std::size_t count);

}  // namespace halfcell::db
