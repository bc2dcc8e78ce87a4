#pragma once

#include "app/jobs/job_queue.h"
#include "app/presenters/import_source.h"
#include "app/presenters/shop.h"

#include <QObject>
#include <QTemporaryDir>
#include <QTimer>

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace halfcell::app {

/// What the import page does: looks at files, guesses or loads a mapping, counts what would be taken, takes it in, keeps mappings by name.
/// Everything runs in the background; a later wish overtakes an earlier one. Only what was counted, and is still as it was counted, can be
/// taken. No widgets. GUI thread only.
class ImportPresenter : public QObject {
    Q_OBJECT
public:
    enum class State {
        Nothing,  ///< no file
        Looking,  ///< reading the beginning of the file
        Waiting,  ///< there is a file, and nothing is counted: stopped, or the mapping was changed this moment
        Counting,
        Counted,  ///< the count shown is that of this file through this mapping
        Taking,
        Taken
    };

    explicit ImportPresenter(Shop& shop, QObject* parent = nullptr);

    /// Files or folders, with what can be guessed of them.
    void open(const std::vector<std::filesystem::path>& paths);
    /// Rows copied from a spreadsheet.
    void paste(const QString& text);
    /// Changes the mapping; counts anew in a moment.
    void edit(const db::Mapping& mapping);
    /// Counts anew what is shown.
    void count();
    /// Stops counting or taking in; nothing is written then.
    void stop();
    /// Takes in what was counted.
    void take();

    /// Mappings kept beside the book, by name (`mappingsChanged`).
    void readSaved();
    void load(const std::filesystem::path& mappingFile);
    void guessAgain();
    /// Keeps the mapping by name. A name that is there already asks for a second call.
    void save(const QString& name);

    [[nodiscard]] State state() const { return m_state; }
    [[nodiscard]] bool canTake() const;
    [[nodiscard]] bool busy() const { return m_state == State::Looking || m_state == State::Counting || m_state == State::Taking; }
    [[nodiscard]] const ImportLook* look() const { return m_look.get(); }
    [[nodiscard]] std::shared_ptr<const ImportCount> counted() const { return m_count; }
    [[nodiscard]] const std::vector<std::pair<std::string, std::filesystem::path>>& saved() const { return m_saved; }
    /// What was opened, for the field that names it.
    [[nodiscard]] QString sourceName() const;
    [[nodiscard]] std::filesystem::path mappingFolder() const;

Q_SIGNALS:
    void lookChanged();     ///< another file, or it is read otherwise
    void mappingChanged();  ///< the same file through another mapping
    void countChanged();
    void stateChanged();
    void savedChanged();
    void progressed(double fraction);
    /// The refused rows of what was taken in.
    void taken(std::shared_ptr<const ImportTaken> taken);
    void said(const QString& sentence);

private:
    void lookAt(const std::vector<std::filesystem::path>& paths, std::optional<db::Mapping> mapping, const QString& after);
    void looked(const core::Result<std::shared_ptr<const ImportLook>>& look, const QString& after);
    void showCount(const core::Result<std::shared_ptr<const ImportCount>>& count);
    void showTaken(const core::Result<std::shared_ptr<const ImportTaken>>& taken);
    void setState(State state);
    void dropCount();

    Shop& m_shop;
    QTemporaryDir m_pasted;
    QTimer m_soon;
    std::vector<std::filesystem::path> m_opened;  ///< as chosen: a folder is a folder
    std::shared_ptr<const ImportLook> m_look;     ///< its source is what is counted next
    std::shared_ptr<const ImportCount> m_count;
    std::vector<std::pair<std::string, std::filesystem::path>> m_saved;
    QString m_replacing;  ///< the name that was there already when it was to be saved
    QString m_guessed;    ///< what was guessed, in sentences
    State m_state = State::Nothing;
    quint64 m_generation = 0;
    JobQueue m_files;  ///< last, so that it waits for its jobs first
};

}  // namespace halfcell::app
