#include "app/cabinet/import_presenter.h"

#include "app/cabinet/column_use.h"
#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "db/exchange/csv_write.h"

#include <algorithm>

namespace halfcell::app {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

constexpr int kSoonMs = 300;  // a person goes on typing within less: our choice

QString rowsText(std::size_t rows)
{
    return rows == 1 ? ImportPresenter::tr("1 row") : ImportPresenter::tr("%1 rows").arg(countText(static_cast<qint64>(rows)));
}

QString numberText(std::size_t number)
{
    return countText(static_cast<qint64>(number));
}

std::size_t legacyRows(const db::ImportReport& report)
{
    std::size_t rows = 0;
    for (const auto& [table, n] : report.takenByTable)
        if (table.starts_with("legacy"))
            rows += n;
    return rows;
}

/// The parts of a mapping that say how the file is read.
bool readsTheSame(const db::Mapping& a, const db::Mapping& b)
{
    return a.encoding == b.encoding && a.separator == b.separator && a.sheet == b.sheet && a.headerLine == b.headerLine &&
           a.headerLines == b.headerLines;
}

/// Why a mapping can't be used as it is: the same words as for one from a file.
std::optional<core::Error> faultOf(const db::Mapping& mapping)
{
    const auto again = db::mappingFromToml(db::mappingToToml(mapping));
    return again ? std::nullopt
                 : std::optional(core::Error{.code = again.error().code,
                                             .detail = again.error().detail,
                                             .field = again.error().field,
                                             .remedy = again.error().remedy});
}

}  // namespace

ImportPresenter::ImportPresenter(Shop& shop, QObject* parent) : QObject(parent), m_shop(shop)
{
    m_soon.setSingleShot(true);
    m_soon.setInterval(kSoonMs);
    connect(&m_soon, &QTimer::timeout, this, &ImportPresenter::count);
    // A count is of one book.
    const auto another = [this] {
        dropCount();
        if (m_state != State::Nothing)
            setState(m_look ? State::Waiting : State::Nothing);
    };
    connect(&m_shop, &Shop::bookClosed, this, another);
    connect(&m_shop, &Shop::bookOpened, this, another);
}

QString ImportPresenter::sourceName() const
{
    return m_opened.empty() ? QString() : plain(m_opened.front().string());
}

fs::path ImportPresenter::mappingFolder() const
{
    return m_shop.file().parent_path() / "mappings";
}

void ImportPresenter::setState(State state)
{
    if (m_state == state)
        return;
    m_state = state;
    Q_EMIT stateChanged();
}

void ImportPresenter::dropCount()
{
    m_shop.stopImport();
    m_soon.stop();
    ++m_generation;
    if (m_count) {
        m_count.reset();
        Q_EMIT countChanged();
    }
}

bool ImportPresenter::canTake() const
{
    return m_state == State::Counted && m_count && m_look && m_count->source == m_look->source && m_count->report.taken > 0;
}

// --- looking ---------------------------------------------------------------------------------------------------------

void ImportPresenter::open(const std::vector<fs::path>& paths)
{
    if (paths.empty() || m_state == State::Taking)
        return;
    m_opened = paths;
    m_replacing.clear();
    lookAt(paths, std::nullopt, {});
}

void ImportPresenter::paste(const QString& text)
{
    if (m_state == State::Taking)
        return;
    if (text.trimmed().isEmpty()) {
        Q_EMIT said(tr("There are no rows to paste: copy them in the spreadsheet, with the line of names, first."));
        return;
    }
    const fs::path file =
        fs::path(m_pasted.path().toStdString()) / (text.contains(QLatin1Char('\t')) ? "pasted rows.tsv" : "pasted rows.csv");
    dropCount();
    setState(State::Looking);
    m_files.read(
        this, [file, bytes = text.toStdString()] { return db::writeFile(file, bytes); },
        [this, file, generation = m_generation](const Result<void>& written) {
            if (generation != m_generation)
                return;
            if (!written) {
                setState(State::Nothing);
                Q_EMIT said(userText(written.error()));
                return;
            }
            open({file});
        });
}

void ImportPresenter::lookAt(const std::vector<fs::path>& paths, std::optional<db::Mapping> mapping, const QString& after)
{
    dropCount();
    setState(State::Looking);
    Q_EMIT said(tr("Reading %1.").arg(sourceName()));
    m_files.read(
        this, [paths, mapping = std::move(mapping)] { return lookAtFiles(paths, mapping); },
        [this, generation = m_generation, after](const Result<std::shared_ptr<const ImportLook>>& look) {
            if (generation == m_generation)
                looked(look, after);
        });
}

