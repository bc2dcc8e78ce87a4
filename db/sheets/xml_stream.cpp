#include "db/sheets/xml_stream.h"

#include <expat.h>

#include <exception>

namespace halfcell::db {

namespace {

std::string_view local(std::string_view name)
{
    const std::size_t colon = name.rfind(':');
    return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

}  // namespace

std::optional<std::string_view> XmlAttributes::find(std::string_view name) const
{
    for (const char** at = m_list; *at != nullptr; at += 2)
        if (local(at[0]) == name)
            return std::string_view(at[1]);
    return std::nullopt;
}

struct XmlStream::Impl {
    Handler handler;
    XML_Parser parser = nullptr;
    std::exception_ptr thrown;
    bool declaresType = false;

    explicit Impl(Handler h) : handler(std::move(h)), parser(XML_ParserCreate(nullptr))
    {
        XML_SetUserData(parser, this);
        XML_SetElementHandler(parser, &open, &close);
        XML_SetCharacterDataHandler(parser, &characters);
        XML_SetStartDoctypeDeclHandler(parser, &type);
    }
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;
    ~Impl() { XML_ParserFree(parser); }

    /// Nothing may be thrown through the C library.
    template <class Body>
    void call(Body&& body)
    {
        if (thrown)
            return;
        try {
            body();
        } catch (...) {
            thrown = std::current_exception();
            XML_StopParser(parser, XML_FALSE);
        }
    }
    static Impl& of(void* data) { return *static_cast<Impl*>(data); }
    static void open(void* data, const char* name, const char** attributes)
    {
        of(data).call([&] { of(data).handler.opened(local(name), XmlAttributes(attributes)); });
    }
    static void close(void* data, const char* name)
    {
        of(data).call([&] { of(data).handler.closed(local(name)); });
    }
    static void characters(void* data, const char* text, int length)
    {
        of(data).call([&] { of(data).handler.text({text, static_cast<std::size_t>(length)}); });
    }
    static void type(void* data, const char*, const char*, const char*, int)
    {
        of(data).declaresType = true;
        XML_StopParser(of(data).parser, XML_FALSE);
    }
};

XmlStream::XmlStream(Handler handler) : m_impl(std::make_unique<Impl>(std::move(handler))) {}
XmlStream::~XmlStream() = default;

core::Result<void> XmlStream::feed(std::string_view piece, bool last)
{
    const auto status = XML_Parse(m_impl->parser, piece.data(), static_cast<int>(piece.size()), last ? XML_TRUE : XML_FALSE);
    if (m_impl->thrown)
        std::rethrow_exception(m_impl->thrown);
    if (status == XML_STATUS_OK)
        return {};
    const std::string why =
        m_impl->declaresType ? std::string("it declares a document type") : std::string(XML_ErrorString(XML_GetErrorCode(m_impl->parser)));
    return std::unexpected(core::Error{.code = core::Errc::BadInput,
                                       .detail = "its XML is broken: " + why,
                                       .line = static_cast<std::size_t>(XML_GetCurrentLineNumber(m_impl->parser)),
                                       .remedy = "open it in the program it came from and save it again"});
}

}  // namespace halfcell::db
