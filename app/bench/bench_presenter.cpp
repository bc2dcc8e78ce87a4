#include "app/bench/bench_presenter.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/figures.h"

#include <QRandomGenerator>
#include <QStandardPaths>
#include <QUuid>

#include <algorithm>

/// The form: what each key does to the visit and to the book. Opening, drafts and today's work: bench_presenter_open.cpp.
namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr int kFindingsDelayMs = 15;  ///< after the last digit; the figures themselves are there at once

}  // namespace

BenchPresenter::BenchPresenter(Shop& shop, SecondsClock seconds, QObject* parent)
    : QObject(parent), m_shop(shop), m_seconds(std::move(seconds))
{
    m_elapsed.start();
    m_spareFolder =
        std::filesystem::path(QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation).toStdString()) / "halfcell" / "spare";
    if (!m_seconds)
        m_seconds = [this] { return static_cast<double>(m_elapsed.elapsed()) / 1000.0; };
    m_findings.setSingleShot(true);
    m_findings.setInterval(kFindingsDelayMs);
    connect(&m_findings, &QTimer::timeout, this, [this] {
        if (!m_model)
            return;
        addFindings(m_live, m_model->hand());
        Q_EMIT liveChanged();
    });
    connect(&m_shop, &Shop::overviewChanged, this, &BenchPresenter::planToday);
    connect(&m_shop, &Shop::draftsChanged, this, &BenchPresenter::startChanged);
    connect(&m_shop, &Shop::latestChanged, this, &BenchPresenter::startChanged);
    connect(&m_shop, &Shop::bookOpened, this, [this] {
        loadKit();
        Q_EMIT startChanged();
    });
    connect(&m_shop, &Shop::personChanged, this, &BenchPresenter::loadKit);
    connect(&m_shop, &Shop::bookClosed, this, [this] {
        m_model.reset();
        m_jobs.clear();
        m_jobsKnown = false;
        Q_EMIT pageChanged();
        Q_EMIT startChanged();
    });
    if (m_shop.isOpen()) {
        loadKit();
        planToday();
    }
}

BenchPresenter::~BenchPresenter() = default;

Moment BenchPresenter::moment() const
{
    return {m_shop.now(), m_seconds(), m_shop.person().toStdString()};
}

// --- after a key -----------------------------------------------------------------------------------------------------

void BenchPresenter::say(const QString& text, const Stop& at)
{
    m_said = toScreen(text);
    m_saidAt = at;
}

void BenchPresenter::follow(const Outcome& outcome, const Stop& before)
{
    // A refusal stands at the field that refused; a question at the reading it asks about.
    const Stop where = !outcome.done || m_model->asked() ? m_model->stop() : before;
    say(outcome.say, where);
    if (outcome.keep) {
        writeHolds();
        keepDraft();
    }
    recompute();
    Q_EMIT formChanged();
    Q_EMIT stopChanged();
}

void BenchPresenter::recompute()
{
    auto fresh = liveFigures(m_model->draft(), m_model->hand());
    // Findings of the moment before stand until the new ones are there.
    fresh.findings = std::move(m_live.findings);
    fresh.signal = m_live.signal;
    fresh.verdict = m_live.verdict;
    fresh.sentence = m_live.sentence;
    fresh.common = std::move(m_live.common);
    m_live = std::move(fresh);
    Q_EMIT liveChanged();
    m_findings.start();
}

void BenchPresenter::type(const Stop& stop, const std::string& text)
{
    if (!m_model || m_model->typed(stop) == text)
        return;
    m_model->type(stop, text);
    if (!m_said.isEmpty() && m_saidAt == stop && !m_model->asked()) {
        m_said.clear();
        Q_EMIT formChanged();
    }
    recompute();
}

void BenchPresenter::refuse(const QString& why, const Stop& stop)
{
    say(why.left(1).toUpper() + why.mid(1) + (why.endsWith(u'.') ? QString() : QStringLiteral(".")), stop);
    Q_EMIT formChanged();
    Q_EMIT announced(m_said);
}