void ImportPresenter::looked(const Result<std::shared_ptr<const ImportLook>>& look, const QString& after)
{
    if (!look) {
        // What was shown stays if only the way of reading it was changed.
        setState(m_look && m_look->source.mapping ? State::Waiting : State::Nothing);
        core::Error error = look.error();
        if (error.code == Errc::CannotRead)
            error.code = Errc::BadInput;  // not the book: a file
        Q_EMIT said(userText(error));
        return;
    }
    m_look = *look;
    m_guessed = after;
    if (after.isEmpty() && m_look->source.mapping) {
        for (const std::string& sentence : m_look->because)
            m_guessed += (m_guessed.isEmpty() ? QString() : QStringLiteral(" ")) + screenWords(sentence);
        if (!m_look->noGuess.empty())
            m_guessed =
                tr("Nothing could be guessed: %1. Say which line has the names, and what each column is.").arg(plain(m_look->noGuess));
    }
    Q_EMIT lookChanged();
    setState(State::Waiting);
    count();
}

// --- the mapping -----------------------------------------------------------------------------------------------------

void ImportPresenter::edit(const db::Mapping& mapping)
{
    if (!m_look || m_state == State::Taking || m_look->source.mapping == mapping)
        return;
    const bool same = m_look->source.mapping && readsTheSame(*m_look->source.mapping, mapping);
    m_guessed.clear();
    m_replacing.clear();
    if (!same) {
        lookAt(m_look->source.paths, mapping, QStringLiteral(" "));
        return;
    }
    auto changed = std::make_shared<ImportLook>(*m_look);
    changed->source.mapping = mapping;
    m_look = std::move(changed);
    dropCount();
    setState(State::Waiting);
    Q_EMIT mappingChanged();
    m_soon.start();
}

void ImportPresenter::guessAgain()
{
    if (m_look && m_look->source.mapping && m_state != State::Taking)
        lookAt(m_look->source.paths, std::nullopt, {});
}

void ImportPresenter::load(const fs::path& mappingFile)
{
    if (!m_look || !m_look->source.mapping || m_state == State::Taking)
        return;
    m_files.read(
        this, [mappingFile] { return db::readMapping(mappingFile); },
        [this](const Result<db::Mapping>& mapping) {
            if (!mapping) {
                core::Error error = mapping.error();
                error.code = Errc::BadInput;
                Q_EMIT said(userText(error));
                return;
            }
            m_replacing = plain(mapping->name);
            lookAt(m_look->source.paths, *mapping, tr("Read through the mapping \"%1\".").arg(plain(mapping->name)));
        });
}

void ImportPresenter::readSaved()
{
    m_files.read(
        this, [folder = mappingFolder()] { return db::savedMappings(folder); },
        [this](std::vector<std::pair<std::string, fs::path>> saved) {
            m_saved = std::move(saved);
            Q_EMIT savedChanged();
        });
}

void ImportPresenter::save(const QString& name)
{
    if (!m_look || !m_look->source.mapping)
        return;
    db::Mapping mapping = *m_look->source.mapping;
    mapping.name = name.trimmed().toStdString();
    if (auto fault = faultOf(mapping)) {
        Q_EMIT said(userText(*fault));
        return;
    }
    const bool overwrite = !m_replacing.isEmpty() && m_replacing == name.trimmed();
    m_files.read(
        this, [mapping, overwrite, folder = mappingFolder()] { return db::saveMapping(folder, mapping, overwrite); },
        [this, name = name.trimmed()](const Result<fs::path>& file) {
            if (!file && file.error().code == Errc::Conflict) {
                m_replacing = name;
                Q_EMIT said(tr("There is already a mapping named \"%1\". Save once more to replace it, or choose another name.").arg(name));
                return;
            }
            if (!file) {
                core::Error error = file.error();
                if (error.code == Errc::CannotWrite)
                    error.code = Errc::BadInput;
                Q_EMIT said(userText(error));
                return;
            }
            m_replacing = name;
            Q_EMIT said(tr("Kept as %1; the command line takes it too: halfcell-cli import --map.").arg(plain(file->string())));
            readSaved();
        });
}

// --- counting and taking ---------------------------------------------------------------------------------------------

