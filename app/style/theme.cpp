#include "app/style/theme.h"

#include "app/style/ink_style.h"
#include "app/style/type.h"

#include <QApplication>
#include <QEvent>
#include <QToolTip>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

Theme::Theme(QApplication& app, QObject* parent) : QObject(parent), m_app(app)
{
    m_system = readSystemPalette();
    m_app.installEventFilter(this);
    apply(true);
}

Theme::~Theme()
{
    m_app.removeEventFilter(this);
    QApplication::setPalette(QPalette());
}

QPalette Theme::readSystemPalette()
{
    // An empty palette lets the desktop's own through; with no desktop theme that is the style's.
    QApplication::setPalette(QPalette());
    return QApplication::palette();
}

void Theme::setChoice(ThemeChoice choice)
{
    if (choice == m_choice)
        return;
    m_choice = choice;
    apply(false);
}

void Theme::setDensity(Density density)
{
    if (density == m_metrics.density)
        return;
    m_metrics.density = density;
    apply(true);
}

void Theme::setScale(double scale)
{
    const double wanted = std::clamp(scale, 1.0, 2.0);
    if (std::abs(wanted - m_metrics.scale) < 1e-9)
        return;
    m_metrics.scale = wanted;
    apply(true);
}

void Theme::stepScale(int direction)
{
    setScale(direction == 0 ? 1.0 : std::round(m_metrics.scale * 4.0 + direction) / 4.0);
}

Palette Theme::palette() const
{
    Palette palette;
    if (asksForHighContrast(m_system))
        palette = Palette::highContrast(m_system);
    else if (m_choice == ThemeChoice::System)
        palette = Palette::of(isDark(m_system) ? Scheme::Dark : Scheme::Light);
    else
        palette = Palette::of(m_choice == ThemeChoice::Dark ? Scheme::Dark : Scheme::Light);
    return m_metrics.density == Density::Glove ? palette.with(Role::Ink3, palette[Role::Ink1]) : palette;
}

void Theme::setSystemPalette(const QPalette& system)
{
    m_system = system;
    apply(false);
}

void Theme::apply(bool sizes)
{
    m_applying = true;
    if (sizes) {
        // The font first: the new style makes every widget measure itself again.
        QApplication::setFont(fontOf(TextRole::Body, Weight::Regular, m_metrics.scale));
        QToolTip::setFont(fontOf(TextRole::Hint, Weight::Regular, m_metrics.scale));
        m_app.setStyle(new InkStyle(m_metrics));  // QApplication owns it
    }
    const QPalette qt = palette().toQt();
    QApplication::setPalette(qt);
    QToolTip::setPalette(qt);
    m_applying = false;
    Q_EMIT changed();
}

bool Theme::eventFilter(QObject* watched, QEvent* event)
{
    if (event->type() == QEvent::ThemeChange && !m_applying && watched->isWindowType()) {
        m_applying = true;
        const QPalette system = readSystemPalette();
        m_applying = false;
        if (system != m_system)
            setSystemPalette(system);
        else
            QApplication::setPalette(palette().toQt());
    }
    return QObject::eventFilter(watched, event);
}

}  // namespace halfcell::app
