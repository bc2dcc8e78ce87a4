#pragma once

#include <QKeySequence>
#include <QList>
#include <QString>

#include <vector>

/// The keys of the window, in one table: the shortcuts are made from it, and help (F1 twice) is printed from it.
namespace halfcell::app {

/// What a key of the window does.
enum class FrameAct {
    Box, Back, Visit, Correct, AsKnown, Person, Holds, NextRegion, PreviousRegion, Help, FullScreen, ScaleUp, ScaleDown, ScaleReset,
    Desk,  ///< desk words and Cabinet: made as the desks are added
    Close  ///< Esc: taken only when nobody under the focus wants it
};

struct FrameKey {
    FrameAct act;
    QList<QKeySequence> keys;  ///< empty: not a shortcut of its own
    QString shown;             ///< as help prints it; empty: printed by another line
    QString does;
};

[[nodiscard]] const std::vector<FrameKey>& frameKeys();

/// One line of the key table.
struct KeyLine {
    QString keys, does;
};

/// The window's lines with those of the screen: where both name the same keys, the screen's words stand.
[[nodiscard]] std::vector<KeyLine> keyLines(const std::vector<KeyLine>& ofScreen);

}  // namespace halfcell::app
