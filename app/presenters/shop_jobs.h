#pragma once

#include "app/presenters/shop.h"

/// How the Shop runs an act as a job. For the Shop's own sources only.
namespace halfcell::app {

template <class T>
void Shop::writeJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done, bool reloadAfter, InPast inPast)
{
    if (!m_writer) {
        done(core::failure(core::Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    if ((m_asKnown || m_wanted) && inPast == InPast::Refused) {
        done(core::failure(core::Errc::Conflict, "nothing can be written while an earlier date is shown", "Esc returns to now"));
        return;
    }
    // The answer must arrive even if the asking widget goes away meanwhile, so that the state is reloaded.
    m_jobs.write(
        this, [book = m_writer, work = std::move(work)] { return work(*book); },
        [this, guard = QPointer<QObject>(context), done = std::move(done), reloadAfter](core::Result<T> answer) {
            const bool worked = answer.has_value();
            if (guard)
                done(std::move(answer));
            if (worked && reloadAfter)
                reload();
        });
}

template <class T>
void Shop::readJob(QObject* context, std::function<core::Result<T>(db::Book&)> work, Answer<T> done)
{
    if (!m_writer) {
        done(core::failure(core::Errc::NotFound, "no book is open", "open a book first"));
        return;
    }
    m_jobs.read(
        context,
        [file = m_file, work = std::move(work)]() -> core::Result<T> {
            auto book = db::Book::open(file, db::OpenMode::ReadOnly);
            if (!book)
                return std::unexpected(book.error());
            return work(*book);
        },
        std::move(done));
}

template <class T>
void Shop::keepingJob(QObject* context, std::shared_ptr<Work> shown, std::function<core::Result<T>()> work, Answer<T> done)
{
    m_jobs.keep(this, std::move(work), [this, shown, guard = QPointer<QObject>(context), done = std::move(done)](core::Result<T> answer) {
        finish(shown);
        if (guard)
            done(std::move(answer));
    });
}

}  // namespace halfcell::app