void BenchPresenter::goTo(const Stop& stop)
{
    if (!m_model || m_quiet || m_model->stop() == stop || m_model->box())
        return;
    m_model->goTo(stop);
    Q_EMIT stopChanged();
}

void BenchPresenter::enter()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    if (before.kind == StopKind::Log) {
        log();
        return;
    }
    m_other.reset();
    const std::string cable = before.kind == StopKind::Serial ? m_model->typed(before) : std::string();
    const auto outcome = m_model->enter(moment());
    follow(outcome, before);
    if (before.kind == StopKind::Serial) {
        const bool again = !outcome.done && cable == m_refusedSerial;
        m_refusedSerial = outcome.done || cable.size() < 2 ? std::string() : cable;
        if (again && !m_refusedSerial.empty())
            askFromCable();
    }
    if (outcome.done && before.kind == StopKind::Approve) {
        log();
        return;
    }
    if (outcome.done && isDipStop(before))
        announceReading(before);
    if (!m_said.isEmpty())
        Q_EMIT announced(m_said);
}

void BenchPresenter::announceReading(const Stop& taken)
{
    const LivePhase& phase = m_live.phase(taken.phase);
    const Figure figure{.value = m_live.visit.readings.empty() || m_model->hand().kind() == SensorKind::Ph ? phase.figures.efficiency_pct
                                                                                                           : phase.figures.offset_mv,
                        .decimals = m_model->hand().kind() == SensorKind::Ph ? 1 : 0,
                        .sign = m_model->hand().kind() == SensorKind::Ph ? Sign::WhenNegative : Sign::Always,
                        .expanded = {},
                        .unit = m_model->hand().kind() == SensorKind::Ph ? QStringLiteral("%") : QStringLiteral("mV"),
                        .reason = {},
                        .lead = {}};
    if (!figure.value)
        return;
    QString text = spokenText(figure);
    if (!phase.change.isEmpty())
        text += QStringLiteral(", ") + phase.change;
    Q_EMIT announced(text);
}

void BenchPresenter::back()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    follow(m_model->back(), before);
}

void BenchPresenter::up()
{
    if (!m_model)
        return;
    m_model->up();
    Q_EMIT stopChanged();
}

void BenchPresenter::space()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    follow(m_model->space(moment()), before);
}

bool BenchPresenter::press(QChar key)
{
    if (!m_model)
        return false;
    if (!m_otherScan.isEmpty() && (key == u'1' || key == u'2')) {
        const QString code = m_otherScan;
        m_otherScan.clear();
        m_said.clear();
        if (key == u'2') {
            park();
            scan(code);
        } else {
            Q_EMIT formChanged();
        }
        return true;
    }
    if (answerWhichSensor(key))
        return true;
    const Stop before = m_model->stop();
    const char ascii = key.toLatin1();
    if (ascii == 0)
        return false;
    const auto outcome = m_model->press(ascii, moment());
    if (!outcome.done && outcome.say.isEmpty())
        return false;
    follow(outcome, before);
    if (!outcome.say.isEmpty())
        Q_EMIT announced(m_said);
    return true;
}

void BenchPresenter::backspace()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    const auto outcome = m_model->backspace();
    if (outcome.done)
        follow(outcome, before);
}

void BenchPresenter::turnSign()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    const auto outcome = m_model->turnSign(moment());
    if (outcome.done)
        follow(outcome, before);
}

void BenchPresenter::exchange()
{
    if (!m_model)
        return;
    const Stop before = m_model->stop();
    const auto outcome = m_model->exchange(moment());
    if (outcome.done)
        follow(outcome, before);
}

void BenchPresenter::answerBox(QChar key)
{
    if (!m_model || !m_model->box())
        return;
    const Stop before = m_model->stop();
    follow(m_model->answerBox(key.toLatin1(), moment()), before);
}

