#include "app/record/first_written.h"

#include "core/fleet/columns.h"

#include <algorithm>
#include <set>

namespace halfcell::app {

const core::PhaseFigures* FirstWritten::phase(std::string_view visit, core::Phase wanted) const
{
    for (const core::VisitFigures& f : figures)
        if (f.visit != nullptr && f.visit->visit == visit)
            return f.phase(wanted);
    return nullptr;
}

std::shared_ptr<const FirstWritten> firstWritten(const Dossier& dossier)
{
    const auto applied = dossier.plant->applied();
    if (applied.empty())
        return nullptr;
    core::Records records = dossier.plant->records();
    std::set<std::string> corrected;
    // Undone from the last to the first, so that each finds the value it wrote.
    for (auto it = applied.rbegin(); it != applied.rend(); ++it) {
        const auto visit = std::ranges::find(records.visits, it->visit, &core::Visit::visit);
        if (visit == records.visits.end())
            continue;
        const core::Correction back{.visit = it->visit,
                                    .table = it->table,
                                    .row = it->row,
                                    .field = it->field,
                                    .old_value = it->new_value,
                                    .new_value = it->old_value,
                                    .recorded = it->recorded,
                                    .person = it->person,
                                    .why = it->why};
        if (core::applyCorrection(*visit, back))
            corrected.insert(it->visit);
    }
    records.corrections.clear();
    auto first = std::make_shared<FirstWritten>();
    const std::string serial = dossier.history->sensor->serial;
    first->plant = std::make_unique<const core::Plant>(core::Plant::asKnown(std::move(records), dossier.plant->asOf()));
    const core::SensorHistory* history = first->plant->history(serial);
    if (history == nullptr)
        return nullptr;
    first->figures = core::figuresOfHistory(*first->plant, *history, dossier.standards, dossier.rules, true);
    std::erase_if(first->figures, [&](const core::VisitFigures& f) { return f.visit == nullptr || !corrected.contains(f.visit->visit); });
    return first;
}

}  // namespace halfcell::app
