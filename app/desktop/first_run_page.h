#pragma once

#include <QWidget>

#include <filesystem>
#include <vector>

class QLabel;
class QLineEdit;
class QPushButton;
class QVBoxLayout;

namespace halfcell::app {

/// What stands there while no book is open: four ways to get one, each with a line of what happens, and the recent books.
/// Asks for nothing but three fields when a book is started. GUI thread only.
class FirstRunPage : public QWidget {
    Q_OBJECT
public:
    explicit FirstRunPage(QWidget* parent = nullptr);

    /// Recent books, newest first; missing ones are said to be gone.
    void setRecent(const std::vector<std::filesystem::path>& books);
    /// A sentence under the buttons: what went wrong, or what is going on.
    void say(const QString& sentence);
    /// Puts the focus on the first button.
    void start();
    /// Whether the book that is opened next is to take a spreadsheet in; asked once, then it is not.
    [[nodiscard]] bool takesInNext();

Q_SIGNALS:
    void demoAsked();
    void openAsked();
    void bookAsked(const std::filesystem::path& file);
    /// Start a book: file name, shop, first site.
    void createAsked(const QString& file, const QString& shop, const QString& site);

private:
    QPushButton* choice(QVBoxLayout* layout, const QString& name, const QString& text, const QString& happens);
    void buildCreateForm(QVBoxLayout* layout);
    void askForBook(bool thenTakeIn);

    QPushButton* m_demo = nullptr;
    QWidget* m_createForm = nullptr;
    QLineEdit* m_file = nullptr;
    QLineEdit* m_shopName = nullptr;
    QLineEdit* m_site = nullptr;
    QLabel* m_sentence = nullptr;
    QWidget* m_recent = nullptr;
    QVBoxLayout* m_recentLayout = nullptr;
    bool m_takesIn = false;
};

}  // namespace halfcell::app
