#pragma once

#include <QFuture>
#include <QFutureWatcher>
#include <QObject>
#include <QPointer>
#include <QThreadPool>
#include <QtConcurrent>

#include <functional>
#include <utility>

namespace halfcell::app {

/// Work off the GUI thread. Two pools: `writing` runs one job at a time, in order (it owns the writing connection), and
/// `reading` computes side by side. The answer is delivered on the GUI thread, only while `context` lives. GUI thread only.
class JobQueue {
public:
    JobQueue()
    {
        m_writing.setMaxThreadCount(1);
        m_writing.setExpiryTimeout(-1);
        m_reading.setMaxThreadCount(2);
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
    /// Waits until both pools are idle (closing, tests).
    void waitForAll()
    {
        m_writing.waitForDone();
        m_reading.waitForDone();
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

    QThreadPool m_writing, m_reading;
};

}  // namespace halfcell::app