void BenchPresenter::finishRemoval(RemovalReason reason, const QString& newSerial)
{
    if (!m_model)
        return;
    const std::string serial = newSerial.trimmed().toStdString();
    if (!serial.empty()) {
        const auto& sensors = m_shop.reference()->sensors;
        if (std::none_of(sensors.begin(), sensors.end(), [&](const Sensor& s) { return s.serial == serial; })) {
            say(tr("%1 is not in this book. Add it as a new sensor first (Register, Ctrl+N).").arg(newSerial.trimmed()), m_model->stop());
            Q_EMIT formChanged();
            return;
        }
    }
    const Stop before = m_model->stop();
    follow(m_model->finishRemoval(reason, serial, moment()), before);
}

void BenchPresenter::cancelRemoval()
{
    if (!m_model)
        return;
    follow(m_model->cancelRemoval(), m_model->stop());
}

void BenchPresenter::setStandard(Phase phase, std::size_t dip, const std::string& standard)
{
    if (!m_model)
        return;
    follow(m_model->setStandard(phase, dip, standard, m_kit.lotOf(standard), moment()), {StopKind::Mv, phase, dip});
}

void BenchPresenter::addDip(Phase phase, const std::string& standard)
{
    if (!m_model)
        return;
    follow(m_model->addDip(phase, standard, m_kit.lotOf(standard)), m_model->stop());
}

void BenchPresenter::removeDip(Phase phase, std::size_t dip)
{
    if (!m_model)
        return;
    follow(m_model->removeDip(phase, dip), m_model->stop());
}

void BenchPresenter::setAgent(std::size_t step, const QString& agent)
{
    if (!m_model)
        return;
    follow(m_model->setAgent(step, agent.trimmed().toStdString(), moment()), m_model->stop());
}

void BenchPresenter::setTest(const std::string& column, const std::string& cell)
{
    if (!m_model)
        return;
    auto& tests = m_model->draft().tests;
    if (cell.empty())
        tests.erase(column);
    else
        tests[column] = cell;
    keepDraft();
    recompute();
}

void BenchPresenter::setKeyed(bool keyed)
{
    if (!m_model || m_model->draft().keyed == keyed)
        return;
    m_model->setKeyed(keyed);
    keepDraft();
}

QString BenchPresenter::settleWords() const
{
    if (!m_model)
        return {};
    const SettleClock& clock = m_model->clock();
    const auto change = clock.changeIn30s();
    if (!change) {
        const double least = m_model->hand().leastWaitSeconds();
        const auto elapsed = clock.elapsed(m_seconds());
        if (elapsed && *elapsed < least)
            return tr("wait: %1 s is the least here").arg(figureText(least, 0, Sign::WhenNegative));
        return elapsed ? tr("the least wait is over") : QString();
    }
    const QString size = figureText(*change, 1, Sign::WhenNegative);
    if (const QString where = seriesWords(clock.series()); !where.isEmpty())
        return tr("%1 mV in 30 s: %2").arg(size, where);
    return *change < SettleClock::kSettledMv ? tr("%1 mV in 30 s: settled").arg(size) : tr("%1 mV in 30 s: still moving").arg(size);
}

std::string timeOrderedKey(qint64 utcMilliseconds)
{
    // RFC 9562, version 7: 48 bits of Unix milliseconds, version, 12 random bits, variant, 62 random bits.
    auto* random = QRandomGenerator::system();
    const quint64 a = random->generate64();
    const quint64 b = random->generate64();
    const auto ms = static_cast<quint64>(utcMilliseconds);
    const uint high = static_cast<uint>(ms >> 16);
    const auto low = static_cast<ushort>(ms & 0xffff);
    const auto version = static_cast<ushort>(0x7000 | (a & 0x0fff));
    const auto byte = [b](int i) { return static_cast<uchar>((b >> (8 * i)) & 0xff); };
    const QUuid id(high, low, version, static_cast<uchar>(0x80 | (byte(0) & 0x3f)), byte(1), byte(2), byte(3), byte(4), byte(5), byte(6),
                   byte(7));
    return id.toString(QUuid::WithoutBraces).toStdString();
}

std::string BenchPresenter::newVisitKey() const
{
    return timeOrderedKey(m_shop.now().utcSeconds * 1000);
}

}  // namespace halfcell::app::bench
