#include "app/bench/round_kit.h"

#include <QSettings>
#include <QString>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

std::string RoundKit::lotOf(const std::string& standard) const
{
    const auto found = lots.find(standard);
    return found != lots.end() ? found->second : std::string();
}

std::vector<const Lot*> bottlesOf(const Records& reference, const std::string& standard, const Instant& now)
{
    std::vector<const Lot*> bottles;
    for (const Lot& lot : reference.lots)
        if (lot.standard == standard && !(lot.discarded && *lot.discarded <= now))
            bottles.push_back(&lot);
    std::stable_sort(bottles.begin(), bottles.end(), [](const Lot* a, const Lot* b) {
        if (a->opened.has_value() != b->opened.has_value())
            return a->opened.has_value();
        return a->opened && *b->opened < *a->opened;
    });
    return bottles;
}

const Lot* usualBottle(const Records& reference, const RuleSet& rules, const std::string& standard, const Instant& now)
{
    for (const Lot* lot : bottlesOf(reference, standard, now))
        if (lot->opened && *lot->opened <= now && daysBetween(*lot->opened, now) <= rules.openLifeDays(standard) && !(lot->expires && *lot->expires < now))
            return lot;
    return nullptr;
}

namespace {

QString groupOf(const std::string& person)
{
    return QStringLiteral("bench/kit/") + QString::fromStdString(person.empty() ? std::string("-") : person);
}

}  // namespace

RoundKit rememberedKit(const std::string& person)
{
    RoundKit kit;
    QSettings settings;
    settings.beginGroup(groupOf(person));
    kit.meter = settings.value(QStringLiteral("meter")).toString().toStdString();
    kit.thermometer = settings.value(QStringLiteral("thermometer")).toString().toStdString();
    settings.beginGroup(QStringLiteral("lots"));
    const QStringList standards = settings.childKeys();
    for (const QString& standard : standards)
        kit.lots[standard.toStdString()] = settings.value(standard).toString().toStdString();
    return kit;
}

void rememberKit(const std::string& person, const RoundKit& kit)
{
    QSettings settings;
    settings.beginGroup(groupOf(person));
    settings.setValue(QStringLiteral("meter"), QString::fromStdString(kit.meter));
    settings.setValue(QStringLiteral("thermometer"), QString::fromStdString(kit.thermometer));
    settings.beginGroup(QStringLiteral("lots"));
    settings.remove(QString());
    for (const auto& [standard, lot] : kit.lots)
        settings.setValue(QString::fromStdString(standard), QString::fromStdString(lot));
}

}  // namespace halfcell::app::bench