void ImportPresenter::count()
{
    if (!m_look || m_state == State::Taking || m_state == State::Looking)
        return;
    dropCount();
    if (m_look->source.mapping)
        if (auto fault = faultOf(*m_look->source.mapping)) {
            setState(State::Waiting);
            Q_EMIT said(userText(*fault));
            return;
        }
    setState(State::Counting);
    Q_EMIT progressed(0.0);
    Q_EMIT said((m_guessed.trimmed().isEmpty() ? QString() : m_guessed + QLatin1Char(' ')) + tr("Counting what would be taken."));
    m_shop.countImport(
        m_look->source, this, [this](double fraction) { Q_EMIT progressed(fraction); },
        [this, generation = m_generation](Result<std::shared_ptr<const ImportCount>> count) {
            if (generation == m_generation)
                showCount(count);
        });
}

void ImportPresenter::showCount(const Result<std::shared_ptr<const ImportCount>>& count)
{
    if (!count) {
        setState(State::Waiting);
        core::Error error = count.error();
        if (error.code == Errc::Cancelled) {
            Q_EMIT said(tr("Stopped. Nothing was counted and nothing is written."));
            return;
        }
        if (error.code == Errc::CannotRead && !error.file.empty())
            error.code = Errc::BadInput;
        Q_EMIT said(userText(error));
        return;
    }
    m_count = *count;
    Q_EMIT countChanged();
    setState(State::Counted);
    const db::ImportReport& report = m_count->report;
    QString sentence = tr("%1 would be taken, %2 refused, %3 known already.")
                           .arg(rowsText(report.taken), numberText(report.refused.size()), numberText(report.unchanged));
    if (report.taken > 0)
        sentence += tr(" Nothing is written yet: Ctrl+Enter takes them in.");
    else if (report.unchanged > 0 && report.refused.empty())
        sentence = tr("All %1 known already; there is nothing to take in.").arg(numberText(report.unchanged));
    else
        sentence += tr(" There is nothing to take in.");
    const bool legacy = legacyRows(report) > 0 || (m_look->source.mapping && mainTable(*m_look->source.mapping) == db::PublicTable::Legacy);
    if (legacy)
        sentence += tr(" These have no millivolts. They come in as legacy and stay marked.");
    if (!m_guessed.trimmed().isEmpty())
        sentence += QLatin1Char(' ') + m_guessed;
    Q_EMIT said(sentence);
}

void ImportPresenter::take()
{
    if (!canTake())
        return;
    setState(State::Taking);
    Q_EMIT progressed(0.0);
    Q_EMIT said(tr("Taking the rows in."));
    // Pasted rows lie in a folder that goes with the program: what is refused of them goes beside the book.
    const bool pasted = m_opened.front().parent_path() == fs::path(m_pasted.path().toStdString());
    const fs::path beside = pasted ? m_shop.file().parent_path() / m_opened.front().filename() : m_opened.front();
    m_shop.takeIn(
        m_count, beside, this, [this](double fraction) { Q_EMIT progressed(fraction); },
        [this](Result<std::shared_ptr<const ImportTaken>> taken) { showTaken(taken); });
}

void ImportPresenter::showTaken(const Result<std::shared_ptr<const ImportTaken>>& answer)
{
    if (!answer) {
        const bool stopped = answer.error().code == Errc::Cancelled;
        setState(stopped ? State::Counted : State::Waiting);
        Q_EMIT said(stopped ? tr("Stopped. Nothing was taken; Ctrl+Enter starts over.") : userText(answer.error()));
        return;
    }
    m_count.reset();
    setState(State::Taken);
    const db::ImportReport& report = (*answer)->report;
    QString sentence = tr("%1 taken, %2 refused, %3 known already.")
                           .arg(rowsText(report.taken), numberText(report.refused.size()), numberText(report.unchanged));
    if (report.taken == 0 && report.refused.empty())
        sentence = tr("All %1 known already; nothing changed.").arg(numberText(report.unchanged));
    if (legacyRows(report) > 0)
        sentence += tr(" The rows without millivolts came in as legacy and stay marked.");
    if (!(*answer)->refusedFile.empty())
        sentence += tr(" What was refused, and why: %1.").arg(plain((*answer)->refusedFile.string()));
    if (!(*answer)->mendFolder.empty())
        sentence += tr(" To mend and take in again: %1.").arg(plain((*answer)->mendFolder.string()));
    Q_EMIT taken(*answer);
    Q_EMIT said(sentence);
}

void ImportPresenter::stop()
{
    if (m_state == State::Looking) {
        ++m_generation;
        setState(m_look ? State::Waiting : State::Nothing);
        Q_EMIT said(tr("Stopped."));
        return;
    }
    m_soon.stop();
    m_shop.stopImport();
}

}  // namespace halfcell::app
