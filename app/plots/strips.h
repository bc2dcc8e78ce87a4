#pragma once

#include "app/plots/grammar.h"

namespace halfcell::app {

/// The Did strip: action letters standing on a tick at their visit, boxed where a part is renewed. Letters that would
/// touch the ones before them go to a second line, then stay a tick (the readout has the words).
class DidPiece : public GrammarPiece {
public:
    DidPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setMarks(std::vector<DidMark> marks) { m_marks = std::move(marks); }

protected:
    void draw(QCPPainter* painter) override;

private:
    [[nodiscard]] double widthOf(const DidMark& mark, const QFontMetricsF& metrics) const;

    std::vector<DidMark> m_marks;
};

/// The Where strip: one bar a placement with the place's name; shelf and bench hatched; a gap is not known.
class WherePiece : public GrammarPiece {
public:
    WherePiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setBars(std::vector<PlacementBar> bars, double until)
    {
        m_bars = std::move(bars);
        m_until = until;
    }

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<PlacementBar> m_bars;
    double m_until = 0;  // open bars end here
};

/// The name of a strip in the left margin.
class StripNamePiece : public GrammarPiece {
public:
    StripNamePiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect, const QString& name);

protected:
    void draw(QCPPainter* painter) override;

private:
    QString m_name;
};

}  // namespace halfcell::app
