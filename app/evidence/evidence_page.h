#pragma once

#include "app/evidence/evidence_parts.h"
#include "app/plots/curve_plot.h"
#include "app/presenters/evidence.h"
#include "app/presenters/shop.h"

#include <QWidget>

#include <filesystem>
#include <functional>
#include <optional>

class QVBoxLayout;

namespace halfcell::app {

/// Where a plot or a table is to be written: title and suggested name in, file out (nothing: not at all).
using AskFile = std::function<std::optional<std::filesystem::path>(QWidget*, const QString& title, const QString& name)>;

/// What the pages of evidence share: they fill when they are looked at, say what they wait for, write out what they show and hand
/// out its working. GUI thread only.
class EvidencePage : public QWidget {
    Q_OBJECT
public:
    /// Fills the page if what is known has changed since.
    void refresh();
    [[nodiscard]] QString sentence() const;

Q_SIGNALS:
    void sentenceChanged();
    void workingReady(const WorkingPage& page);
    void recordAsked(const QString& serial);
    void announced(const QString& sentence);

protected:
    EvidencePage(Shop& shop, AskFile ask, const QString& name, const QString& heading, QWidget* parent);

    [[nodiscard]] Shop& shop() const { return m_shop; }
    [[nodiscard]] const std::shared_ptr<const Evidence>& evidence() const { return m_evidence; }
    [[nodiscard]] QVBoxLayout* body() const { return m_body; }
    void say(const QString& sentence);
    /// Connects a plot or a table with export and working.
    void adopt(CurvePlot* plot, const QString& fileName);
    void adopt(EvidenceTable* table, const QString& fileName);
    void giveWorking(const QString& title, std::vector<core::WorkingStep> steps, const QString& missing = {});

    /// Shows what is known; `evidence()` is there.
    virtual void fill() = 0;
    /// The working of a point of a plot.
    virtual void explain(const QString& figure) = 0;
    /// The working of a row of a table.
    virtual void explain(const EvidenceTable& table, int row) = 0;

private:
    void saveTable(EvidenceTable* table, const QString& fileName);
    void savePlot(CurvePlot* plot, const QString& fileName);

    Shop& m_shop;
    AskFile m_ask;
    std::shared_ptr<const Evidence> m_evidence;
    QVBoxLayout* m_body = nullptr;
    QLabel* m_sentence = nullptr;
};

}  // namespace halfcell::app
