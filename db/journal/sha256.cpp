#include "db/journal/sha256.h"

#include "db/connection/guarded.h"

#include <openssl/evp.h>
#include <openssl/rand.h>

namespace halfcell::db {

struct Sha256::Impl {
    EVP_MD* algorithm = nullptr;
    EVP_MD_CTX* context = nullptr;

    Impl() = default;
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;
    ~Impl()
    {
        EVP_MD_CTX_free(context);
        EVP_MD_free(algorithm);
    }

    /// Fetching takes libcrypto a millisecond, which a program that only reads need not spend.
    void prepare()
    {
        if (context != nullptr)
            return;
        if (algorithm == nullptr)
            algorithm = EVP_MD_fetch(nullptr, "SHA256", nullptr);
        context = algorithm != nullptr ? EVP_MD_CTX_new() : nullptr;
        if (context == nullptr)
            throwError(core::Errc::Internal, "libcrypto offers no SHA-256");
    }
};

Sha256::Sha256() : m_impl(std::make_unique<Impl>()) {}
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;
Sha256::~Sha256() = default;

Digest Sha256::digest(std::string_view bytes)
{
    m_impl->prepare();
    Digest result{};
    unsigned size = 0;
    if (EVP_DigestInit_ex2(m_impl->context, m_impl->algorithm, nullptr) != 1 ||
        EVP_DigestUpdate(m_impl->context, bytes.data(), bytes.size()) != 1 ||
        EVP_DigestFinal_ex(m_impl->context, result.data(), &size) != 1 || size != result.size())
        throwError(core::Errc::Internal, "libcrypto could not compute a digest");
    return result;
}

std::string hex(const Digest& digest)
{
    constexpr char kDigits[] = "0123456789abcdef";
    std::string text;
    text.reserve(2 * digest.size());
    for (const unsigned char byte : digest) {
        text += kDigits[byte >> 4U];
        text += kDigits[byte & 15U];
    }
    return text;
}

std::string randomBytes(std::size_t count)
{
    std::string bytes(count, '\0');
    // reinterpret_cast: libcrypto counts in unsigned char, std::string holds char.
    if (RAND_bytes(reinterpret_cast<unsigned char*>(bytes.data()), static_cast<int>(count)) != 1)
        throwError(core::Errc::Internal, "libcrypto gave no random numbers");
    return bytes;
}

}  // namespace halfcell::db
