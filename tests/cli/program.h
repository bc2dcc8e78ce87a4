#pragma once

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace halfcell::test {

using Json = nlohmann::json;

/// What a run of the real program gave.
struct Ran {
    int code = -1;
    std::string out, err;
    [[nodiscard]] Json json() const { return Json::parse(out); }
};

/// Runs halfcell-cli with these arguments (no shell in between) and `input` on standard input.
[[nodiscard]] Ran run(const std::vector<std::string>& args, const std::string& input = {});

/// A folder that is removed with the object.
class Folder {
public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string operator/(const std::string& name) const { return (m_path / name).string(); }
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
};

/// A whole file; empty if it cannot be read.
[[nodiscard]] std::string contentOf(const std::filesystem::path& file);
void writeFile(const std::filesystem::path& file, const std::string& text);

/// One demo book for the whole test program, made once (seed 1, until 2026-03-02).
[[nodiscard]] const std::string& demoBook();

}  // namespace halfcell::test
