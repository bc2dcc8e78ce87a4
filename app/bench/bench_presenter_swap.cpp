#include "app/bench/bench_presenter.h"
#include "app/bench/number_entry.h"
#include "app/bench/say.h"

#include <algorithm>

/// Another sensor is in the pipe than the book says: what that means, and writing it down.
namespace halfcell::app::bench {

using namespace core;

namespace {

QString placeWords(const std::string& place, bool isPoint)
{
    if (isPoint)
        return Say::tr("at %1").arg(QString::fromStdString(place));
    if (place == kShelf)
        return Say::tr("on the shelf");
    if (place == kSoak)
        return Say::tr("in soak");
    if (place == kBench)
        return Say::tr("on the bench");
    if (place == kQuarantine)
        return Say::tr("in quarantine");
    if (place == kScrap)
        return Say::tr("scrapped");
    return Say::tr("nowhere");
}

bool endsWith(const std::string& serial, const std::string& typed)
{
    return serial.size() >= typed.size() && std::equal(typed.rbegin(), typed.rend(), serial.rbegin(),
                                                       [](unsigned char a, unsigned char b) { return std::toupper(a) == std::toupper(b); });
}

}  // namespace

void BenchPresenter::askWhichSensor(const std::string& serial)
{
    OtherSensor other{.serial = serial, .at = {}, .atPoint = false, .dayKnown = true, .asksWhere = false};
    for (const db::LatestState& state : *m_shop.latest())
        if (state.serial == serial)
            other.at = state.place;
    const auto& points = m_shop.reference()->points;
    other.atPoint = std::ranges::any_of(points, [&](const Point& p) { return p.tag == other.at; });
    const VisitDraft& draft = m_model->draft();
    QString text = tr("%1 is in hand; the book has it %2, and %3 here.")
                       .arg(QString::fromStdString(serial), placeWords(other.at, other.atPoint), QString::fromStdString(draft.serial));
    if (other.atPoint)
        text += u' ' + tr("1 I stand at %1 ·").arg(QString::fromStdString(other.at));
    text += u' ' + tr("2 swapped now · 3 found swapped, day not known · 4 misread, scan again");
    m_other = std::move(other);
    say(text, m_model->stop());
    Q_EMIT formChanged();
    Q_EMIT announced(m_said);
}

void BenchPresenter::askFromCable()
{
    const VisitDraft& draft = m_model->draft();
    const QString cable = QString::fromStdString(m_refusedSerial);
    std::vector<std::string> fit;
    for (const Sensor& sensor : m_shop.reference()->sensors)
        if (sensor.serial != draft.serial && endsWith(sensor.serial, m_refusedSerial))
            fit.push_back(sensor.serial);
    // Those in the pipes come first: a sensor that hangs here was not scrapped.
    std::vector<std::string> likely;
    for (const db::LatestState& state : *m_shop.latest())
        if (std::ranges::find(fit, state.serial) != fit.end() && state.place != kScrap)
            likely.push_back(state.serial);
    if (likely.size() == 1) {
        askWhichSensor(likely.front());
        return;
    }
    constexpr std::size_t kNamed = 4;
    QStringList names;
    for (std::size_t i = 0; i < std::min(kNamed, likely.size()); ++i)
        names << QString::fromStdString(likely[i]);
    if (likely.empty())
        say(tr("No sensor of this book ends in %1. Type it again, or add it as a new sensor first (Register, Ctrl+N).").arg(cable),
            m_model->stop());
    else
        say(tr("%1 end in %2. Scan the one in hand, or type more of its serial.").arg(names.join(QStringLiteral(", ")), cable),
            m_model->stop());
    Q_EMIT formChanged();
    Q_EMIT announced(m_said);
}

bool BenchPresenter::answerWhichSensor(QChar key)
{
    if (!m_other)
        return false;
    const OtherSensor other = *m_other;
    const Stop here = m_model->stop();
    if (key < u'1' || key > u'4' || (key == u'1' && !other.atPoint)) {
        // Anything else goes on typing.
        m_other.reset();
        m_said.clear();
        return false;
    }
    if (other.asksWhere) {
        settleSwap(key == u'1' ? other.at : key == u'2' ? std::string(kBench) : key == u'3' ? std::string(kQuarantine) : std::string());
        return true;
    }
    if (key == u'1') {
        park();
        openVisit(other.serial, SerialSeen::Scanned);
        return true;
    }
    if (key == u'4') {
        m_other.reset();
        m_refusedSerial.clear();
        m_model->draft().serialTyped.clear();
        m_model->goTo({StopKind::Serial});
        say(tr("Scan it again, or the last characters of the serial on the cable."), m_model->stop());
        Q_EMIT formChanged();
        Q_EMIT stopChanged();
        return true;
    }
    m_other->dayKnown = key == u'2';
    m_other->asksWhere = true;
    QString text = tr("Where is %1 now?").arg(QString::fromStdString(m_model->draft().serial));
    if (other.atPoint)
        text += u' ' + tr("1 at %1, in its place ·").arg(QString::fromStdString(other.at));
    say(text + u' ' + tr("2 on the bench · 3 in quarantine · 4 not known"), here);
    Q_EMIT formChanged();
    Q_EMIT announced(m_said);
    return true;
}

void BenchPresenter::settleSwap(const std::string& displacedTo)
{
    const OtherSensor other = *m_other;
    m_other.reset();
    const VisitDraft draft = m_model->draft();
    const db::FoundSwap found{.inHand = other.serial,
                              .displaced = draft.serial,
                              .point = draft.tag,
                              .displacedTo = displacedTo,
                              .when = m_shop.now(),
                              .dayKnown = other.dayKnown};
    m_shop.settleSwap(found, this, [this, found, draft](const Result<bool>& done) {
        if (!m_model || m_model->draft().id != draft.id)
            return;
        if (!done) {
            say(userText(done.error()), m_model->stop());
            Q_EMIT formChanged();
            Q_EMIT announced(m_said);
            return;
        }
        giveVisitTo(found);
    });
}

void BenchPresenter::giveVisitTo(const db::FoundSwap& found)
{
    openDossier(found.inHand, [this, found, id = m_model->draft().id](std::shared_ptr<const SensorInHand> hand) {
        if (!m_model || m_model->draft().id != id)
            return;
        // Whatever is typed stays; the dips are those of the other sensor as long as nothing was read.
        VisitDraft draft = m_model->draft();
        const VisitDraft fresh = BenchModel::freshDraft(*hand, draft.id, draft.begun, draft.person);
        draft.serial = found.inHand;
        draft.kind = fresh.kind;
        draft.serialSeen = SerialSeen::Scanned;
        draft.serialTyped.clear();
        if (!draft.found.hasReading())
            draft.found = fresh.found;
        const std::string note =
            found.dayKnown ? "swapped with " + found.displaced : "found in place of " + found.displaced + ", day not known";
        draft.remark += (draft.remark.empty() ? "" : "; ") + note;
        fillLots(draft);
        start(std::move(draft), std::move(hand));
        keepDraft();
        say(tr("Written down: %1 is at %2. This visit is to %1 now.")
                .arg(QString::fromStdString(found.inHand), QString::fromStdString(found.point)),
            m_model->stop());
        Q_EMIT formChanged();
        Q_EMIT announced(m_said);
    });
}

}  // namespace halfcell::app::bench
