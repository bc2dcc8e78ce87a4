#include "db/book/visit_key.h"

#include "db/journal/sha256.h"

#include <array>
#include <mutex>

namespace halfcell::db {

std::string newVisitKey(const core::Instant& now)
{
    static std::mutex mutex;
    static std::uint64_t lastTick = 0;

    const std::string random = randomBytes(8);
    std::uint64_t tick = 0;
    {
        // 48 bits of milliseconds and a 12-bit counter as one number: a step back of the clock, or more than 4096 keys in
        // a millisecond, just counts on.
        const std::lock_guard lock(mutex);
        const std::uint64_t fromClock = (static_cast<std::uint64_t>(now.utcSeconds) * 1000U) << 12U;
        tick = lastTick = fromClock > lastTick ? fromClock : lastTick + 1;
    }
    std::array<unsigned char, 16> bytes{};
    const std::uint64_t milliseconds = tick >> 12U;
    for (std::size_t i = 0; i < 6; ++i)
        bytes[i] = static_cast<unsigned char>(milliseconds >> (8U * (5U - i)));
    bytes[6] = static_cast<unsigned char>(0x70U | ((tick >> 8U) & 0x0FU));
    bytes[7] = static_cast<unsigned char>(tick);
    for (std::size_t i = 0; i < 8; ++i)
        bytes[8 + i] = static_cast<unsigned char>(random[i]);
    bytes[8] = static_cast<unsigned char>(0x80U | (bytes[8] & 0x3FU));

    constexpr char kDigits[] = "0123456789abcdef";
    std::string key;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        if (i == 4 || i == 6 || i == 8 || i == 10)
            key += '-';
        key += kDigits[bytes[i] >> 4U];
        key += kDigits[bytes[i] & 15U];
    }
    return key;
}

}  // namespace halfcell::db
