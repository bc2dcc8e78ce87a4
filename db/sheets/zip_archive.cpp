#include "db/sheets/zip_archive.h"

#include <zip.h>

#include <array>

namespace halfcell::db {

using core::Errc;
using core::Result;

struct ZipArchive::Impl {
    std::filesystem::path file;
    zip_t* archive = nullptr;

    Impl() = default;
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;
    ~Impl()
    {
        if (archive != nullptr)
            zip_discard(archive);
    }
    [[nodiscard]] std::unexpected<core::Error> bad(Errc code, std::string detail, std::string remedy) const
    {
        return std::unexpected(
            core::Error{.code = code, .detail = std::move(detail), .file = file.filename().string(), .remedy = std::move(remedy)});
    }
};

ZipArchive::ZipArchive(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
ZipArchive::ZipArchive(ZipArchive&&) noexcept = default;
ZipArchive& ZipArchive::operator=(ZipArchive&&) noexcept = default;
ZipArchive::~ZipArchive() = default;

Result<ZipArchive> ZipArchive::open(const std::filesystem::path& file)
{
    auto impl = std::make_unique<Impl>();
    impl->file = file;
    int code = 0;
    impl->archive = zip_open(file.c_str(), ZIP_RDONLY, &code);
    if (impl->archive == nullptr) {
        zip_error_t error;
        zip_error_init_with_code(&error, code);
        const std::string why = zip_error_strerror(&error);
        zip_error_fini(&error);
        if (code == ZIP_ER_NOENT || code == ZIP_ER_OPEN || code == ZIP_ER_READ)
            return impl->bad(Errc::CannotRead, why, "check the name and the rights of the file");
        return impl->bad(Errc::BadInput, "it is no workbook (XLSX or ODS): " + why,
                         "open it in the program it came from and save it as XLSX or ODS without a password");
    }
    return ZipArchive(std::move(impl));
}

const std::filesystem::path& ZipArchive::file() const
{
    return m_impl->file;
}

bool ZipArchive::has(const std::string& part) const
{
    return zip_name_locate(m_impl->archive, part.c_str(), 0) >= 0;
}

Result<void> ZipArchive::read(const std::string& part, const std::function<bool(std::string_view, double)>& take) const
{
    const char* const saveAgain = "open it in the program it came from and save it again";
    zip_stat_t info;
    zip_stat_init(&info);
    if (zip_stat(m_impl->archive, part.c_str(), 0, &info) != 0)
        return m_impl->bad(Errc::BadInput, "its part " + part + " is missing", saveAgain);
    if ((info.valid & ZIP_STAT_SIZE) != 0 && info.size > kLargestPart)
        return m_impl->bad(Errc::BadInput, "its part " + part + " is too large", "split the table into several files");
    zip_file_t* opened = zip_fopen(m_impl->archive, part.c_str(), 0);
    if (opened == nullptr)
        return m_impl->bad(Errc::BadInput, "its part " + part + " can't be unpacked", "save it again without a password");
    const std::unique_ptr<zip_file_t, int (*)(zip_file_t*)> closing(opened, &zip_fclose);
    std::array<char, 65536> buffer{};
    unsigned long long total = 0;
    for (;;) {
        const zip_int64_t got = zip_fread(opened, buffer.data(), buffer.size());
        if (got < 0)
            return m_impl->bad(Errc::BadInput, "its part " + part + " is damaged", saveAgain);
        if (got == 0)
            return {};
        total += static_cast<unsigned long long>(got);
        if (total > kLargestPart)
            return m_impl->bad(Errc::BadInput, "its part " + part + " is too large", "split the table into several files");
        const double share =
            (info.valid & ZIP_STAT_SIZE) != 0 && info.size > 0 ? static_cast<double>(total) / static_cast<double>(info.size) : 0.0;
        if (!take({buffer.data(), static_cast<std::size_t>(got)}, share < 1.0 ? share : 1.0))
            return {};
    }
}

}  // namespace halfcell::db
