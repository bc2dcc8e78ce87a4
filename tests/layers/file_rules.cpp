#include "tests/layers/file_rules.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <set>
#include <string>

namespace halfcell::tree {
namespace {

std::size_t lineAt(std::string_view text, std::size_t at)
{
    return 1 + static_cast<std::size_t>(std::ranges::count(text.substr(0, at), '\n'));
}

// A path that begins here, rather than goes on: "x/home/y" and "${dir}/home/y" are not absolute.
bool beginsPath(std::string_view text, std::size_t at)
{
    if (at == 0)
        return true;
    const char before = text[at - 1];
    return std::isalnum(static_cast<unsigned char>(before)) == 0 && std::string_view("._-})]%*~$").find(before) == std::string_view::npos;
}

// Written in two parts, so that this file does not hold what it looks for.
std::vector<std::string> machinePlaces(const Repository& repository)
{
    std::vector<std::string> places;
    for (const std::string_view folder :
         {"home", "root", "tmp", "work", "workspace", "Users", "mnt", "media", "private", "var/tmp", "var/folders"})
        places.push_back("/" + std::string(folder) + "/");
    std::string own = std::filesystem::absolute(repository.root()).lexically_normal().string();
    while (own.ends_with('/'))
        own.pop_back();
    if (std::ranges::count(own, '/') >= 2)
        places.push_back(own);
    return places;
}

bool isWordEdge(std::string_view text, std::size_t at)
{
    return at >= text.size() || (std::isalnum(static_cast<unsigned char>(text[at])) == 0 && text[at] != '_');
}

}  // namespace

std::vector<Offence> checkTopLevel(const Repository& repository)
{
    static const std::set<std::string_view> kAgreed = {
        "CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "CHANGELOG.md", "CMakePresets.json", "app",
        "core",           "db",        "resources",     "tests",   "packaging"};
    std::vector<Offence> offences;
    std::set<std::string_view> seen;
    for (const std::string& file : repository.files()) {
        const std::string_view top = partOf(file, 0);
        if (!top.starts_with('.') && !kAgreed.contains(top) && seen.insert(top).second)
            offences.push_back({std::string(top), 0, "is not one of the entries agreed on for the top level"});
    }
    return offences;
}

std::vector<Offence> checkMachinePaths(const Repository& repository)
{
    const std::vector<std::string> places = machinePlaces(repository);
    std::vector<Offence> offences;
    for (const std::string& file : repository.files()) {
        const std::string text = repository.read(file);
        for (const std::string& place : places) {
            for (std::size_t at = text.find(place); at != std::string::npos; at = text.find(place, at + 1)) {
                if (beginsPath(text, at))
                    offences.push_back({file, lineAt(text, at), "names a place on one machine: " + place});
            }
        }
        // A drive letter and a user's folder, with either slash.
        for (std::size_t at = text.find(':'); at != std::string::npos; at = text.find(':', at + 1)) {
            const bool drive =
                at >= 1 && std::isalpha(static_cast<unsigned char>(text[at - 1])) != 0 && (at < 2 || isWordEdge(text, at - 2));
            std::size_t after = at + 1;
            while (after < text.size() && (text[after] == '\\' || text[after] == '/'))
                ++after;
            if (drive && after > at + 1 && std::string_view(text).substr(after).starts_with("Users"))
                offences.push_back({file, lineAt(text, at), "names a place on one machine: a user's folder on a drive"});
        }
    }
    return offences;
}

std::vector<Offence> checkUnfinished(const Repository& repository)
{
    // Written in two parts, so that this file does not hold what it looks for.
    const std::array<std::string, 3> marks = {std::string("TO") + "DO", std::string("FIX") + "ME", std::string("TB") + "D"};
    std::vector<Offence> offences;
    for (const std::string& file : repository.files()) {
        const std::string text = repository.read(file);
        if (text.find('\0') != std::string::npos)
            continue;  // a picture or a font
        for (const std::string& mark : marks) {
            for (std::size_t at = text.find(mark); at != std::string::npos; at = text.find(mark, at + 1)) {
                if ((at == 0 || isWordEdge(text, at - 1)) && isWordEdge(text, at + mark.size()))
                    offences.push_back({file, lineAt(text, at), "carries a mark of unfinished work: " + mark});
            }
        }
    }
    return offences;
}

}  // namespace halfcell::tree
