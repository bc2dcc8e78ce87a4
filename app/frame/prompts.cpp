#include "app/frame/prompts.h"

#include <QFileDialog>
#include <QInputDialog>
#include <QMessageBox>
#include <QPushButton>

namespace halfcell::app {

std::vector<std::filesystem::path> DialogPrompts::openFiles(QWidget* parent, const QString& title, const QString& filter)
{
    std::vector<std::filesystem::path> paths;
    for (const QString& name : QFileDialog::getOpenFileNames(parent, title, QString(), filter))
        paths.emplace_back(name.toStdString());
    return paths;
}

std::optional<std::filesystem::path> DialogPrompts::openFolder(QWidget* parent, const QString& title)
{
    const QString name = QFileDialog::getExistingDirectory(parent, title);
    return name.isEmpty() ? std::nullopt : std::optional<std::filesystem::path>(name.toStdString());
}

std::optional<std::filesystem::path> DialogPrompts::saveFile(QWidget* parent, const QString& title, const QString& suggested)
{
    const QString name = QFileDialog::getSaveFileName(parent, title, suggested);
    return name.isEmpty() ? std::nullopt : std::optional<std::filesystem::path>(name.toStdString());
}

std::optional<QString> DialogPrompts::line(QWidget* parent, const QString& title, const QString& question, const QString& before)
{
    bool ok = false;
    const QString text = QInputDialog::getText(parent, title, question, QLineEdit::Normal, before, &ok);
    return ok ? std::optional(text) : std::nullopt;
}

int DialogPrompts::choose(QWidget* parent, const QString& title, const QString& question, const QStringList& answers)
{
    QMessageBox box(parent);
    box.setWindowTitle(title);
    box.setText(question);
    std::vector<QPushButton*> buttons;
    for (const QString& answer : answers)
        buttons.push_back(box.addButton(answer, QMessageBox::AcceptRole));
    box.exec();
    for (std::size_t i = 0; i < buttons.size(); ++i)
        if (box.clickedButton() == buttons[i])
            return static_cast<int>(i);
    return -1;
}

void DialogPrompts::tell(QWidget* parent, const QString& title, const QString& text)
{
    QMessageBox box(parent);
    box.setWindowTitle(title);
    box.setText(text);
    box.exec();
}

}  // namespace halfcell::app
