#include "tests/layers/layer_rules.h"

#include "tests/layers/cmake_text.h"
#include "tests/layers/source_text.h"

#include <algorithm>
#include <array>
#include <map>
#include <regex>
#include <set>

namespace halfcell::tree {
namespace {

// The layers from the bottom up: each may use itself and what stands before it.
constexpr std::array<std::string_view, 3> kLayers = {"core", "db", "app"};

std::size_t heightOf(std::string_view layer)
{
    return static_cast<std::size_t>(std::ranges::find(kLayers, layer) - kLayers.begin());
}

bool isLayer(std::string_view name)
{
    return heightOf(name) < kLayers.size();
}

// The rooms of app that do without Qt: those its CMakeLists.txt adds whether or not the desktop is built.
class CommandLine {
public:
    explicit CommandLine(const Repository& repository)
    {
        int conditions = 0;
        for (const CMakeCommand& command : readCMake(repository.read("app/CMakeLists.txt"))) {
            if (command.name == "if")
                ++conditions;
            else if (command.name == "endif")
                --conditions;
            else if (command.name == "halfcell_add_rooms" && conditions == 0)
                m_rooms.insert(command.arguments.begin(), command.arguments.end());
        }
    }

    bool has(std::string_view layer, std::string_view room) const { return layer == "app" && m_rooms.contains(room); }
    bool mayUseQt(std::string_view layer, std::string_view room) const { return layer == "app" && !m_rooms.contains(room); }

private:
    std::set<std::string, std::less<>> m_rooms;
};

bool isQtHeader(const std::string& path)
{
    static const std::regex kQt(R"((Q[A-Z]\w*|Qt[A-Z0-9]\w*/.+|.*/Q[A-Z]\w*|qcustomplot\.h|.*/qcustomplot\.h|q(?!rencode)[a-z0-9_]*\.h))");
    return std::regex_match(path, kQt);
}

// Headers that bring a database, a file or a clock into core.
bool isOutsideWorld(const std::string& path)
{
    static const std::regex kOutside(
        R"((soci/.*|sqlite3\.h|libpq.*|postgresql/.*|fstream|filesystem|cstdio|stdio\.h|ctime|time\.h|unistd\.h|sys/.*|fcntl\.h))");
    return std::regex_match(path, kOutside);
}

bool isSql(const std::string& text)
{
    // Keywords in capitals are SQL anywhere in a text ...
    static const std::regex kCapitals(
        R"(\b(SELECT\s|INSERT\s+(OR\s+\w+\s+)?INTO\s|DELETE\s+FROM\s|UPDATE\s+\w+\s+SET\s|(CREATE|DROP|ALTER)\s+(TEMP\s+|UNIQUE\s+)?(TABLE|INDEX|VIEW|TRIGGER)\b|PRAGMA\s|BEGIN\s+IMMEDIATE|ORDER\s+BY\s|GROUP\s+BY\s))");
    // ... in small letters, where a text begins like a statement and has no article, as English would.
    static const std::regex kSmall(
        R"(^\s*(select\s[^]*\sfrom\s+\w|insert\s+(or\s+\w+\s+)?into\s+\w+\s*(\(|values|select)|delete\s+from\s+\w|update\s+\w+\s+set\s|(create|drop|alter)\s+(temp\s+|unique\s+)?(table|index|view|trigger)\s|pragma\s+\w|begin\s+immediate))");
    static const std::regex kArticle(R"(\b(the|a|an|this|that|your)\b)");
    if (std::regex_search(text, kCapitals))
        return true;
    // std::regex recurses with each character it spans: the beginning of a long text is enough.
    const std::string beginning = text.substr(0, 2000);
    return std::regex_search(beginning, kSmall, std::regex_constants::match_continuous) && !std::regex_search(beginning, kArticle);
}

bool readsClock(const std::string& code)
{
    static const std::regex kClock(R"(_clock::now\b|\bstd::time\s*\(|\brandom_device\b|\b(clock_)?gettime(ofday)?\s*\()");
    return std::regex_search(code, kClock);
}

void checkInclude(const CommandLine& commandLine, const std::string& file, const SourceText::Include& include,
                  std::vector<Offence>& offences)
{
    const std::string_view layer = partOf(file, 0);
    const std::string_view room = partOf(file, 1);
    const std::string shown = (include.quoted ? '"' : '<') + include.path + (include.quoted ? '"' : '>');
    const auto offend = [&](const std::string& what) { offences.push_back({file, include.line, what + ": " + shown}); };

    if (include.path.starts_with("QSql") || include.path.starts_with("QtSql/"))
        return offend("Qt SQL is not used; db goes through SOCI");
    if (isQtHeader(include.path) && !commandLine.mayUseQt(layer, room))
        return offend(std::string(layer) + "/" + std::string(room) + " does without Qt");
    if (layer == "core" && isOutsideWorld(include.path))
        return offend("core knows no database, file or clock");

    const std::string_view target = partOf(include.path, 0);
    if (isLayer(target) && include.path.find('/') != std::string::npos) {
        if (!include.quoted)
            return offend("project headers are included in quotes");
        if (heightOf(target) > heightOf(layer))
            return offend(std::string(layer) + " may not include " + std::string(target));
        const std::string_view targetRoom = partOf(include.path, 1);
        if (commandLine.has(layer, room) && target == "app" && !commandLine.has(target, targetRoom))
            return offend("the command line may not include a desktop room");
        return;
    }
    if (target == "tests")
        return offend("the program may not include its tests");
    if (include.quoted && target != "embedded") {
        const bool made = commandLine.mayUseQt(layer, room) && (include.path.ends_with(".moc") || include.path.starts_with("ui_"));
        if (!made)
            offend("project headers are included from the repository root");
    }
}

struct Room {
    std::string folder;
    std::size_t line = 0;
    std::set<std::string> depends;  // core_quantity, ...
};

// halfcell::core_x, halfcell_core_x and core_x all name a room.
std::string roomName(std::string name)
{
    for (const std::string_view prefix : {"halfcell::", "halfcell_"}) {
        if (name.starts_with(prefix))
            name.erase(0, prefix.size());
    }
    return name;
}

using Rooms = std::map<std::string, Room>;

// Rooms that can be reached by DEPENDS, the room itself among them only when there is a circle.
void reach(const Rooms& rooms, const std::string& from, std::set<std::string>& reached)
{
    const auto room = rooms.find(from);
    if (room == rooms.end())
        return;
    for (const std::string& next : room->second.depends) {
        if (reached.insert(next).second)
            reach(rooms, next, reached);
    }
}

Rooms readRooms(const Repository& repository, std::vector<Offence>& offences)
{
    Rooms rooms;
    const CommandLine commandLine(repository);
    for (const std::string& file : repository.files()) {
        const std::string_view layer = partOf(file, 0);
        if (!isLayer(layer) || !file.ends_with("/CMakeLists.txt") || folderOf(file) == layer)
            continue;
        for (const CMakeCommand& command : readCMake(repository.read(file))) {
            const bool isRoom = command.name == "halfcell_room" && command.arguments.size() >= 2;
            const bool isProgram = command.name == "halfcell_program" && !command.arguments.empty();
            if (!isRoom && !isProgram)
                continue;
            const std::string_view folderRoom = partOf(file, 1);
            std::string name = isRoom ? command.arguments[0] + "_" + command.arguments[1] : command.arguments[0];
            if (isRoom && (command.arguments[0] != layer || command.arguments[1] != folderRoom))
                offences.push_back({file, command.line, "room " + name + " stands in the folder of another"});
            Room room{std::string(folderOf(file)), command.line, {}};
            for (const std::string_view keyword : {"DEPENDS", "LIBS", "PRIVATE_LIBS"}) {
                for (const std::string& word : command.after(keyword)) {
                    const std::string target = roomName(word);
                    const std::string targetLayer = target.substr(0, target.find('_'));
                    if ((word.starts_with("Qt6::") || word.starts_with("QCustomPlotQt6::")) && !commandLine.mayUseQt(layer, folderRoom))
                        offences.push_back(
                            {file, command.line, std::string(layer) + "_" + std::string(folderRoom) + " does without Qt: " + word});
                    else if (layer == "core" && (word.starts_with("SOCI::") || word.starts_with("SQLite::")))
                        offences.push_back({file, command.line, "core knows no database: " + word});
                    if (!isLayer(targetLayer) || (keyword != "DEPENDS" && target == word))
                        continue;
                    if (heightOf(targetLayer) > heightOf(layer))
                        offences.push_back({file, command.line, name + " may not depend on " + target});
                    room.depends.insert(target);
                }
            }
            rooms.insert_or_assign(name, std::move(room));
        }
    }
    return rooms;
}

}  // namespace

std::vector<Offence> checkIncludes(const Repository& repository)
{
    std::vector<Offence> offences;
    const CommandLine commandLine(repository);
    for (const std::string& file : repository.files()) {
        const std::string_view layer = partOf(file, 0);
        if (!isLayer(layer) || !isCpp(file))
            continue;
        const SourceText source = readSource(repository.read(file));
        for (const SourceText::Include& include : source.includes)
            checkInclude(commandLine, file, include, offences);
        if (layer != "db") {
            for (const SourceText::Literal& literal : source.literals) {
                if (isSql(literal.text))
                    offences.push_back(
                        {file, literal.line, "SQL stands in db and resources/sql only: \"" + literal.text.substr(0, 60) + "\""});
            }
        }
        if (layer == "core" || layer == "db") {
            for (std::size_t i = 0; i < source.code.size(); ++i) {
                if (readsClock(source.code[i]))
                    offences.push_back({file, i + 1, "core and db are told the time and the seed; they do not ask for them"});
            }
        }
    }
    return offences;
}

std::vector<Offence> checkRooms(const Repository& repository)
{
    std::vector<Offence> offences;
    const Rooms rooms = readRooms(repository, offences);

    std::map<std::string, std::set<std::string>> reachedBy;
    std::map<std::string, std::set<std::string>> reachedFromFolder;
    for (const auto& [name, room] : rooms) {
        std::set<std::string>& reached = reachedBy[name];
        reach(rooms, name, reached);
        if (reached.contains(name))
            offences.push_back({room.folder + "/CMakeLists.txt", room.line, name + " depends on itself by way of other rooms"});
        reachedFromFolder[room.folder].insert(reached.begin(), reached.end());
    }

    for (const std::string& file : repository.files()) {
        const std::string_view layer = partOf(file, 0);
        if (!isLayer(layer) || !isCpp(file))
            continue;
        const std::string folder = std::string(layer) + "/" + std::string(partOf(file, 1));
        const auto reached = reachedFromFolder.find(folder);
        if (reached == reachedFromFolder.end())
            continue;  // a folder without a room: the list rules name it
        for (const SourceText::Include& include : readSource(repository.read(file)).includes) {
            const std::string_view target = partOf(include.path, 0);
            if (!include.quoted || !isLayer(target) || partOf(include.path, 2).empty())
                continue;
            const std::string room = std::string(target) + "_" + std::string(partOf(include.path, 1));
            const bool own = include.path.starts_with(folder + "/");
            if (!own && !reached->second.contains(room) && !reached->second.contains(std::string(target)))
                offences.push_back(
                    {file, include.line, "includes " + include.path + ", but " + folder + "/CMakeLists.txt does not DEPEND on " + room});
        }
    }
    return offences;
}

}  // namespace halfcell::tree
