#pragma once

#include "app/cabinet/import_presenter.h"

#include <QPointer>
#include <QWidget>

#include <filesystem>
#include <functional>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QProgressBar;
class QPushButton;
class QTabWidget;

namespace halfcell::app {

class ColumnsEditor;
class ExportPart;
class ImportPreviewView;
class SourceForm;

/// Cabinet: takes tables in, Halfcell's own and a shop's, and writes them out. A shop's own table is read through a mapping, guessed and
/// open to change; the first lines are shown before and after, and every refusal. Nothing is taken whose count was not shown. Files come
/// by a dialog, by name, by dropping them, or as rows pasted. GUI thread only.
class ImportPage : public QWidget {
    Q_OBJECT
public:
    /// `askFiles` and `askFolder` open the dialogs (empty answers: nothing chosen), so that tests can answer.
    using AskPaths = std::function<std::vector<std::filesystem::path>(QWidget*)>;
    ImportPage(Shop& shop, AskPaths askFiles, AskPaths askFolder, QWidget* parent = nullptr);

    /// Previews these files or folders.
    void preview(const std::vector<std::filesystem::path>& paths);
    [[nodiscard]] ImportPresenter& presenter() { return m_presenter; }
    /// What F6 goes through, in order.
    [[nodiscard]] QList<QWidget*> regions() const;
    /// Puts the focus where a file is chosen.
    void takeFocus();

Q_SIGNALS:
    void announced(const QString& sentence);

protected:
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dropEvent(QDropEvent* event) override;

private:
    void build();
    QWidget* buildTakeIn();
    QWidget* buildSource(QWidget* parent);
    QWidget* buildMappingBar(QWidget* parent);
    void connectAll();
    void choose(const AskPaths& ask);
    void paste();
    void takeData(const QMimeData* brought);
    void showLook();
    void showMapping();
    void showCount();
    void showState();
    void showSaved();
    void say(const QString& sentence);

    ImportPresenter m_presenter;
    AskPaths m_askFiles, m_askFolder;
    Shop& m_shop;
    QTabWidget* m_tabs = nullptr;
    QWidget* m_sourceBar = nullptr;
    QLineEdit* m_path = nullptr;
    QPushButton* m_files = nullptr;
    QPushButton* m_folder = nullptr;
    QPushButton* m_paste = nullptr;
    QLabel* m_sentence = nullptr;
    QWidget* m_mappingBar = nullptr;
    QComboBox* m_saved = nullptr;
    QLineEdit* m_name = nullptr;
    QPushButton* m_save = nullptr;
    SourceForm* m_source = nullptr;
    ColumnsEditor* m_columns = nullptr;
    ImportPreviewView* m_preview = nullptr;
    QProgressBar* m_progress = nullptr;
    QPushButton* m_stop = nullptr;
    QPushButton* m_take = nullptr;
    ExportPart* m_export = nullptr;
    QPointer<QWidget> m_focusBefore;  ///< had the focus when the fields were closed to take rows in
};

}  // namespace halfcell::app
