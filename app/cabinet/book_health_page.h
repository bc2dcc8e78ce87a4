#pragma once

#include "app/presenters/shop.h"

#include <QWidget>

#include <filesystem>
#include <functional>
#include <optional>

class QLabel;
class QPushButton;

namespace halfcell::app {

/// Cabinet: the book's file, its chain, a backup, stored figures worked out anew. GUI thread only.
class BookHealthPage : public QWidget {
    Q_OBJECT
public:
    using AskTarget = std::function<std::optional<std::filesystem::path>(QWidget*)>;
    BookHealthPage(Shop& shop, AskTarget askBackup, QWidget* parent = nullptr);

    /// Reads the figures of the file anew.
    void refresh();
    /// Checks the chain now (also done in the background at start).
    void verify();

Q_SIGNALS:
    void announced(const QString& sentence);

private:
    void showInfo(const core::Result<db::BookInfo>& info);
    QLabel* line(const QString& label, const QString& name);

    Shop& m_shop;
    AskTarget m_askBackup;
    QLabel* m_file = nullptr;
    QLabel* m_content = nullptr;
    QLabel* m_chain = nullptr;
    QLabel* m_backup = nullptr;
    QLabel* m_figures = nullptr;
    QPushButton* m_verifyButton = nullptr;
};

}  // namespace halfcell::app
