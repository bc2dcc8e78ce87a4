#include "app/register/register_presenter.h"

#include "app/panels/plain_words.h"
#include "app/record/figure_working.h"
#include "app/register/upkeep_outline.h"

#include <QDate>
#include <QFutureWatcher>
#include <QLocale>
#include <QtConcurrent>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

RegisterPresenter::RegisterPresenter(Shop& shop, QObject* parent)
    : QObject(parent), m_shop(shop), m_rows(std::make_shared<const std::vector<RegisterRow>>())
{
    m_rebuild.setSingleShot(true);
    m_rebuild.setInterval(0);
    connect(&m_rebuild, &QTimer::timeout, this, &RegisterPresenter::makeRows);
    const auto changed = [this] { rebuild(); };
    connect(&m_shop, &Shop::bookOpened, this, changed);
    connect(&m_shop, &Shop::latestChanged, this, changed);
    connect(&m_shop, &Shop::draftsChanged, this, changed);
    connect(&m_shop, &Shop::holdsChanged, this, changed);
    connect(&m_shop, &Shop::overviewChanged, this, &RegisterPresenter::workOutOutline);
    connect(&m_shop, &Shop::bookClosed, this, [this] {
        ++m_generation;
        ++m_rowsWanted;
        m_rebuild.stop();
        m_outline.reset();
        m_rows = std::make_shared<const std::vector<RegisterRow>>();
        Q_EMIT rowsChanged();
        Q_EMIT shopLineChanged();
    });
    if (m_shop.isOpen())
        rebuild();
    if (m_shop.overview() != nullptr)
        workOutOutline();
}

void RegisterPresenter::rebuild()
{
    m_rebuild.start();
}

void RegisterPresenter::makeRows()
{
    if (!m_shop.isOpen() || m_shop.latest() == nullptr || m_shop.reference() == nullptr)
        return;
    const quint64 wanted = ++m_rowsWanted;
    auto* watcher = new QFutureWatcher<Rows>(this);
    connect(watcher, &QFutureWatcherBase::finished, this, [this, watcher, wanted] {
        watcher->deleteLater();
        if (wanted != m_rowsWanted)
            return;
        m_rows = watcher->future().takeResult();
        Q_EMIT rowsChanged();
        Q_EMIT shopLineChanged();
    });
    watcher->setFuture(QtConcurrent::run([latest = m_shop.latest(), reference = m_shop.reference(), rules = m_shop.rules(),
                                          drafts = m_shop.drafts(), outline = m_outline, now = m_shop.moment()]() -> Rows {
        return std::make_shared<const std::vector<RegisterRow>>(registerRows({.latest = latest.get(),
                                                                              .reference = reference.get(),
                                                                              .rules = &rules,
                                                                              .drafts = &drafts,
                                                                              .outline = outline.get(),
                                                                              .now = now}));
    }));
}

void RegisterPresenter::workOutOutline()
{
    const auto overview = m_shop.overview();
    if (overview == nullptr)
        return;
    const quint64 generation = ++m_generation;
    auto* watcher = new QFutureWatcher<UpkeepOutline>(this);
    connect(watcher, &QFutureWatcherBase::finished, this, [this, watcher, generation] {
        watcher->deleteLater();
        if (generation != m_generation)
            return;
        m_outline = std::make_shared<const UpkeepOutline>(watcher->future().takeResult());
        rebuild();
    });
    watcher->setFuture(QtConcurrent::run([overview, now = m_shop.moment()] { return outlineOf(*overview, now); }));
}

std::vector<ShopLinePart> RegisterPresenter::shopLine() const
{
    if (!ready())
        return {{.text = tr("No book is open.")}};
    if (m_rows->empty())
        return {{.text = tr("No sensors here. Ctrl+N adds one; Cabinet > Import takes a list.")}};
    int sensors = 0, now = 0, week = 0, within = 0, few = 0, conflicts = 0;
    for (const RegisterRow& row : *m_rows) {
        if (row.kind == RowKind::TwoAtPoint)
            ++conflicts;
        if (row.kind != RowKind::Sensor || row.scrapped())
            continue;
        ++sensors;
        switch (row.need) {
        case Need::Now: ++now; break;
        case Need::Week: ++week; break;
        case Need::Within: ++within; break;
        case Need::TooLittle: ++few; break;
        }
    }
    std::vector<ShopLinePart> parts{{.text = sensors == 1 ? tr("1 sensor.") : tr("%1 sensors.").arg(countText(sensors))}};
    std::vector<ShopLinePart> counts;
    const auto count = [&](int n, const QString& one, const QString& many, const QString& link) {
        if (n > 0)
            counts.push_back({.text = n == 1 ? one : many.arg(countText(n)), .link = link});
    };
    count(now, tr("1 needs someone now"), tr("%1 need someone now"), u"need/now"_s);
    count(week, tr("1 needs work this week"), tr("%1 need work this week"), u"need/week"_s);
    count(within, tr("1 is within limits"), tr("%1 are within limits"), u"need/within"_s);
    count(few, tr("1 has too little data"), tr("%1 have too little data"), u"need/few"_s);
    for (std::size_t i = 0; i < counts.size(); ++i) {
        parts.push_back({.text = i == 0 ? u" "_s : u", "_s});
        parts.push_back(counts[i]);
    }
    parts.push_back({.text = u"."_s});
    if (conflicts > 0)
        parts.push_back({.text = conflicts == 1 ? tr(" At one point two sensors are recorded.")
                                                : tr(" At %1 points two sensors are recorded.").arg(conflicts)});
    if (m_outline != nullptr && m_outline->nextRoundDay) {
        const QDate day = QDate(1970, 1, 1).addDays(*m_outline->nextRoundDay);
        const bool today = *m_outline->nextRoundDay == localDay(m_shop.moment());
        const QString jobs = m_outline->nextRoundJobs == 1 ? tr("1 job") : tr("%1 jobs").arg(m_outline->nextRoundJobs);
        parts.push_back({.text = tr(" Next round: %1, %2.").arg(today ? tr("today") : QLocale().dayName(day.dayOfWeek()), jobs)});
    }
    return parts;
}

