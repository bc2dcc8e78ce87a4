#pragma once

#include "app/style/palette.h"
#include "app/style/type.h"
#include "app/style/wrapped_label.h"

#include <QAbstractButton>
#include <QFrame>
#include <QLabel>
#include <QString>

#include <vector>

class QVBoxLayout;

/// Small pieces of the form.
namespace halfcell::app::bench {

class BenchPresenter;

/// A label in a role; `ink` is Ink1, Ink2 or Ink3.
[[nodiscard]] QLabel* formLabel(const QString& text, TextRole role, Role ink, QWidget* parent, Weight weight = Weight::Regular);
/// Body text that wraps, for the side columns.
[[nodiscard]] QLabel* wrappedLine(const QString& text, QWidget* parent, Role ink = Role::Ink1);
[[nodiscard]] QLabel* wrappedLine(const QString& text, TextRole role, QWidget* parent, Role ink = Role::Ink1,
                                  Weight weight = Weight::Regular);
void setInk(QLabel* label, Role ink);

/// A note beside its cause: a sentence that ends with the keys that answer it. Hidden when empty; read out as an alert.
class NoteLine : public WrappedLabel {
    Q_OBJECT
public:
    explicit NoteLine(QWidget* parent = nullptr);
    /// `asks`: it waits for an answer and is drawn heavy.
    void show(const QString& text, bool asks);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    bool m_asks = false;
};

/// A choice by one key: "0 1 2 3 4", "Hard sMear sLippery slImy", "U adjusted  = nothing adjusted". One focus for all;
/// letters go to the presenter, a click does the same. GUI thread only.
class KeyStrip : public QAbstractButton {
    Q_OBJECT
public:
    struct Choice {
        QChar key;
        QString words;
        bool boxed = false;  ///< drawn as a box with the key alone
    };

    KeyStrip(std::vector<Choice> choices, QWidget* parent = nullptr);
    void setChosen(int index);
    [[nodiscard]] int chosen() const { return m_chosen; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

Q_SIGNALS:
    void picked(QChar key);
    void focused();

protected:
    void paintEvent(QPaintEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;

private:
    [[nodiscard]] QRect cell(int index) const;

    std::vector<Choice> m_choices;
    int m_chosen = -1;
};

/// "<b>92.1</b> ±2.0 %" as rich text in the inks of a palette; the reason in ink3 where there is no value.
struct Shown {
    std::optional<double> value = {};
    std::optional<double> expanded = {};
    int decimals = 1;
    bool sign = false;
    QString unit = {};
    QString lead = {};
};
[[nodiscard]] QString figureHtml(const Shown& figure, const Palette& palette);

/// Heading of a side panel's part.
[[nodiscard]] QLabel* partHead(const QString& text, QWidget* parent);

}  // namespace halfcell::app::bench
