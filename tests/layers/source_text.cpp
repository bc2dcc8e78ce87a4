#include "tests/layers/source_text.h"

#include <algorithm>
#include <cctype>
#include <utility>

namespace halfcell::tree {
namespace {

bool isWordChar(char c)
{
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

class Reader {
public:
    explicit Reader(std::string_view text) : m_text(text) { m_source.code.emplace_back(); }

    SourceText run()
    {
        while (m_at < m_text.size())
            step();
        return std::move(m_source);
    }

private:
    std::string_view rest() const { return m_text.substr(m_at); }
    std::size_t line() const { return m_source.code.size(); }
    std::string& codeLine() { return m_source.code.back(); }

    // Passes n characters; lines are counted, nothing is kept.
    void skip(std::size_t n)
    {
        for (; n > 0 && m_at < m_text.size(); --n, ++m_at) {
            if (m_text[m_at] == '\n')
                m_source.code.emplace_back();
        }
    }

    void skipPast(std::string_view end)
    {
        const std::size_t found = rest().find(end);
        skip(found == std::string_view::npos ? rest().size() : found + end.size());
    }

    void step()
    {
        const std::string_view text = rest();
        if (text.starts_with("//")) {
            skip(std::min(text.find('\n'), text.size()));
        } else if (text.starts_with("/*")) {
            skip(2);
            skipPast("*/");
        } else if (text.front() == '#' && codeLine().find_first_not_of(" \t") == std::string::npos) {
            directive();
        } else if (text.front() == '"') {
            string();
        } else if (text.front() == '\'' && (codeLine().empty() || !isWordChar(codeLine().back()) || prefixEndsLine())) {
            character();
        } else if (text.front() == '\n') {
            skip(1);
        } else {
            if (std::isspace(static_cast<unsigned char>(text.front())) == 0)
                m_joinable = false;
            codeLine() += text.front();
            ++m_at;
        }
    }

    // u8'x', L'x': a word before a quote that is a prefix, not the digits of 1'000.
    bool prefixEndsLine()
    {
        const std::string& code = codeLine();
        std::size_t start = code.size();
        while (start > 0 && isWordChar(code[start - 1]))
            --start;
        const std::string_view word = std::string_view(code).substr(start);
        return word == "u8" || word == "u" || word == "U" || word == "L";
    }

    void directive()
    {
        std::string_view text = rest().substr(0, rest().find('\n'));
        std::size_t at = text.find_first_not_of(" \t", 1);
        m_joinable = false;
        if (at != std::string_view::npos && text.substr(at).starts_with("include")) {
            at = text.find_first_not_of(" \t", at + 7);
            if (at != std::string_view::npos && (text[at] == '"' || text[at] == '<')) {
                const bool quoted = text[at] == '"';
                const std::size_t end = text.find(quoted ? '"' : '>', at + 1);
                if (end != std::string_view::npos) {
                    m_source.includes.push_back({std::string(text.substr(at + 1, end - at - 1)), quoted, line()});
                    skip(end + 1);
                    return;
                }
            }
        }
        codeLine() += '#';
        ++m_at;
    }

    bool rawPrefix()
    {
        const std::string& code = codeLine();
        if (code.empty() || code.back() != 'R')
            return false;
        std::size_t start = code.size();
        while (start > 0 && isWordChar(code[start - 1]))
            --start;
        const std::string_view word = std::string_view(code).substr(start);
        return word == "R" || word == "u8R" || word == "uR" || word == "UR" || word == "LR";
    }

    void string()
    {
        const std::size_t startLine = line();
        std::string content;
        // A prefix (u8, R, ...) stands in the code already and would part adjacent literals.
        const bool raw = rawPrefix();
        if (raw) {
            const std::size_t open = rest().find('(');
            const std::string end = ")" + std::string(rest().substr(1, open == std::string_view::npos ? 0 : open - 1)) + "\"";
            skip(open == std::string_view::npos ? 1 : open + 1);
            content = std::string(rest().substr(0, rest().find(end)));
            skipPast(end);
        } else {
            std::size_t end = 1;
            const std::string_view text = rest();
            while (end < text.size() && text[end] != '"' && text[end] != '\n')
                end += text[end] == '\\' ? 2 : 1;
            end = std::min(end, text.size());
            content = std::string(text.substr(1, end - 1));
            skip(end < text.size() && text[end] == '"' ? end + 1 : end);
        }
        codeLine() += "\"\"";
        if (m_joinable && !raw && !m_source.literals.empty())
            m_source.literals.back().text += content;
        else
            m_source.literals.push_back({std::move(content), startLine});
        m_joinable = true;
    }

    void character()
    {
        const std::string_view text = rest();
        std::size_t end = 1;
        while (end < text.size() && text[end] != '\'' && text[end] != '\n')
            end += text[end] == '\\' ? 2 : 1;
        end = std::min(end, text.size());
        skip(end < text.size() && text[end] == '\'' ? end + 1 : end);
        codeLine() += "''";
        m_joinable = false;
    }

    std::string_view m_text;
    std::size_t m_at = 0;
    bool m_joinable = false;  // nothing but blanks and comments since the last string literal
    SourceText m_source;
};

}  // namespace

SourceText readSource(std::string_view text)
{
    return Reader(text).run();
}

}  // namespace halfcell::tree
