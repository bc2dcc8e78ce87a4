#pragma once

/// QCustomPlot's header, which is written with Qt's lower-case keywords; ours are off (QT_NO_KEYWORDS). They are lent for
/// the one include and taken back.

// NOLINTBEGIN(cppcoreguidelines-macro-usage): the keywords are macros
#define signals Q_SIGNALS
#define slots Q_SLOTS
#define foreach Q_FOREACH
#include <qcustomplot.h>
#undef signals
#undef slots
#undef foreach
// NOLINTEND(cppcoreguidelines-macro-usage)
