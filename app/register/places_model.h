#pragma once

#include "app/register/register_row.h"

#include <QAbstractItemModel>

#include <memory>
#include <vector>

namespace halfcell::app {

/// A place of the left column, and which rows lie in it.
struct Place {
    enum class Kind { All, Site, Area, Shelf, Ready, Soak, TestBeforeUse, Quarantine, Bench, Scrapped };
    Kind kind = Kind::All;
    QString site = {}, area = {};

    [[nodiscard]] bool holds(const RegisterRow& row) const;
    [[nodiscard]] QString words() const;
    /// For remembering the chosen place: "area/site/area".
    [[nodiscard]] QString key() const;
    bool operator==(const Place&) const = default;
};

/// Sites with their areas, then shelf, bench and scrapped: each with how many sensors lie in it and, heavy, how many need
/// someone. No mark is rolled up to a place. GUI thread only.
class PlacesModel : public QAbstractItemModel {
    Q_OBJECT
public:
    enum Role { kCountRole = Qt::UserRole + 1, kNeedRole };

    using QAbstractItemModel::QAbstractItemModel;
    ~PlacesModel() override;

    /// Counts anew. The places stay as they are (one dataChanged) unless a site or area came or went (one reset).
    void setRows(const std::vector<RegisterRow>& rows);

    [[nodiscard]] Place placeOf(const QModelIndex& index) const;
    [[nodiscard]] QModelIndex indexOf(const Place& place) const;
    [[nodiscard]] int countOf(const QModelIndex& index) const;
    [[nodiscard]] int needOf(const QModelIndex& index) const;

    [[nodiscard]] QModelIndex index(int row, int column, const QModelIndex& parent = {}) const override;
    [[nodiscard]] QModelIndex parent(const QModelIndex& child) const override;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;

private:
    struct Node {
        Place place;
        int count = 0;
        int need = 0;
        Node* parent = nullptr;
        int row = 0;
        std::vector<std::unique_ptr<Node>> children;
    };
    [[nodiscard]] static std::unique_ptr<Node> build(const std::vector<RegisterRow>& rows);
    static Node* add(Node& parent, Place place);
    static void count(Node& node, const std::vector<RegisterRow>& rows);
    [[nodiscard]] static bool sameShape(const Node& a, const Node& b);
    static void copyCounts(Node& to, const Node& from);
    [[nodiscard]] Node* node(const QModelIndex& index) const;
    void announce(const QModelIndex& parent);

    std::unique_ptr<Node> m_root;
};

}  // namespace halfcell::app
