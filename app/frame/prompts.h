#pragma once

#include <QString>
#include <QStringList>

#include <filesystem>
#include <optional>
#include <vector>

class QWidget;

namespace halfcell::app {

/// Everything the program asks in a box of its own, so that tests script the answers. GUI thread only.
class Prompts {
public:
    virtual ~Prompts() = default;
    /// Files to open; empty when nothing was chosen.
    virtual std::vector<std::filesystem::path> openFiles(QWidget* parent, const QString& title, const QString& filter) = 0;
    virtual std::optional<std::filesystem::path> openFolder(QWidget* parent, const QString& title) = 0;
    virtual std::optional<std::filesystem::path> saveFile(QWidget* parent, const QString& title, const QString& suggested) = 0;
    /// A line of text; nullopt when refused.
    virtual std::optional<QString> line(QWidget* parent, const QString& title, const QString& question, const QString& before) = 0;
    /// One of several answers by index; -1 when refused.
    virtual int choose(QWidget* parent, const QString& title, const QString& question, const QStringList& answers) = 0;
    virtual void tell(QWidget* parent, const QString& title, const QString& text) = 0;
};

/// The real boxes.
class DialogPrompts : public Prompts {
public:
    std::vector<std::filesystem::path> openFiles(QWidget* parent, const QString& title, const QString& filter) override;
    std::optional<std::filesystem::path> openFolder(QWidget* parent, const QString& title) override;
    std::optional<std::filesystem::path> saveFile(QWidget* parent, const QString& title, const QString& suggested) override;
    std::optional<QString> line(QWidget* parent, const QString& title, const QString& question, const QString& before) override;
    int choose(QWidget* parent, const QString& title, const QString& question, const QStringList& answers) override;
    void tell(QWidget* parent, const QString& title, const QString& text) override;
};

}  // namespace halfcell::app
