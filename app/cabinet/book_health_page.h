#pragma once

#include "app/cabinet/page_table.h"
#include "app/jobs/job_queue.h"
#include "app/presenters/shop.h"

#include <QWidget>

#include <filesystem>
#include <functional>
#include <optional>
#include <vector>

class QGridLayout;
class QLabel;
class QLineEdit;
class QProgressBar;
class QPushButton;
class QVBoxLayout;

namespace halfcell::app {

class TextTableModel;

/// The file questions of the page, so that tests answer them. Nothing chosen: nullopt.
struct HealthAsks {
    using Ask = std::function<std::optional<std::filesystem::path>(QWidget*)>;
    Ask backupFile;    ///< a new file for one backup
    Ask backupFolder;  ///< the folder of the rotating backups
    Ask backupToRestore;
    Ask restoredBook;  ///< the new name of a restored book
    Ask otherBook;     ///< a book that parted from this one
};

/// Cabinet: the book's file, its chain, backups and the way back, stored figures worked out anew, another book merged in, and
/// clashes settled. Long work runs in the background with its share done and can be stopped. GUI thread only.
class BookHealthPage : public QWidget {
    Q_OBJECT
public:
    BookHealthPage(Shop& shop, HealthAsks asks, QWidget* parent = nullptr);

    /// Reads the figures of the file and the clashes anew.
    void refresh();
    /// Checks the chain now (also done in the background at start).
    void verify();

Q_SIGNALS:
    void announced(const QString& sentence);

private:
    QPushButton* button(const QString& text, const QString& name);
    QLabel* addRow(QGridLayout* grid, const QString& label, const QString& name, const std::vector<QPushButton*>& buttons);
    void buildClashes(QVBoxLayout* layout);
    void buildProgress(QVBoxLayout* layout);
    void showInfo(const core::Result<db::BookInfo>& info);
    void showChain();
    void showClashes(const core::Result<std::vector<db::Clash>>& clashes);
    void backUp();
    void rotate();
    void restore();
    void rebuild();
    void compare();
    void mergeIn();
    void settleChosen();
    void say(QLabel* where, const QString& sentence);

    Shop& m_shop;
    HealthAsks m_asks;
    std::optional<std::filesystem::path> m_other;  ///< compared; may be merged
    std::vector<db::Clash> m_open;
    std::vector<std::pair<std::size_t, std::size_t>> m_clashRows;  ///< table row -> clash, row of the clash
    QLabel* m_file = nullptr;
    QLabel* m_free = nullptr;
    QLabel* m_content = nullptr;
    QLabel* m_chain = nullptr;
    QLabel* m_backup = nullptr;
    QLabel* m_restored = nullptr;
    QLabel* m_figures = nullptr;
    QLabel* m_merged = nullptr;
    QPushButton* m_verifyButton = nullptr;
    QPushButton* m_backupButton = nullptr;
    QPushButton* m_rotateButton = nullptr;
    QPushButton* m_restoreButton = nullptr;
    QPushButton* m_rebuildButton = nullptr;
    QPushButton* m_compareButton = nullptr;
    QPushButton* m_mergeButton = nullptr;
    QWidget* m_clashPart = nullptr;
    QLabel* m_clashSentence = nullptr;
    PageTable* m_clashView = nullptr;
    TextTableModel* m_clashModel = nullptr;
    QLineEdit* m_why = nullptr;
    QPushButton* m_keep = nullptr;
    QWidget* m_work = nullptr;
    QLabel* m_workSentence = nullptr;
    QProgressBar* m_progress = nullptr;
    JobQueue m_jobs;  ///< last: its jobs end before the rest goes
};

}  // namespace halfcell::app
