#include "app/register/places_model.h"

#include "app/panels/plain_words.h"

#include <algorithm>
#include <map>
#include <set>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

// --- Place -----------------------------------------------------------------------------------------------------------

bool Place::holds(const RegisterRow& row) const
{
    const bool shelf = row.store == plain(core::kShelf);
    switch (kind) {
    case Kind::All: return !row.scrapped();
    case Kind::Site: return row.store.isEmpty() && row.site == site;
    case Kind::Area: return row.store.isEmpty() && row.site == site && row.area == area;
    case Kind::Shelf: return shelf || row.store == plain(core::kSoak) || row.store == plain(core::kQuarantine);
    case Kind::Ready: return shelf && !row.testBeforeUse;
    case Kind::TestBeforeUse: return shelf && row.testBeforeUse;
    case Kind::Soak: return row.store == plain(core::kSoak);
    case Kind::Quarantine: return row.store == plain(core::kQuarantine);
    case Kind::Bench: return row.store == plain(core::kBench);
    case Kind::Scrapped: return row.scrapped();
    }
    return false;
}

QString Place::words() const
{
    switch (kind) {
    case Kind::All: return PlacesModel::tr("All places");
    case Kind::Site: return site;
    case Kind::Area: return area;
    case Kind::Shelf: return PlacesModel::tr("Shelf");
    case Kind::Ready: return PlacesModel::tr("Ready");
    case Kind::Soak: return PlacesModel::tr("In soak");
    case Kind::TestBeforeUse: return PlacesModel::tr("Test before use");
    case Kind::Quarantine: return PlacesModel::tr("Quarantine");
    case Kind::Bench: return PlacesModel::tr("Bench");
    case Kind::Scrapped: return PlacesModel::tr("Scrapped");
    }
    return {};
}

QString Place::key() const
{
    return QString::number(static_cast<int>(kind)) + u'/' + site + u'/' + area;
}

// --- PlacesModel -----------------------------------------------------------------------------------------------------

PlacesModel::~PlacesModel() = default;

PlacesModel::Node* PlacesModel::add(Node& parent, Place place)
{
    auto child = std::make_unique<Node>();
    child->place = std::move(place);
    child->parent = &parent;
    child->row = static_cast<int>(parent.children.size());
    parent.children.push_back(std::move(child));
    return parent.children.back().get();
}

std::unique_ptr<PlacesModel::Node> PlacesModel::build(const std::vector<RegisterRow>& rows)
{
    auto root = std::make_unique<Node>();
    add(*root, {.kind = Place::Kind::All});
    std::map<QString, std::set<QString>> sites;
    for (const RegisterRow& row : rows)
        if (row.store.isEmpty() && !row.site.isEmpty())
            sites[row.site].insert(row.area);
    for (const auto& [site, areas] : sites) {
        Node* node = add(*root, {.kind = Place::Kind::Site, .site = site});
        for (const QString& area : areas)
            if (!area.isEmpty())
                add(*node, {.kind = Place::Kind::Area, .site = site, .area = area});
    }
    Node* shelf = add(*root, {.kind = Place::Kind::Shelf});
    for (const Place::Kind kind : {Place::Kind::Ready, Place::Kind::Soak, Place::Kind::TestBeforeUse, Place::Kind::Quarantine})
        add(*shelf, {.kind = kind});
    add(*root, {.kind = Place::Kind::Bench});
    add(*root, {.kind = Place::Kind::Scrapped});
    for (const auto& child : root->children)
        count(*child, rows);
    return root;
}

void PlacesModel::count(Node& node, const std::vector<RegisterRow>& rows)
{
    for (const RegisterRow& row : rows) {
        if (!node.place.holds(row))
            continue;
        if (row.kind == RowKind::Sensor)
            ++node.count;
        // Scrapped sensors need nobody; two sensors at one point do.
        if (node.place.kind != Place::Kind::Scrapped && (row.need == Need::Now || row.need == Need::Week))
            ++node.need;
    }
    for (const auto& child : node.children)
        count(*child, rows);
}

bool PlacesModel::sameShape(const Node& a, const Node& b)
{
    return a.place == b.place && std::ranges::equal(a.children, b.children, [](const auto& x, const auto& y) { return sameShape(*x, *y); });
}

void PlacesModel::copyCounts(Node& to, const Node& from)
{
    to.count = from.count;
    to.need = from.need;
    for (std::size_t i = 0; i < to.children.size(); ++i)
        copyCounts(*to.children[i], *from.children[i]);
}

void PlacesModel::announce(const QModelIndex& parent)
{
    const int rows = rowCount(parent);
    if (rows == 0)
        return;
    Q_EMIT dataChanged(index(0, 0, parent), index(rows - 1, 0, parent));
    for (int i = 0; i < rows; ++i)
        announce(index(i, 0, parent));
}

void PlacesModel::setRows(const std::vector<RegisterRow>& rows)
{
    auto built = build(rows);
    if (m_root != nullptr && sameShape(*m_root, *built)) {
        copyCounts(*m_root, *built);
        announce({});
        return;
    }
    beginResetModel();
    m_root = std::move(built);
    endResetModel();
}

PlacesModel::Node* PlacesModel::node(const QModelIndex& index) const
{
    return index.isValid() ? static_cast<Node*>(index.internalPointer()) : m_root.get();
}

Place PlacesModel::placeOf(const QModelIndex& index) const
{
    return index.isValid() ? node(index)->place : Place{};
}

QModelIndex PlacesModel::indexOf(const Place& place) const
{
    for (int i = 0; i < rowCount(); ++i) {
        const QModelIndex top = index(i, 0);
        if (node(top)->place == place)
            return top;
        for (int j = 0; j < rowCount(top); ++j)
            if (const QModelIndex inner = index(j, 0, top); node(inner)->place == place)
                return inner;
    }
    return {};
}

int PlacesModel::countOf(const QModelIndex& index) const
{
    return index.isValid() ? node(index)->count : 0;
}

int PlacesModel::needOf(const QModelIndex& index) const
{
    return index.isValid() ? node(index)->need : 0;
}

QModelIndex PlacesModel::index(int row, int column, const QModelIndex& parent) const
{
    const Node* above = node(parent);
    if (above == nullptr || column != 0 || row < 0 || row >= static_cast<int>(above->children.size()))
        return {};
    return createIndex(row, 0, above->children[static_cast<std::size_t>(row)].get());
}

QModelIndex PlacesModel::parent(const QModelIndex& child) const
{
    if (!child.isValid())
        return {};
    Node* above = node(child)->parent;
    return above == nullptr || above == m_root.get() ? QModelIndex() : createIndex(above->row, 0, above);
}

int PlacesModel::rowCount(const QModelIndex& parent) const
{
    const Node* above = node(parent);
    return above == nullptr || parent.column() > 0 ? 0 : static_cast<int>(above->children.size());
}

int PlacesModel::columnCount(const QModelIndex& parent) const
{
    Q_UNUSED(parent);
    return 1;
}

QVariant PlacesModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid())
        return {};
    const Node& at = *node(index);
    switch (role) {
    case Qt::DisplayRole:
    case Qt::ToolTipRole: return at.place.words();
    case Qt::AccessibleTextRole:
        return at.need > 0 ? tr("%1, %2 sensors, %3 need someone").arg(at.place.words()).arg(at.count).arg(at.need)
                           : tr("%1, %2 sensors").arg(at.place.words()).arg(at.count);
    case kCountRole: return at.count;
    case kNeedRole: return at.need;
    default: return {};
    }
}

}  // namespace halfcell::app
