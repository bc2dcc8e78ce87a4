#include "tests/layers/repository.h"

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <memory>
#include <optional>
#include <sstream>

namespace halfcell::tree {
namespace {

namespace fs = std::filesystem;

std::string shellQuoted(const std::string& text)
{
    std::string quoted = "'";
    for (const char c : text) {
        if (c == '\'')
            quoted += "'\\''";
        else
            quoted += c;
    }
    return quoted + "'";
}

// What Git lists, or nothing where there is no Git or no repository of its own at that place. A clone
// owned by another user (as in a container) is ours to read all the same.
std::optional<std::vector<std::string>> askGit(const fs::path& root)
{
    if (!fs::exists(root / ".git"))
        return std::nullopt;
    const std::string command = "git -c safe.directory='*' -C " + shellQuoted(root.string()) + " ls-files -z 2>/dev/null";
    struct Close {
        void operator()(std::FILE* pipe) const { pclose(pipe); }
    };
    const std::unique_ptr<std::FILE, Close> pipe(popen(command.c_str(), "r"));
    if (!pipe)
        return std::nullopt;
    std::string answer;
    char buffer[4096];
    while (const std::size_t n = std::fread(buffer, 1, sizeof buffer, pipe.get()))
        answer.append(buffer, n);
    if (answer.empty())
        return std::nullopt;
    std::vector<std::string> files;
    for (std::size_t at = 0; at < answer.size();) {
        const std::size_t end = std::min(answer.find('\0', at), answer.size());
        files.push_back(answer.substr(at, end - at));
        at = end + 1;
    }
    std::ranges::sort(files);
    const auto doubled = std::ranges::unique(files);
    files.erase(doubled.begin(), doubled.end());
    return files;
}

// What .gitignore leaves out, for a tree without Git.
bool leftOut(const fs::path& name, bool topLevel)
{
    const std::string text = name.string();
    if (topLevel && (text == "build" || text.starts_with("build-") || text == "CMakeUserPresets.json" || text == "compile_commands.json"))
        return true;
    return text == ".git" || text == ".cache" || text == ".vscode" || text == ".idea" || text.ends_with("~") || text.ends_with(".swp") ||
           text.ends_with(".orig") || text.ends_with(".rej") || text.ends_with(".halfcell") || text.find(".halfcell-") != std::string::npos;
}

void walk(const fs::path& folder, const std::string& prefix, std::vector<std::string>& files)
{
    std::error_code ignored;  // a file that goes away while we look is no file of the tree
    for (const fs::directory_entry& entry : fs::directory_iterator(folder, ignored)) {
        const fs::path name = entry.path().filename();
        if (leftOut(name, prefix.empty()))
            continue;
        if (entry.is_directory(ignored) && !entry.is_symlink(ignored))
            walk(entry.path(), prefix + name.string() + "/", files);
        else
            files.push_back(prefix + name.string());
    }
}

}  // namespace

std::ostream& operator<<(std::ostream& out, const Offence& offence)
{
    out << offence.file;
    if (offence.line > 0)
        out << ':' << offence.line;
    return out << ": " << offence.what;
}

std::string listed(const std::vector<Offence>& offences)
{
    std::ostringstream out;
    for (const Offence& offence : offences)
        out << offence << '\n';
    return out.str();
}

Repository Repository::tracked(const fs::path& root)
{
    if (auto files = askGit(root)) {
        Repository repository;
        repository.m_root = root;
        repository.m_files = std::move(*files);
        return repository;
    }
    return onDisk(root);
}

Repository Repository::onDisk(const fs::path& root)
{
    Repository repository;
    repository.m_root = root;
    walk(root, "", repository.m_files);
    std::ranges::sort(repository.m_files);
    return repository;
}

bool Repository::has(std::string_view file) const
{
    return std::ranges::binary_search(m_files, file, std::less<>());
}

std::string Repository::read(std::string_view file) const
{
    std::ifstream stream(m_root / file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return std::move(text).str();
}

std::string_view folderOf(std::string_view file)
{
    const std::size_t slash = file.rfind('/');
    return slash == std::string_view::npos ? std::string_view() : file.substr(0, slash);
}

std::string_view partOf(std::string_view file, std::size_t n)
{
    for (; n > 0; --n) {
        const std::size_t slash = file.find('/');
        if (slash == std::string_view::npos)
            return {};
        file.remove_prefix(slash + 1);
    }
    return file.substr(0, file.find('/'));
}

bool isCpp(std::string_view file)
{
    return file.ends_with(".h") || file.ends_with(".cpp");
}

}  // namespace halfcell::tree
