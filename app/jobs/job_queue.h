#pragma once

#include <QFuture>
#include <QFutureWatcher>
#include <QObject>
#include <QPointer>
#include <QThread>
#include <QThreadPool>
#include <QtConcurrent>

#include <functional>
#include <utility>

namespace halfcell::app {

/// Work off the GUI thread. Three pools: `writing` runs one job at a time, in order (it owns the writing connection),
/// `reading` computes side by side, and `keeping` runs what takes long and nobody waits for (checking, copying), so that it
/// never stands in the way of a page. The answer is delivered on the GUI thread, only while `context` lives. GUI thread only.
class JobQueue {
public:
    JobQueue()
    {
        m_writing.setMaxThreadCount(1);
        m_writing.setExpiryTimeout(-1);
        m_reading.setMaxThreadCount(2);
        m_keeping.setMaxThreadCount(1);
        m_keeping.setThreadPriority(QThread::LowPriority);
    }
    ~JobQueue() { waitForAll(); }
    JobQueue(const JobQueue&) = delete;
    JobQueue& operator=(const JobQueue&) = delete;

    /// Runs `work` in order behind earlier writes; then `done(result)` on the GUI thread.
    template <class Work, class Done>
    void write(QObject* context, Work work, Done done)
    {
        run(m_writing, context, std::move(work), std::move(done));
    }
    /// Runs `work` beside other reads; then `done(result)` on the GUI thread.
    template <class Work, class Done>
    void read(QObject* context, Work work, Done done)
    {
        run(m_reading, context, std::move(work), std::move(done));
    }
    /// Runs `work` behind other long reads; then `done(result)` on the GUI thread.
    template <class Work, class Done>
    void keep(QObject* context, Work work, Done done)
    {
        run(m_keeping, context, std::move(work), std::move(done));
    }
    /// Waits until all pools are idle (closing, tests).
    void waitForAll()
    {
        m_writing.waitForDone();
        m_reading.waitForDone();
        m_keeping.waitForDone();
    }

private:
    template <class Work, class Done>
    void run(QThreadPool& pool, QObject* context, Work work, Done done)
    {
        using Answer = std::invoke_result_t<Work>;
        auto* watcher = new QFutureWatcher<Answer>(context);
        QObject::connect(watcher, &QFutureWatcherBase::finished, context, [watcher, done = std::move(done)]() mutable {
            watcher->deleteLater();
            done(watcher->future().takeResult());
        });
        watcher->setFuture(QtConcurrent::run(&pool, std::move(work)));
    }

    QThreadPool m_writing, m_reading, m_keeping;
};

}  // namespace halfcell::app
