#include "db/book/admission_checks.h"
#include "db/book/describe.h"

#include <algorithm>

namespace halfcell::db {

using core::Errc;
using core::Result;
using core::Visit;

bool VisitPlan::anyNew() const
{
    return parts.own || parts.head || visit.readings.size() > parts.readings || visit.grabs.size() > parts.grabs ||
           visit.checks.size() > parts.checks || visit.actions.size() > parts.actions;
}

const core::Error* VisitPlan::firstError() const
{
    if (head.refused())
        return &head.error;
    for (const auto* list : {&readings, &grabs, &checks, &actions})
        for (const RowVerdict& verdict : *list)
            if (verdict.refused())
                return &verdict.error;
    return nullptr;
}

void numberDips(std::vector<core::Reading>& readings)
{
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].dip > 0)
            continue;
        int dip = 1;
        for (std::size_t j = 0; j < i; ++j)
            if (readings[j].phase == readings[i].phase && readings[j].standard == readings[i].standard)
                ++dip;
        readings[i].dip = dip;
    }
}

Result<void> Admission::checkHead(const Visit& visit)
{
    if (visit.visit.empty())
        return refuse(Errc::BadInput, "visit", "the visit's key is empty", "give each visit a key of its own");
    if (auto sensor = checkSensor(visit.serial); !sensor)
        return sensor;
    if (visit.tag && !m_points.has(*visit.tag))
        return refuse(Errc::NotFound, "tag", fmt::format("the tag \"{}\" is not known", *visit.tag), "check it, or add the point to points.csv");
    if (visit.manual_from && visit.auto_at && *visit.auto_at < *visit.manual_from)
        return refuse(Errc::BadInput, "auto_at", "auto_at lies before manual_from", "check both times");
    return {};
}

Result<void> Admission::checkRow(const core::Reading& row)
{
    if (auto standard = checkStandard(row.standard); !standard)
        return standard;
    if (!row.mv && !row.why_missing)
        return refuse(Errc::BadInput, "mv", "mv is empty", "type the millivolts, or say in why_missing why there are none");
    return {};
}
Result<void> Admission::checkRow(const core::Grab&)
{
    return {};
}
Result<void> Admission::checkRow(const core::Check& row)
{
    if (row.coating.value && *row.coating.value != 0 && *row.coating.value != 1 && *row.coating.value != 2 && *row.coating.value != 3 &&
        *row.coating.value != 4)
        return refuse(Errc::BadInput, "coating", "coating goes in whole steps", "use 0, 1, 2, 3 or 4");
    return {};
}
Result<void> Admission::checkRow(const core::Action&)
{
    return {};
}

template <class Row, class SameRow>
void Admission::planRows(std::vector<Row>& offered, std::vector<Row>& kept, std::vector<RowVerdict>& verdicts, SameRow same,
                         std::string_view what, const char* keyField)
{
    const std::size_t stored = kept.size();
    for (std::size_t i = 0; i < offered.size(); ++i) {
        Row& row = offered[i];
        tidy(row);
        RowVerdict verdict;
        const auto doubled = [&] {
            for (std::size_t j = 0; j < i; ++j)
                if (!verdicts[j].refused() && same(offered[j], row))
                    return true;
            return false;
        };
        const auto standing = [&]() -> const Row* {
            for (std::size_t j = 0; j < stored; ++j)
                if (same(kept[j], row))
                    return &kept[j];
            return nullptr;
        };
        if (auto checks = checkRow(row); !checks)
            verdict = refused(checks.error());
        else if (doubled())
            verdict = refused(core::Error{.code = Errc::Conflict,
                                          .detail = fmt::format("{} is there twice", what),
                                          .field = keyField,
                                          .remedy = "keep one of the two rows"});
        else if (const Row* there = standing())
            verdict = compareRows<Row>(*there, row, what);
        else
            kept.push_back(row);
        verdicts.push_back(std::move(verdict));
    }
}

