#include "tests/layers/cmake_text.h"

#include <algorithm>
#include <cctype>

namespace halfcell::tree {
namespace {

bool isKeyword(std::string_view word)
{
    return word.size() > 1 && std::ranges::all_of(word, [](char c) { return (c >= 'A' && c <= 'Z') || c == '_'; });
}

}  // namespace

std::vector<std::string> CMakeCommand::after(std::string_view keyword) const
{
    std::vector<std::string> found;
    bool inside = false;
    for (const std::string& argument : arguments) {
        if (isKeyword(argument))
            inside = argument == keyword;
        else if (inside)
            found.push_back(argument);
    }
    return found;
}

std::vector<CMakeCommand> readCMake(std::string_view text)
{
    std::vector<CMakeCommand> commands;
    std::string word;
    std::size_t line = 1;
    int depth = 0;
    const auto endWord = [&] {
        if (word.empty())
            return;
        if (depth == 0)
            commands.push_back({word, {}, line});
        else
            commands.back().arguments.push_back(word);
        word.clear();
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '#') {
            endWord();
            while (i + 1 < text.size() && text[i + 1] != '\n')
                ++i;
        } else if (c == '"') {
            for (++i; i < text.size() && text[i] != '"'; ++i) {
                if (text[i] == '\n')
                    ++line;
                if (text[i] == '\\' && i + 1 < text.size())
                    ++i;
                word += text[i];
            }
        } else if (c == '(' && (depth == 0 || word.empty())) {
            endWord();
            if (!commands.empty())
                ++depth;
        } else if (c == ')' && depth > 0) {
            endWord();
            --depth;
        } else if (std::isspace(static_cast<unsigned char>(c)) != 0) {
            endWord();
            if (c == '\n')
                ++line;
        } else {
            word += c;
        }
    }
    endWord();
    return commands;
}

}  // namespace halfcell::tree
