#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// Where the records of a table that was made from another file come from: the line each has there, and what its
/// columns are called there. Built in the order of the records; memory grows only where the two run apart.
class SourceLines {
public:
    /// Names of the source's columns for the fields of one kind of row ("mv" is "pH7 mV").
    using FieldNames = std::map<std::string, std::string, std::less<>>;

    /// The kind of row that later records are of; kinds count from 0. Without any, fields keep their names.
    std::size_t addKind(FieldNames names)
    {
        m_kinds.push_back(std::move(names));
        return m_kinds.size() - 1;
    }
    /// The record that begins on `line` of the table made stands on `source` of the file.
    void note(std::size_t line, std::size_t source, std::size_t kind = 0)
    {
        const auto shift = static_cast<std::int64_t>(source) - static_cast<std::int64_t>(line);
        if (!m_runs.empty() && m_runs.back().shift == shift && m_runs.back().kind == kind)
            return;
        m_runs.push_back({static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(kind), shift});
    }
    [[nodiscard]] std::size_t lineOf(std::size_t line) const
    {
        const Run* run = runAt(line);
        return run == nullptr ? line : static_cast<std::size_t>(static_cast<std::int64_t>(line) + run->shift);
    }
    /// The field as the source calls it; the field's own name if the source has none for it.
    [[nodiscard]] std::string fieldOf(std::size_t line, std::string_view field) const
    {
        const Run* run = runAt(line);
        if (run == nullptr || run->kind >= m_kinds.size())
            return std::string(field);
        const auto name = m_kinds[run->kind].find(field);
        return name == m_kinds[run->kind].end() ? std::string(field) : name->second;
    }

private:
    struct Run {
        std::uint32_t line = 0, kind = 0;
        std::int64_t shift = 0;
    };
    [[nodiscard]] const Run* runAt(std::size_t line) const
    {
        std::size_t low = 0, high = m_runs.size();
        while (low < high) {
            const std::size_t middle = (low + high) / 2;
            if (m_runs[middle].line <= line)
                low = middle + 1;
            else
                high = middle;
        }
        return low == 0 ? nullptr : &m_runs[low - 1];
    }

    std::vector<Run> m_runs;
    std::vector<FieldNames> m_kinds;
};

}  // namespace halfcell::db
