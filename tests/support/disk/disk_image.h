#pragma once

#include "tests/support/disk/recording_disk.h"

#include <map>
#include <optional>
#include <random>

namespace halfcell::test {

/// What a disk holds after a power cut, within what a plain disk may do: what was synced is there; of what was written since,
/// any part may be there and any part lost, in sectors of 512 bytes, whichever came first; a truncation may or may not have
/// happened; so may a creation, a deletion or a rename whose folder was not synced (those of one folder in their order).
class DiskImage {
public:
    /// Starts with the files of a folder as they are, all of it synced.
    explicit DiskImage(const std::filesystem::path& folder);

    /// Plays one more event.
    void play(const DiskEvent& event);
    /// Does as if nothing were ever synced.
    void ignoreSyncs() { m_ignoreSyncs = true; }

    /// How much of what is not synced survives.
    enum class Cut { LosesAll, KeepsAll, ByChance };
    /// Writes what is left to an empty folder.
    void cut(Cut how, std::mt19937& random, const std::filesystem::path& to) const;

private:
    struct Node {
        std::vector<char> synced;        ///< content that is on the disk for certain
        std::vector<DiskEvent> pending;  ///< writes and truncations since
    };
    using Names = std::map<std::string, std::size_t>;  ///< file name to node

    static void apply(std::vector<char>& content, const DiskEvent& event);
    [[nodiscard]] std::vector<char> contentAfter(const Node& node, Cut how, std::mt19937& random) const;
    static void applyName(Names& names, const DiskEvent& event, const std::optional<std::size_t>& created);

    struct NameChange {
        DiskEvent event;
        std::optional<std::size_t> created;
    };
    std::vector<Node> m_nodes;
    Names m_names;                      ///< as a running program sees them
    Names m_syncedNames;                ///< as they are on the disk for certain
    std::vector<NameChange> m_changes;  ///< since
    bool m_ignoreSyncs = false;
};

}  // namespace halfcell::test
