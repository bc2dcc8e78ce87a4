#include "tests/layers/list_rules.h"

#include "tests/layers/cmake_text.h"

#include <map>
#include <set>

namespace halfcell::tree {
namespace {

using Words = std::set<std::string, std::less<>>;

std::string cmakeFileIn(std::string_view folder)
{
    return folder.empty() ? "CMakeLists.txt" : std::string(folder) + "/CMakeLists.txt";
}

class Lists {
public:
    explicit Lists(const Repository& repository) : m_repository(repository) {}

    // The folder at or above `folder` that has a CMakeLists.txt; the root when none is nearer.
    std::string_view listingFolder(std::string_view folder) const
    {
        while (!folder.empty() && !m_repository.has(cmakeFileIn(folder)))
            folder = folderOf(folder);
        return folder;
    }

    bool names(std::string_view listingFolder, std::string_view path)
    {
        const Words& words = wordsOf(listingFolder);
        const std::string_view below = listingFolder.empty() ? path : path.substr(listingFolder.size() + 1);
        return words.contains(below);
    }

private:
    const Words& wordsOf(std::string_view folder)
    {
        const auto [entry, isNew] = m_words.try_emplace(std::string(folder));
        if (isNew) {
            for (const CMakeCommand& command : readCMake(m_repository.read(cmakeFileIn(folder))))
                entry->second.insert(command.arguments.begin(), command.arguments.end());
        }
        return entry->second;
    }

    const Repository& m_repository;
    std::map<std::string, Words, std::less<>> m_words;
};

bool isProgramOrTest(std::string_view file)
{
    const std::string_view top = partOf(file, 0);
    return (top == "core" || top == "db" || top == "app" || top == "tests") && !file.starts_with("tests/data/");
}

}  // namespace

std::vector<Offence> checkLists(const Repository& repository)
{
    std::vector<Offence> offences;
    Lists lists(repository);
    for (const std::string& file : repository.files()) {
        if (!isProgramOrTest(file))
            continue;
        const std::string_view folder = folderOf(file);
        if (file.ends_with(".cpp")) {
            const std::string_view listing = lists.listingFolder(folder);
            if (!lists.names(listing, file))
                offences.push_back({file, 0, "is not listed in " + cmakeFileIn(listing) + ", so it is not built"});
        } else if (file.ends_with("/CMakeLists.txt")) {
            const std::string_view listing = lists.listingFolder(folderOf(folder));
            if (!lists.names(listing, folder))
                offences.push_back({file, 0, "its folder is not listed in " + cmakeFileIn(listing) + ", so it is not built"});
        }
    }
    return offences;
}

}  // namespace halfcell::tree
