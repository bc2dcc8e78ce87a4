#pragma once

#include <soci/soci-backend.h>

#include <string>
#include <string_view>

namespace halfcell::db {

/// One value on its way into or out of a prepared statement. A statement remembers the slot's address, so slots live
/// as long as the statement and never move. Exactly the member named by `kind` carries the value; a null slot carries
/// none.
struct Slot {
    enum class Kind : unsigned char { Text, Real, Integer };

    Kind kind = Kind::Text;
    soci::indicator state = soci::i_null;
    long long integer = 0;
    double real = 0.0;
    std::string text;

    explicit Slot(Kind k) : kind(k) {}

    [[nodiscard]] bool isNull() const { return state != soci::i_ok; }
    void clear() { state = soci::i_null; }
    void set(std::string_view value)
    {
        text.assign(value);
        state = soci::i_ok;
    }
    void set(double value)
    {
        real = value;
        state = soci::i_ok;
    }
    void set(long long value)
    {
        integer = value;
        state = soci::i_ok;
    }
};

}  // namespace halfcell::db
