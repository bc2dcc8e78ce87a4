#include "db/exchange/mapped_file.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace halfcell::db {

core::Result<MappedFile> MappedFile::open(const std::filesystem::path& file)
{
    const auto failed = [&](const char* why) {
        return std::unexpected(core::Error{.code = core::Errc::CannotRead,
                                           .detail = why,
                                           .file = file.string(),
                                           .remedy = "check the name and the rights of the file"});
    };
    const int fd = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return failed(std::strerror(errno));
    struct stat info {};
    if (::fstat(fd, &info) != 0 || !S_ISREG(info.st_mode)) {
        ::close(fd);
        return failed("it is not a file");
    }
    MappedFile mapped;
    if (info.st_size > 0) {
        const auto size = static_cast<std::size_t>(info.st_size);
        void* address = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, fd, 0);
        if (address == MAP_FAILED) {
            const char* why = std::strerror(errno);
            ::close(fd);
            return failed(why);
        }
        ::madvise(address, size, MADV_SEQUENTIAL);
        mapped.m_address = address;
        mapped.m_text = {static_cast<const char*>(address), size};
    }
    ::close(fd);
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
