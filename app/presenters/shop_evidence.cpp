// What the past of the book says, worked out once for what is known and kept until that changes.
#include "app/presenters/evidence.h"
#include "app/presenters/shop_jobs.h"

#include <QThread>

#include <algorithm>

namespace halfcell::app {

using namespace core;

namespace {

Result<std::shared_ptr<const Evidence>> workedOut(std::shared_ptr<const Overview> overview, const std::function<bool(double)>& goOn)
{
    outlook::WalkSettings settings;
    settings.learning.threads = static_cast<unsigned>(std::max(1, QThread::idealThreadCount() - 1));
    settings.learning.progress = goOn;
    auto book = outlook::bookOutlook(*overview->plant, overview->figures, overview->rules, settings);
    if (!book)
        return std::unexpected(book.error());
    auto evidence = std::make_shared<Evidence>();
    evidence->score = outlook::scoreOf(book->shop, book->walk);
    evidence->services = servicesOf(*overview->plant, overview->figures, *book);
    evidence->suspects = suspectsOf(*overview->plant, overview->figures, *book);
    evidence->book = std::move(*book);
    evidence->overview = std::move(overview);
    return std::shared_ptr<const Evidence>(std::move(evidence));
}

}  // namespace

void Shop::evidence(QObject* context, Answer<std::shared_ptr<const Evidence>> done)
{
    if (!m_overview) {
        done(failure(Errc::NotFound, "the book is still being read", "wait until the shop is worked out"));
        return;
    }
    if (m_evidence && m_evidence->overview == m_overview) {
        done(m_evidence);
        return;
    }
    m_evidenceAsked.emplace_back(QPointer<QObject>(context), std::move(done));
    if (m_evidenceAsked.size() == 1)
        workOutEvidence();
}

void Shop::workOutEvidence()
{
    const auto work = begin(tr("Learning from the past"));
    keepingJob<std::shared_ptr<const Evidence>>(
        this, work, [overview = m_overview, goOn = watched(work)] { return workedOut(overview, goOn); },
        [this](Result<std::shared_ptr<const Evidence>> answer) {
            if (answer && (*answer)->overview != m_overview && m_overview) {
                workOutEvidence();  // something was written meanwhile
                return;
            }
            if (answer)
                m_evidence = *answer;
            const auto asked = std::move(m_evidenceAsked);
            m_evidenceAsked.clear();
            for (const auto& [context, done] : asked)
                if (context)
                    done(answer);
        });
}

}  // namespace halfcell::app
