#include "app/cabinet/chain_words.h"

#include "app/panels/plain_words.h"
#include "app/style/figures.h"

#include <QCoreApplication>
#include <QLocale>

namespace halfcell::app {

namespace {

QString chainText(const char* text)
{
    return QCoreApplication::translate("halfcell::app::ChainWords", text);
}

}  // namespace

QString chainWords(const ChainState& chain)
{
    if (chain.running)
        return chainText("Checking every record and the journal's chain.");
    if (!chain.last)
        return chainText("Not checked yet in this session.");
    if (!*chain.last)
        return userText(chain.last->error());
    const db::VerifyReport& report = **chain.last;
    if (report.ok)
        return chainText("%1 entries, whole; checked %2 (%3 s).")
            .arg(countText(static_cast<qint64>(report.entries)), clockWords(chain.checked), QLocale().toString(chain.seconds, 'f', 1));
    return chainText("%1 Everything before it is whole. The book is still readable; don't log in it; restore the last backup beside it and "
                     "compare.")
        .arg(plain(report.firstBad));
}

}  // namespace halfcell::app