const db::LatestState* RegisterPresenter::stateOf(const QString& serial) const
{
    const auto latest = m_shop.latest();
    if (latest == nullptr)
        return nullptr;
    const auto it = std::ranges::find(*latest, serial.toStdString(), &db::LatestState::serial);
    return it == latest->end() ? nullptr : &*it;
}

PeekPage RegisterPresenter::peek(const RegisterRow& row) const
{
    PeekPage page;
    page.sentence = row.sentence;
    if (row.kind != RowKind::Sensor) {
        page.serial = row.tag;
        page.place = row.placeWords;
        page.sentence = row.note;
        return page;
    }
    page.serial = row.serial;
    page.place = row.tag.isEmpty() ? row.placeWords : tr("at %1 %2").arg(row.tag, row.placeWords);
    if (!row.since.isEmpty())
        page.place += u", "_s + row.since;
    page.keys = tr("Enter opens the Record · Ctrl+L starts a visit · Ctrl+M moves it");
    page.line.sensor = row.serial;
    page.line.now = m_shop.moment().utcSeconds;
    const bool orp = row.sensorKind == core::SensorKind::Orp;
    LifeLinePanel panel{.key = orp ? u"offset_mv"_s : u"efficiency_pct"_s,
                        .title = orp ? tr("Offset, as left") : tr("Efficiency, as left"),
                        .unit = orp ? u"mV"_s : u"%"_s,
                        .scale = orp ? PanelScale::Symmetric : PanelScale::Efficiency,
                        .decimals = 1,
                        .sign = orp};
    for (const Sparkline::Point& point : row.spark.points)
        panel.points.push_back({.utc = point.utc, .phase = core::Phase::AsLeft, .value = point.value, .joined = point.joined});
    if (row.rule) {
        panel.limits.push_back({.value = row.rule->use, .bad = BadSide::Below, .kind = LimitKind::Use, .name = tr("use")});
        panel.limits.push_back({.value = row.rule->maintenance,
                                .bad = BadSide::Below,
                                .kind = LimitKind::Maintenance,
                                .name = tr("maintenance"),
                                .hatched = false});
    }
    page.line.panels.push_back(std::move(panel));
    return page;
}

bool RegisterPresenter::writable()
{
    if (!m_shop.isOpen()) {
        Q_EMIT refused(tr("No book is open."));
        return false;
    }
    if (m_shop.asKnown()) {
        Q_EMIT refused(tr("This is the book as known on an earlier day; nothing can be written. Esc returns to now."));
        return false;
    }
    return true;
}

void RegisterPresenter::move(const QString& serial, const QString& place, const QString& when, std::optional<core::RemovalReason> reason)
{
    if (!writable())
        return;
    const db::LatestState* state = stateOf(serial);
    if (state == nullptr) {
        Q_EMIT refused(tr("%1 is not in this book.").arg(serial));
        return;
    }
    const MoveAsk ask = askMove(*state, *m_shop.reference(), place, when, reason, m_shop.now());
    if (!ask.move) {
        Q_EMIT refused(ask.refusal);
        return;
    }
    const QString words = isStore(ask.move->place) ? placeWord(ask.move->place) : plain(ask.move->place);
    m_shop.moveSensor(ask.move->serial, ask.move->place, ask.move->when, ask.move->reason, this,
                      [this, serial, words](core::Result<bool> done) {
                          if (done)
                              Q_EMIT moved(tr("%1 is now recorded at: %2.").arg(serial, words));
                          else
                              Q_EMIT refused(userText(done.error()));
                      });
}

void RegisterPresenter::addSensor(const QString& serial, const QString& model, const QString& place, const QString& when)
{
    if (!writable())
        return;
    NewSensorAsk ask = askNewSensor(serial, model, place, when, *m_shop.reference(), *m_shop.latest(), m_shop.now());
    if (!ask.rows) {
        Q_EMIT refused(ask.refusal);
        return;
    }
    const QString key = plain(ask.rows->sensors.front().serial);
    m_shop.addRows(std::move(*ask.rows), this, [this, key](core::Result<db::WriteCount> done) {
        if (done)
            Q_EMIT added(key, tr("%1 is in the book. First readings make its baseline.").arg(key));
        else
            Q_EMIT refused(userText(done.error()));
    });
}

void RegisterPresenter::askWorking(const QString& serial, const QString& figure)
{
    m_shop.loadDossier(serial.toStdString(), this, [this, figure](core::Result<std::shared_ptr<const Dossier>> dossier) {
        if (!dossier) {
            Q_EMIT refused(userText(dossier.error()));
            return;
        }
        Q_EMIT workingReady(latestWorking(**dossier, figure.toStdString(), m_shop.moment()));
    });
}

}  // namespace halfcell::app
