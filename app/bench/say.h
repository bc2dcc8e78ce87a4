#pragma once

#include <QCoreApplication>
#include <QString>

#include <string_view>

namespace halfcell::app::bench {

/// Translated sentences of the Bench outside QObject classes.
struct Say {
    Q_DECLARE_TR_FUNCTIONS(Bench)
};

[[nodiscard]] inline QString spelled(std::string_view utf8)
{
    return QString::fromUtf8(utf8.data(), static_cast<qsizetype>(utf8.size()));
}

}  // namespace halfcell::app::bench
