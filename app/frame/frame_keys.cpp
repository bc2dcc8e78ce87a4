#include "app/frame/frame_keys.h"

#include <QCoreApplication>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString tr(const char* text)
{
    return QCoreApplication::translate("halfcell", text);
}

}  // namespace

const std::vector<FrameKey>& frameKeys()
{
    static const std::vector<FrameKey> kKeys{
        {FrameAct::Desk, {}, u"Ctrl+1 … 4"_s, tr("Register, Bench, Rounds, Review")},
        {FrameAct::Desk, {}, u"F10"_s, tr("Cabinet")},
        {FrameAct::Box, {QKeySequence(Qt::CTRL | Qt::Key_F)}, u"Ctrl+F"_s, tr("the box: find a tag, serial or place")},
        {FrameAct::Help, {QKeySequence(Qt::Key_F1)}, u"F1"_s, tr("help on what has the focus; twice: these keys")},
        {FrameAct::NextRegion, {QKeySequence(Qt::Key_F6)}, u"F6, Shift+F6"_s, tr("next, previous region")},
        {FrameAct::PreviousRegion, {QKeySequence(Qt::SHIFT | Qt::Key_F6)}, {}, {}},
        {FrameAct::Back, {QKeySequence(Qt::ALT | Qt::Key_Left)}, u"Alt+Left"_s, tr("back")},
        {FrameAct::Close, {}, u"Esc"_s, tr("close the panel; never discards what was typed")},
        {FrameAct::Holds, {QKeySequence(Qt::Key_F9)}, u"F9"_s, tr("loops in manual: back in auto, or handed over")},
        {FrameAct::Visit, {QKeySequence(Qt::CTRL | Qt::Key_L)}, u"Ctrl+L"_s, tr("start or go on with a visit to the chosen sensor")},
        {FrameAct::Correct, {QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_E)}, u"Ctrl+Shift+E"_s, tr("correct a record")},
        {FrameAct::AsKnown, {QKeySequence(Qt::CTRL | Qt::Key_T)}, u"Ctrl+T"_s, tr("as known on a date; Esc returns to now")},
        {FrameAct::Person, {QKeySequence(Qt::CTRL | Qt::Key_I)}, u"Ctrl+I"_s, tr("who works")},
        {FrameAct::ScaleUp,
         {QKeySequence(Qt::CTRL | Qt::Key_Plus), QKeySequence(Qt::CTRL | Qt::Key_Equal)},
         u"Ctrl+Plus, Minus, 0"_s,
         tr("scale")},
        {FrameAct::ScaleDown, {QKeySequence(Qt::CTRL | Qt::Key_Minus)}, {}, {}},
        {FrameAct::ScaleReset, {QKeySequence(Qt::CTRL | Qt::Key_0)}, {}, {}},
        {FrameAct::FullScreen, {QKeySequence(Qt::Key_F11)}, u"F11"_s, tr("full screen")},
    };
    return kKeys;
}

std::vector<KeyLine> keyLines(const std::vector<KeyLine>& ofScreen)
{
    std::vector<KeyLine> lines = ofScreen;
    for (const FrameKey& key : frameKeys()) {
        if (key.shown.isEmpty())
            continue;
        if (std::none_of(lines.begin(), lines.end(), [&](const KeyLine& line) { return line.keys == key.shown; }))
            lines.push_back({key.shown, key.does});
    }
    return lines;
}

}  // namespace halfcell::app
