#pragma once

#include "core/quantity/result.h"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace halfcell::db {

/// The attributes of an element while it is being opened. Names without their prefix.
class XmlAttributes {
public:
    explicit XmlAttributes(const char** list) : m_list(list) {}
    [[nodiscard]] std::optional<std::string_view> find(std::string_view name) const;

private:
    const char** m_list;
};

/// Reads XML piece by piece and calls back for elements and text. Names come without their prefix. A document type
/// declaration is refused: no table needs one, and entities are how small files become large. What a callback throws ends the
/// reading and comes out of `feed`.
class XmlStream {
public:
    struct Handler {
        std::function<void(std::string_view name, const XmlAttributes& attributes)> opened = {};
        std::function<void(std::string_view name)> closed = {};
        std::function<void(std::string_view text)> text = {};
    };
    explicit XmlStream(Handler handler);
    XmlStream(const XmlStream&) = delete;
    XmlStream& operator=(const XmlStream&) = delete;
    ~XmlStream();

    /// The next piece; Errc::BadInput with what is wrong and the line of the XML. `last` ends the document.
    core::Result<void> feed(std::string_view piece, bool last);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace halfcell::db
