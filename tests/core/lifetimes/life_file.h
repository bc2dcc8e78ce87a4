#pragma once

#include "core/lifetimes/life_record.h"
#include "core/quantity/number.h"

#include <cctype>
#include <fstream>
#include <string>
#include <vector>

/// Reads a published set of lives: time, whether it ended, how many; lines that begin with a letter or # are headings.
namespace halfcell::core {

inline std::vector<LifeRecord> lifeFile(const std::string& name)
{
    std::ifstream in(std::string(HALFCELL_TEST_DATA) + "/reference/" + name);
    std::vector<LifeRecord> lives;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line[0] == '#' || std::isalpha(static_cast<unsigned char>(line[0])))
            continue;
        const auto first = line.find(','), second = line.find(',', first + 1);
        lives.push_back({0.0, *parseNumber(line.substr(0, first)), line.substr(first + 1, second - first - 1) == "1",
                         *parseNumber(line.substr(second + 1)), 0});
    }
    return lives;
}

}  // namespace halfcell::core