void Admission::planHead(const VisitRow& offered, VisitPlan& plan)
{
    if (!plan.known) {
        plan.parts.own = true;
        plan.visit.stated = offered.stated;
        return;
    }
    if (!offered.stated)
        return;
    // What an empty cell left to the book does not count as a difference.
    Visit own = offered;
    if (!own.tag)
        own.tag = plan.visit.tag;
    if (plan.visit.stated) {
        plan.head = compareRows<Visit>(VisitHead{plan.visit}, VisitHead{own}, fmt::format("the visit {}", offered.visit));
        return;
    }
    const auto agrees = [&](const char* field, const std::string& stood, const std::string& said) {
        if (stood.empty() || said.empty() || stood == said)
            return true;
        plan.head = refused(core::Error{.code = Errc::Conflict,
                                        .detail = fmt::format("the visit's rows in the book say {} \"{}\", not \"{}\"", field, stood, said),
                                        .field = field,
                                        .remedy = "correct it in the program or by corrections.csv"});
        return false;
    };
    const auto word = [](const std::optional<core::VisitReason>& reason) {
        return reason ? std::string(core::keyOf(*reason)) : std::string();
    };
    if (!agrees("serial", plan.visit.serial, own.serial) || !agrees("tag", plan.visit.tag.value_or(""), own.tag.value_or("")) ||
        !agrees("person", plan.visit.person.value_or(""), own.person.value_or("")) ||
        !agrees("reason", word(plan.visit.reason), word(own.reason)))
        return;
    own.readings = std::move(plan.visit.readings);
    own.grabs = std::move(plan.visit.grabs);
    own.checks = std::move(plan.visit.checks);
    own.actions = std::move(plan.visit.actions);
    static_cast<Visit&>(plan.visit) = std::move(own);
    plan.visit.stated = true;
    plan.parts.head = true;
}

VisitPlan Admission::plan(VisitRow offered)
{
    VisitPlan plan;
    {
        VisitHead head{offered};
        tidy(head);
        static_cast<Visit&>(offered) = std::move(head);
    }
    const auto refuseAll = [&](const core::Error& error) {
        // What stands in the book stays as it is: none of its rows is new.
        plan.parts = {.own = false,
                      .readings = plan.visit.readings.size(),
                      .grabs = plan.visit.grabs.size(),
                      .checks = plan.visit.checks.size(),
                      .actions = plan.visit.actions.size()};
        plan.head = refused(error);
        plan.readings.assign(offered.readings.size(), plan.head);
        plan.grabs.assign(offered.grabs.size(), plan.head);
        plan.checks.assign(offered.checks.size(), plan.head);
        plan.actions.assign(offered.actions.size(), plan.head);
    };
    if (auto checks = checkHead(offered); !checks) {
        refuseAll(checks.error());
        return plan;
    }
    plan.parts.own = false;
    if (auto stored = m_visits.find(offered.visit)) {
        plan.known = true;
        plan.visit = std::move(*stored);
        plan.parts.readings = plan.visit.readings.size();
        plan.parts.grabs = plan.visit.grabs.size();
        plan.parts.checks = plan.visit.checks.size();
        plan.parts.actions = plan.visit.actions.size();
        if (plan.visit.serial != offered.serial) {
            refuseAll(core::Error{.code = Errc::Conflict,
                                  .detail = fmt::format("the visit {} is already in the book, to {} and not to {}", offered.visit,
                                                        plan.visit.serial, offered.serial),
                                  .field = "serial",
                                  .remedy = "give this visit another key, or correct the one in the book"});
            return plan;
        }
    } else {
        if (!offered.tag) {
            if (std::string place = m_placements.placeAt(offered.serial, offered.when, offered.recorded); !place.empty() && m_points.has(place))
                offered.tag = std::move(place);
        }
        VisitRow own = offered;
        own.readings.clear();
        own.grabs.clear();
        own.checks.clear();
        own.actions.clear();
        plan.visit = std::move(own);
    }
    planHead(offered, plan);
    planRows(offered.readings, plan.visit.readings, plan.readings,
             [](const core::Reading& a, const core::Reading& b) { return a.phase == b.phase && a.standard == b.standard && a.dip == b.dip; },
             fmt::format("the reading of visit {}", offered.visit), "standard");
    planRows(offered.grabs, plan.visit.grabs, plan.grabs, [](const core::Grab&, const core::Grab&) { return true; },
             fmt::format("the grab sample of visit {}", offered.visit), "visit");
    planRows(offered.checks, plan.visit.checks, plan.checks, [](const core::Check&, const core::Check&) { return true; },
             fmt::format("the checks row of visit {}", offered.visit), "visit");
    planRows(offered.actions, plan.visit.actions, plan.actions, [](const core::Action& a, const core::Action& b) { return a.step == b.step; },
             fmt::format("the step of visit {}", offered.visit), "step");
    // A visit that would hold nothing but refused rows is not made.
    if (plan.parts.own && !offered.stated && plan.visit.readings.empty() && plan.visit.grabs.empty() && plan.visit.checks.empty() &&
        plan.visit.actions.empty())
        plan.parts.own = false;
    return plan;
}

}  // namespace halfcell::db
