#pragma once

#include "core/quantity/result.h"

#include <exception>
#include <string>
#include <type_traits>
#include <utility>

namespace halfcell::db {

/// An error on its way up to the next door of db. Inside db multi-statement code stays linear and transactions roll
/// back by scope; `guarded` turns what was thrown into a Result, so nothing leaves db as an exception.
class Thrown : public std::exception {
public:
    explicit Thrown(core::Error error) : m_error(std::move(error)) {}
    [[nodiscard]] const char* what() const noexcept override { return m_error.detail.c_str(); }
    [[nodiscard]] const core::Error& error() const { return m_error; }

private:
    core::Error m_error;
};

[[noreturn]] inline void throwError(core::Errc code, std::string detail, std::string remedy = {})
{
    throw Thrown(core::Error{.code = code, .detail = std::move(detail), .remedy = std::move(remedy)});
}

/// An error of content, with the field it concerns.
[[noreturn]] inline void throwField(core::Errc code, std::string field, std::string detail, std::string remedy)
{
    throw Thrown(core::Error{.code = code, .detail = std::move(detail), .field = std::move(field), .remedy = std::move(remedy)});
}

/// Unwraps a Result inside db: the value, or the error thrown on.
template <class T>
T orThrow(core::Result<T> result)
{
    if (!result)
        throw Thrown(std::move(result).error());
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

/// What the exception being handled means (database errors by their code, everything else Errc::Internal).
[[nodiscard]] core::Error currentError();

/// Runs `body`; whatever it throws becomes the error of the Result.
template <class Body>
auto guarded(Body&& body) -> core::Result<std::invoke_result_t<Body>>
{
    try {
        if constexpr (std::is_void_v<std::invoke_result_t<Body>>) {
            std::forward<Body>(body)();
            return {};
        } else {
            return std::forward<Body>(body)();
        }
    } catch (...) {
        return std::unexpected(currentError());
    }
}

}  // namespace halfcell::db
