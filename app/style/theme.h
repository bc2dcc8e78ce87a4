#pragma once

#include "app/style/metrics.h"
#include "app/style/palette.h"

#include <QObject>

class QApplication;

namespace halfcell::app {

enum class ThemeChoice { System, Light, Dark };

/// Theme, density and scale of the whole program. Made once, in main, right after QApplication and before the first
/// window; it sets the style, the font and the palette, and sets them anew on every change, so that widgets get
/// QEvent::PaletteChange (colours) or QEvent::StyleChange (sizes). GUI thread only.
class Theme : public QObject {
    Q_OBJECT
public:
    explicit Theme(QApplication& app, QObject* parent = nullptr);
    /// Gives the application the system's palette back.
    ~Theme() override;
    Theme(const Theme&) = delete;
    Theme& operator=(const Theme&) = delete;

    [[nodiscard]] ThemeChoice choice() const { return m_choice; }
    /// Changes at once, at run time.
    void setChoice(ThemeChoice choice);
    [[nodiscard]] Metrics metrics() const { return m_metrics; }
    void setDensity(Density density);
    /// 1.0 to 2.0 (clamped), on top of the screen's own scale.
    void setScale(double scale);
    /// One step of 25 % up (+1) or down (-1); 0 goes back to 100 %.
    void stepScale(int direction);

    /// The palette in force; in glove density ink3 is drawn as ink1.
    [[nodiscard]] Palette palette() const;
    [[nodiscard]] Scheme scheme() const { return palette().scheme(); }

    /// What the system's own palette says (read at start and whenever the desktop's theme changes). A system that asks
    /// for high contrast overrides all roles, whatever the choice.
    void setSystemPalette(const QPalette& system);

Q_SIGNALS:
    void changed();

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void apply(bool sizes);
    [[nodiscard]] static QPalette readSystemPalette();

    QApplication& m_app;
    QPalette m_system;
    ThemeChoice m_choice = ThemeChoice::System;
    Metrics m_metrics;
    bool m_applying = false;
};

}  // namespace halfcell::app
