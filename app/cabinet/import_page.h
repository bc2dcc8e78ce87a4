#pragma once

#include "app/presenters/shop.h"

#include <QWidget>

#include <filesystem>
#include <functional>
#include <vector>

class QLabel;
class QLineEdit;
class QPushButton;
class QTableView;

namespace halfcell::app {

class TextTableModel;

/// Cabinet: take tables in with a preview of what will be stored and what is refused and why, and write tables out.
/// Nothing is taken before its preview has been shown. GUI thread only.
class ImportPage : public QWidget {
    Q_OBJECT
public:
    /// `askFiles` and `askFolder` open the dialogs (empty answers: nothing chosen), so that tests can answer.
    using AskPaths = std::function<std::vector<std::filesystem::path>(QWidget*)>;
    ImportPage(Shop& shop, AskPaths askFiles, AskPaths askFolder, QWidget* parent = nullptr);

    /// Previews these files or folders.
    void preview(const std::vector<std::filesystem::path>& paths);

Q_SIGNALS:
    void announced(const QString& sentence);

private:
    void build();
    void choose(const AskPaths& ask);
    void showPreview(const core::Result<ImportPreview>& preview);
    void takeIn();
    void showTaken(const core::Result<db::ImportReport>& report);
    void showRefusals(const db::ImportReport& report);
    void writeOut();
    void say(const QString& sentence);

    Shop& m_shop;
    AskPaths m_askFiles, m_askFolder;
    std::vector<std::filesystem::path> m_paths;
    QLineEdit* m_path = nullptr;
    QLabel* m_sentence = nullptr;
    QTableView* m_previewView = nullptr;
    QTableView* m_refusedView = nullptr;
    TextTableModel* m_previewModel = nullptr;
    TextTableModel* m_refusedModel = nullptr;
    QPushButton* m_take = nullptr;
    QLineEdit* m_exportPath = nullptr;
    QLabel* m_exportSentence = nullptr;
};

}  // namespace halfcell::app
