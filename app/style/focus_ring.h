#pragma once

#include <QObject>
#include <QPointer>
#include <QWidget>

namespace halfcell::app {

/// The focus ring: 2 px of ink with a 2 px gap around the control that will take the next key. It lies over the window,
/// follows the control through scrolling and resizing, and takes no input. Item views, tabs and plots draw their own
/// inside. One per top-level window; owned by the window. GUI thread only.
class FocusRing : public QWidget {
    Q_OBJECT
public:
    /// Set on a control that draws its focus itself.
    static constexpr char kOwnFocus[] = "halfcellOwnFocus";

    /// `window` is the top-level widget whose controls are ringed.
    explicit FocusRing(QWidget* window);

    /// The control that is ringed now; null if none.
    [[nodiscard]] QWidget* target() const { return m_target; }
    /// True for controls that get the outer ring: buttons and fields without the property `kOwnFocus`.
    [[nodiscard]] static bool wantsRing(const QWidget* widget);

protected:
    void paintEvent(QPaintEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void follow(QWidget* widget);
    void place();

    QWidget* m_window;
    QPointer<QWidget> m_target;
    QList<QPointer<QWidget>> m_watched;  // the target and everything between it and the window
};

}  // namespace halfcell::app
