#include "tests/support/disk/disk_image.h"

#include <algorithm>
#include <fstream>
#include <iterator>

namespace halfcell::test {

namespace {

constexpr std::size_t kSector = 512;

std::size_t sizeOf(std::int64_t value)
{
    return static_cast<std::size_t>(value);
}

}  // namespace

DiskImage::DiskImage(const std::filesystem::path& folder)
{
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().string().ends_with("-shm"))
            continue;
        std::ifstream in(entry.path(), std::ios::binary);
        m_syncedNames.emplace(entry.path().filename().string(), m_nodes.size());
        m_nodes.push_back({.synced = std::vector<char>(std::istreambuf_iterator<char>(in), {}), .pending = {}});
    }
    m_names = m_syncedNames;
}

void DiskImage::apply(std::vector<char>& content, const DiskEvent& event)
{
    if (event.kind == DiskEvent::Kind::Truncate) {
        content.resize(sizeOf(event.offset));
        return;
    }
    const std::size_t end = sizeOf(event.offset) + event.bytes.size();
    if (content.size() < end)
        content.resize(end);
    std::ranges::copy(event.bytes, content.begin() + event.offset);
}

void DiskImage::applyName(Names& names, const DiskEvent& event, const std::optional<std::size_t>& created)
{
    switch (event.kind) {
    case DiskEvent::Kind::Create: names.insert_or_assign(event.file, *created); break;
    case DiskEvent::Kind::Delete: names.erase(event.file); break;
    case DiskEvent::Kind::Rename:
        if (const auto at = names.find(event.file); at != names.end()) {
            const std::size_t node = at->second;
            names.erase(at);
            names.insert_or_assign(event.to, node);
        }
        break;
    default: break;
    }
}

void DiskImage::play(const DiskEvent& event)
{
    using Kind = DiskEvent::Kind;
    switch (event.kind) {
    case Kind::Mark: return;
    case Kind::Create:
    case Kind::Delete:
    case Kind::Rename: {
        NameChange change{.event = event, .created = {}};
        if (event.kind == Kind::Create) {
            change.created = m_nodes.size();
            m_nodes.emplace_back();
        }
        applyName(m_names, event, change.created);
        m_changes.push_back(std::move(change));
        return;
    }
    case Kind::SyncFolder:
        if (!m_ignoreSyncs) {
            m_syncedNames = m_names;
            m_changes.clear();
        }
        return;
    case Kind::Write:
    case Kind::Truncate:
        if (const auto at = m_names.find(event.file); at != m_names.end())
            m_nodes[at->second].pending.push_back(event);
        return;
    case Kind::Sync:
        if (const auto at = m_names.find(event.file); at != m_names.end() && !m_ignoreSyncs) {
            Node& node = m_nodes[at->second];
            for (const DiskEvent& write : node.pending)
                apply(node.synced, write);
            node.pending.clear();
            // SQLite syncs the folder together with the first sync of a file it made; file systems in use also put the name
            // of a new file that is synced on the disk.
            for (auto change = m_changes.begin(); change != m_changes.end(); ++change)
                if (change->event.kind == Kind::Create && change->created == at->second) {
                    for (auto upTo = m_changes.begin(); upTo != std::next(change); ++upTo)
                        applyName(m_syncedNames, upTo->event, upTo->created);
                    m_changes.erase(m_changes.begin(), std::next(change));
                    break;
                }
        }
        return;
    }
}

std::vector<char> DiskImage::contentAfter(const Node& node, Cut how, std::mt19937& random) const
{
    std::vector<char> content = node.synced;
    if (how == Cut::LosesAll)
        return content;
    const auto chance = [&] { return (random() & 1U) != 0; };
    for (const DiskEvent& write : node.pending) {
        if (how == Cut::KeepsAll) {
            apply(content, write);
            continue;
        }
        switch (random() % 3U) {
        case 0: break;  // lost
        case 1: apply(content, write); break;
        default:
            if (write.kind == DiskEvent::Kind::Truncate)
                break;
            // Torn: some of its sectors.
            for (std::size_t at = 0; at < write.bytes.size();) {
                const std::size_t absolute = sizeOf(write.offset) + at;
                const std::size_t length = std::min(kSector - absolute % kSector, write.bytes.size() - at);
                if (chance()) {
                    const auto first = write.bytes.begin() + static_cast<std::ptrdiff_t>(at);
                    apply(content, {.kind = DiskEvent::Kind::Write,
                                    .file = {},
                                    .to = {},
                                    .offset = static_cast<std::int64_t>(absolute),
                                    .bytes = std::vector<char>(first, first + static_cast<std::ptrdiff_t>(length))});
                }
                at += length;
            }
        }
    }
    return content;
}

void DiskImage::cut(Cut how, std::mt19937& random, const std::filesystem::path& to) const
{
    Names names = m_syncedNames;
    const std::size_t kept = how == Cut::LosesAll ? 0 : how == Cut::KeepsAll ? m_changes.size() : random() % (m_changes.size() + 1);
    for (std::size_t i = 0; i < kept; ++i)
        applyName(names, m_changes[i].event, m_changes[i].created);
    for (const auto& [name, node] : names) {
        const std::vector<char> content = contentAfter(m_nodes[node], how, random);
        std::ofstream out(to / name, std::ios::binary | std::ios::trunc);
        out.write(content.data(), static_cast<std::streamsize>(content.size()));
    }
}

}  // namespace halfcell::test
