#pragma once

#include <QCoreApplication>

namespace halfcell::app {

/// Words of this room that no widget of its own says.
struct RecordSay {
    Q_DECLARE_TR_FUNCTIONS(Record)
};

}  // namespace halfcell::app
