// What the past of the book says, worked out once for what is known and kept until that changes.
#include "app/presenters/evidence.h"
#include "app/presenters/shop_jobs.h"

#include "app/service/outlook_request.h"

#include <QThread>

#include <algorithm>
#include <iterator>

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

/// Weeks ahead at which a fan is drawn: from now on, denser where it bends.
const std::vector<double> kFanWeeks{0.1, 1, 2, 3, 4, 6, 8, 10, 13, 16, 20, 26, 32, 39, 45, 52};

std::shared_ptr<const SensorEvidence> ofSensor(std::shared_ptr<const Evidence> evidence, std::size_t sensor, const Instant& now)
{
    auto of = std::make_shared<SensorEvidence>();
    outlook::OutlookRequest request = outlookRequest(*evidence->overview, now, kFanWeeks);
    request.working = false;
    of->fan = outlook::outlookOf(evidence->book, sensor, request).forecasts;
    request.weeks = {4, 8, 13, 26, 52};
    if (const auto due = request.nextDue(evidence->book.shop.series[sensor]))
        request.weeks.insert(request.weeks.begin(), std::max(daysBetween(now, *due) / 7.0, kFanWeeks.front()));
    request.working = true;
    of->ahead = outlook::outlookOf(evidence->book, sensor, request);
    std::ranges::copy_if(evidence->book.walk.past, std::back_inserter(of->issued),
                         [sensor](const outlook::PastForecast& past) { return past.sensor == sensor; });
    of->evidence = std::move(evidence);
    return of;
}

}  // namespace

void Shop::outlook(std::string serial, QObject* context, Answer<std::shared_ptr<const SensorEvidence>> done)
{
    evidence(context, [this, serial = std::move(serial), guard = QPointer<QObject>(context),
                       done = std::move(done)](Result<std::shared_ptr<const Evidence>> answer) {
        if (!answer)
            return done(std::unexpected(answer.error()));
        const auto& series = (*answer)->book.shop.series;
        const auto found = std::ranges::find(series, serial, &outlook::Series::serial);
        if (found == series.end())
            return done(failure(Errc::NotFound, "nothing was measured on " + serial + " yet", "log its first visit"));
        m_jobs.read(
            guard,
            [evidence = *answer, sensor = static_cast<std::size_t>(found - series.begin()),
             now = moment()]() -> Result<std::shared_ptr<const SensorEvidence>> { return ofSensor(evidence, sensor, now); },
            done);
    });
}

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
