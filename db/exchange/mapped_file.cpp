#include "db/exchange/mapped_file.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace halfcell::db {

namespace {

std::unexpected<core::Error> failed(const std::filesystem::path& file, const char* why)
{
    return std::unexpected(core::Error{
        .code = core::Errc::CannotRead, .detail = why, .file = file.string(), .remedy = "check the name and the rights of the file"});
}

}  // namespace

core::Result<MappedFile> MappedFile::open(const std::filesystem::path& file)
{
    const int fd = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return failed(file, std::strerror(errno));
    auto mapped = ofDescriptor(fd, file);
    ::close(fd);
    return mapped;
}

core::Result<MappedFile> MappedFile::ofDescriptor(int fd, const std::filesystem::path& shownAs)
{
    struct stat info {};
    if (::fstat(fd, &info) != 0 || !S_ISREG(info.st_mode))
        return failed(shownAs, "it is not a file");
    MappedFile mapped;
    if (info.st_size > 0) {
        const auto size = static_cast<std::size_t>(info.st_size);
        void* address = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, fd, 0);
        if (address == MAP_FAILED)
            return failed(shownAs, std::strerror(errno));
        ::madvise(address, size, MADV_SEQUENTIAL);
        mapped.m_address = address;
        mapped.m_text = {static_cast<const char*>(address), size};
    }
    return mapped;
}

void MappedFile::release()
{
    if (m_address != nullptr)
        ::munmap(m_address, m_text.size());
    m_address = nullptr;
    m_text = {};
}

MappedFile::MappedFile(MappedFile&& other) noexcept
    : m_text(std::exchange(other.m_text, {})), m_address(std::exchange(other.m_address, nullptr))
{
}

MappedFile& MappedFile::operator=(MappedFile&& other) noexcept
{
    if (this != &other) {
        release();
        m_text = std::exchange(other.m_text, {});
        m_address = std::exchange(other.m_address, nullptr);
    }
    return *this;
}

MappedFile::~MappedFile()
{
    release();
}

}  // namespace halfcell::db
