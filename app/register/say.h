#pragma once

#include <QCoreApplication>

namespace halfcell::app {

/// Words of this room that no widget of its own says.
struct RegisterSay {
    Q_DECLARE_TR_FUNCTIONS(Register)
};

}  // namespace halfcell::app
