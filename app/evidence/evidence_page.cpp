#include "app/evidence/evidence_page.h"

#include "app/panels/plain_words.h"
#include "app/style/metrics.h"
#include "db/values/book_types.h"

#include <QLabel>
#include <QSaveFile>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

EvidencePage::EvidencePage(Shop& shop, AskFile ask, const QString& name, const QString& heading, QWidget* parent)
    : QWidget(parent), m_shop(shop), m_ask(std::move(ask))
{
    setObjectName(name);
    const Metrics metrics = Metrics::of(this);
    m_body = new QVBoxLayout(this);
    m_body->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    m_body->setSpacing(metrics.spacing());
    m_body->addWidget(evidenceHeading(heading, this));
    m_sentence = evidenceSentence(name + u".sentence"_s, this);
    m_body->addWidget(m_sentence);
    const auto renew = [this] {
        if (isVisible())
            refresh();
    };
    connect(&m_shop, &Shop::overviewChanged, this, renew);
    say(tr("Not worked out yet."));
}

void EvidencePage::refresh()
{
    if (m_evidence && m_evidence->overview == m_shop.overview())
        return;
    say(tr("Working out what the past says; the strip shows how far it is."));
    m_shop.evidence(this, [this](core::Result<std::shared_ptr<const Evidence>> answer) {
        if (!answer) {
            say(answer.error().code == core::Errc::Cancelled ? tr("Stopped. Come back to this page to start again.")
                                                             : userText(answer.error()));
            return;
        }
        m_evidence = std::move(*answer);
        fill();
    });
}

QString EvidencePage::sentence() const
{
    return m_sentence->text();
}

void EvidencePage::say(const QString& sentence)
{
    m_sentence->setText(sentence);
    Q_EMIT sentenceChanged();
}

void EvidencePage::adopt(CurvePlot* plot, const QString& fileName)
{
    connect(plot, &PlotBase::exportAsked, this, [this, plot, fileName] { savePlot(plot, fileName); });
    connect(plot, &PlotBase::workingAsked, this, [this](const QString& figure) { explain(figure); });
}

void EvidencePage::adopt(EvidenceTable* table, const QString& fileName)
{
    connect(table, &EvidenceTable::exportAsked, this, [this, table, fileName] { saveTable(table, fileName); });
    connect(table, &EvidenceTable::workingAsked, this, [this, table](int row) { explain(*table, row); });
}

void EvidencePage::giveWorking(const QString& title, std::vector<core::WorkingStep> steps, const QString& missing)
{
    WorkingPage page;
    page.figure = objectName();
    page.title = title;
    page.stamp = tr("engine %1, rules %2").arg(QString::fromLatin1(db::kEngineVersion), plain(m_shop.rules().id()));
    page.missing = missing;
    page.steps = std::move(steps);
    Q_EMIT workingReady(page);
}

void EvidencePage::savePlot(CurvePlot* plot, const QString& fileName)
{
    const auto file = m_ask(this, tr("Write the plot to"), fileName + u".pdf"_s);
    if (!file)
        return;
    PlotCaption caption;
    caption.sensor = plot->accessibleName();
    caption.rules = plain(m_shop.rules().id());
    caption.asKnown = m_shop.asKnown() ? tr("as known on %1").arg(asKnownWords(*m_shop.asKnown())) : tr("as known now");
    plot->setCaption(caption);
    const QString path = QString::fromStdString(file->string());
    const auto written = plot->exportTo(path);
    Q_EMIT announced(written ? tr("Written: %1").arg(path) : userText(written.error()));
}

void EvidencePage::saveTable(EvidenceTable* table, const QString& fileName)
{
    const auto file = m_ask(this, tr("Write the table to"), fileName + u".csv"_s);
    if (!file)
        return;
    const QString path = QString::fromStdString(file->string());
    QSaveFile out(path);
    const QByteArray bytes = toCsv(table->rows());
    const bool written = out.open(QIODevice::WriteOnly) && out.write(bytes) == bytes.size() && out.commit();
    Q_EMIT announced(written ? tr("Written: %1").arg(path) : tr("%1 could not be written: %2.").arg(path, out.errorString()));
}

}  // namespace halfcell::app
