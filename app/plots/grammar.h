#pragma once

#include "app/plots/life_line_series.h"
#include "app/plots/qcustomplot_header.h"
#include "app/style/palette.h"
#include "app/style/paper_type.h"

#include <QPixmap>

#include <functional>
#include <map>
#include <vector>

/// The pieces every plot is drawn with (SCREENS section 5 in one place): limits hatched from the bad side, reading
/// marks, joins, whiskers, fan, now-rule, cursor. A piece draws plain data given in axis coordinates; it computes
/// nothing. Only the plots' own sources include this header (it pulls in QCustomPlot).
///
/// Pens of slanted or broken lines stay at width 1 or use single segments: long polylines with wide pens are hundreds
/// of times slower in QCustomPlot's raster path.
namespace halfcell::app {

/// Colours and scale in force, shared by all pieces of one plot.
struct PlotInk {
    Palette palette = Palette::of(Scheme::Light);
    double scale = 1.0;
    Role ground = Role::Ground;  ///< what the plot stands on
    [[nodiscard]] QColor operator[](Role role) const { return palette[role]; }
    [[nodiscard]] double px(double length) const { return length * scale; }
    [[nodiscard]] QFont font(TextRole role, Weight weight = Weight::Regular) const
    {
        return palette.scheme() == Scheme::Paper ? paperFontOf(role, weight, scale) : fontOf(role, weight, scale);
    }
};

/// Sets background, axes, grid, ticks and fonts of a plot from the ink.
void dressCanvas(QCustomPlot& plot, const PlotInk& ink);
void dressAxisRect(QCPAxisRect& rect, const PlotInk& ink);
/// Room for the title above a panel, px at scale 1.
inline constexpr double kTitleRoom = 18.0;

/// A panel in a row of the plot's grid, axes at the left and bottom, everything on its proper layer.
[[nodiscard]] QCPAxisRect* addPanel(QCustomPlot& plot, int row);

/// Base of the pieces. `clip` null: the whole plot.
class GrammarPiece : public QCPLayerable {
public:
    GrammarPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect, bool clipped, const QString& layer);

protected:
    [[nodiscard]] QRect clipRect() const override;
    void applyDefaultAntialiasingHint(QCPPainter* painter) const override { painter->setAntialiasing(true); }
    [[nodiscard]] double xAt(double key) const { return m_rect->axis(QCPAxis::atBottom)->coordToPixel(key); }
    [[nodiscard]] double yAt(double value) const { return m_rect->axis(QCPAxis::atLeft)->coordToPixel(value); }
    [[nodiscard]] QRectF box() const { return m_rect->rect(); }
    /// True when drawing for a file: marks are paths, not pictures.
    [[nodiscard]] static bool exporting(const QCPPainter& painter) { return painter.modes() != QCPPainter::pmDefault; }

    const PlotInk& m_ink;
    QCPAxisRect* m_rect;
    bool m_clipped;
};

/// Limits of a panel in axis coordinates: hatching, rules, and name with value at the right end.
class LimitPiece : public GrammarPiece {
public:
    struct Line {
        double at = 0;
        BadSide bad = BadSide::Below;
        LimitKind kind = LimitKind::Use;
        bool hatched = true;
        QString label = {};
    };
    LimitPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setLines(std::vector<Line> lines) { m_lines = std::move(lines); }
    /// Widest label in px, for the right margin.
    [[nodiscard]] double labelWidth() const;

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<Line> m_lines;
};

/// The outlook: 80 % outline, 50 % inner, dashed median.
class FanPiece : public GrammarPiece {
public:
    struct Point {
        double key, p10, p25, p50, p75, p90;
    };
    FanPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setPoints(std::vector<Point> points) { m_points = std::move(points); }

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<Point> m_points;
};

/// Reading marks with joins, whiskers and crosses.
class MarksPiece : public GrammarPiece {
public:
    struct Mark {
        double key = 0;
        double value = 0;
        double low = 0, high = 0;   ///< whisker ends; equal: none known
        core::Phase phase = core::Phase::AsLeft;
        bool joined = false;        ///< a thin line comes from the mark before it that can be joined
        bool superseded = false;
        bool leftOut = false;       ///< drawn as a small cross on the axis, at the bottom of the panel
        bool whisker = false;       ///< drawn now (the last three, and under the cursor)
    };
    MarksPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setMarks(std::vector<Mark> marks) { m_marks = std::move(marks); }
    [[nodiscard]] const std::vector<Mark>& marks() const { return m_marks; }
    /// What was drawn before a restatement; dotted line.
    void setGhost(std::vector<QPointF> ghost) { m_ghost = std::move(ghost); }
    void setDiameter(double diameter) { m_diameter = diameter; }

protected:
    void draw(QCPPainter* painter) override;

private:
    void drawWhiskers(QCPPainter* painter) const;
    void drawMark(QCPPainter* painter, const Mark& mark);

    std::vector<Mark> m_marks;
    std::vector<QPointF> m_ghost;
    double m_diameter = 8.0;
    std::map<std::pair<int, bool>, QPixmap> m_pixmaps;
    QRgb m_pixmapInk = 0;
    double m_pixmapScale = 0;
};

/// Straight lines in axis coordinates.
class LinesPiece : public GrammarPiece {
public:
    struct Line {
        QPointF from, to;         ///< axis coordinates
        Qt::PenStyle style = Qt::SolidLine;
        double width = 1.5;
        Role ink = Role::Ink1;
    };
    LinesPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setLines(std::vector<Line> lines) { m_lines = std::move(lines); }

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<Line> m_lines;
};

/// Words placed in a panel: its title above the upper left corner, values beside marks. A word in the panel stands on a
/// patch of the ground, so hatching and lines never run through it; one that would lie on another is left to the readout.
class WordsPiece : public GrammarPiece {
public:
    struct Word {
        QPointF at;                ///< axis coordinates
        QString text = {};
        Qt::Alignment side = Qt::AlignLeft;  ///< which side of `at` the text lies on: AlignRight = to the right of it; AlignHCenter: over it
        double up = 0;             ///< px above that
        Weight weight = Weight::Regular;
        Role ink = Role::Ink2;
    };
    WordsPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setWords(std::vector<Word> words) { m_words = std::move(words); }
    void setTitle(const QString& title) { m_title = title; }

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<Word> m_words;
    QString m_title;
};

/// Vertical rules through several stacked panels: "now", and the cursor.
class RulePiece : public GrammarPiece {
public:
    RulePiece(QCustomPlot* plot, const PlotInk& ink, const QString& layer, Qt::PenStyle style);
    void setSpan(QCPAxisRect* top, QCPAxisRect* bottom);
    void setAt(std::optional<double> key) { m_key = key; }
    void setName(const QString& name) { m_name = name; }

protected:
    void draw(QCPPainter* painter) override;

private:
    QCPAxisRect* m_bottom = nullptr;
    std::optional<double> m_key;
    QString m_name;
    Qt::PenStyle m_style;
};

/// Rings round the marks that the readout speaks of.
class RingPiece : public GrammarPiece {
public:
    RingPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect);
    void setAt(std::vector<QPointF> at) { m_at = std::move(at); }

protected:
    void draw(QCPPainter* painter) override;

private:
    std::vector<QPointF> m_at;
};

}  // namespace halfcell::app
