#pragma once

#include <compare>
#include <cstddef>
#include <filesystem>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::tree {

/// Something in the tree that breaks one of its rules.
struct Offence {
    std::string file;      ///< from the repository root, '/' between folders
    std::size_t line = 0;  ///< from 1; 0 when the file as a whole is meant
    std::string what;
    auto operator<=>(const Offence&) const = default;
};

/// "core/x/y.cpp:12: core uses Qt: <QString>"
std::ostream& operator<<(std::ostream& out, const Offence& offence);

/// All of them, one a line, for a failing test.
[[nodiscard]] std::string listed(const std::vector<Offence>& offences);

/// The files of a repository, by their path from its root.
class Repository {
public:
    /// The files Git tracks under root; without Git, every file there but build folders, editors'
    /// folders and books.
    [[nodiscard]] static Repository tracked(const std::filesystem::path& root);

    /// Every file under root, tracked or not, with the same exceptions.
    [[nodiscard]] static Repository onDisk(const std::filesystem::path& root);

    [[nodiscard]] const std::filesystem::path& root() const { return m_root; }
    [[nodiscard]] const std::vector<std::string>& files() const { return m_files; }  ///< ascending
    [[nodiscard]] bool has(std::string_view file) const;

    /// The bytes of a file; empty when it cannot be read (deleted, not yet committed as such).
    [[nodiscard]] std::string read(std::string_view file) const;

private:
    std::filesystem::path m_root;
    std::vector<std::string> m_files;
};

/// The folder a path stands in: "core/x" of "core/x/y.cpp", "" of "LICENSE".
[[nodiscard]] std::string_view folderOf(std::string_view file);

/// The n-th part of a path, from 0: "x" is part 1 of "core/x/y.cpp"; empty when there is none.
[[nodiscard]] std::string_view partOf(std::string_view file, std::size_t n);

/// Whether a file is C++ (.h or .cpp).
[[nodiscard]] bool isCpp(std::string_view file);

}  // namespace halfcell::tree
