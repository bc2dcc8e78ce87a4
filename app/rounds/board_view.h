#pragma once

#include "app/rounds/board.h"

#include <QWidget>

namespace halfcell::app {

/// The week board: people down, days across, bars as tall as their minutes, area set-up hatched, the capacity as a line.
/// Arrows walk; Space picks a job up, arrows carry it, Space lays it down, Esc puts it back. Reads as a list per person
/// and day. Draws only; what a move means is decided elsewhere. GUI thread only.
class BoardView : public QWidget {
    Q_OBJECT
public:
    explicit BoardView(QWidget* parent = nullptr);

    void setBoard(Board board);
    [[nodiscard]] const Board& board() const { return m_board; }
    /// The job under the cursor; empty if the cell has none.
    [[nodiscard]] std::string currentKey() const;
    [[nodiscard]] bool carrying() const { return !m_carried.empty(); }
    [[nodiscard]] QSize sizeHint() const override;
    /// Days, load and five blocks of a person: less of the board can't be worked with.
    [[nodiscard]] int leastHeight() const;
    [[nodiscard]] QSize minimumSizeHint() const override;

Q_SIGNALS:
    /// A job was laid down on a person and day.
    void moveAsked(const std::string& key, std::int64_t day, const QString& person);
    void openAsked(const std::string& key);
    /// What the cursor stands on, in words (also for screen readers).
    void readout(const QString& text);

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;

private:
    [[nodiscard]] QRectF cellRect(std::size_t person, std::size_t day) const;
    [[nodiscard]] double pixelsPerMinute() const;
    void paintCell(QPainter& painter, std::size_t person, std::size_t day) const;
    void say();
    void clampCursor();

    Board m_board;
    Board::Place m_cursor;
    std::string m_carried;
};

}  // namespace halfcell::app
