#pragma once

#include "app/frame/prompts.h"

#include <deque>

namespace halfcell::test {

/// Answers every question from a script, in order, and keeps what was asked. A question without an answer left is
/// refused, as Esc would.
class ScriptedPrompts : public app::Prompts {
public:
    std::deque<std::vector<std::filesystem::path>> filesToOpen;
    std::deque<std::filesystem::path> folders;
    std::deque<std::filesystem::path> filesToSave;
    std::deque<QString> lines;
    std::deque<int> choices;
    QStringList asked;  ///< titles and questions, in order
    QStringList told;

    std::vector<std::filesystem::path> openFiles(QWidget*, const QString& title, const QString&) override
    {
        asked.append(title);
        return next(filesToOpen).value_or(std::vector<std::filesystem::path>{});
    }
    std::optional<std::filesystem::path> openFolder(QWidget*, const QString& title) override
    {
        asked.append(title);
        return next(folders);
    }
    std::optional<std::filesystem::path> saveFile(QWidget*, const QString& title, const QString&) override
    {
        asked.append(title);
        return next(filesToSave);
    }
    std::optional<QString> line(QWidget*, const QString& title, const QString&, const QString&) override
    {
        asked.append(title);
        return next(lines);
    }
    int choose(QWidget*, const QString& title, const QString&, const QStringList&) override
    {
        asked.append(title);
        return next(choices).value_or(-1);
    }
    void tell(QWidget*, const QString&, const QString& text) override { told.append(text); }

private:
    template <class T>
    static std::optional<T> next(std::deque<T>& script)
    {
        if (script.empty())
            return std::nullopt;
        T answer = script.front();
        script.pop_front();
        return answer;
    }
};

}  // namespace halfcell::test
