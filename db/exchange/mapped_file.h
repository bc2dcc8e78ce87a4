#pragma once

#include "core/quantity/result.h"

#include <filesystem>
#include <string_view>

namespace halfcell::db {

/// A file's content, mapped into memory for reading. Movable; views into it live as long as it does.
class MappedFile {
public:
    /// Errc::CannotRead if it is missing, not a file, or not to be read.
    static core::Result<MappedFile> open(const std::filesystem::path& file);

    /// What an open file holds; the descriptor stays the caller's. `shownAs` names it in errors.
    static core::Result<MappedFile> ofDescriptor(int fd, const std::filesystem::path& shownAs);

    MappedFile(MappedFile&& other) noexcept;
    MappedFile& operator=(MappedFile&& other) noexcept;
    ~MappedFile();

    [[nodiscard]] std::string_view text() const { return m_text; }

private:
    MappedFile() = default;
    void release();

    std::string_view m_text;
    void* m_address = nullptr;
};

}  // namespace halfcell::db
