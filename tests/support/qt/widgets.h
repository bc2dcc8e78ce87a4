#pragma once

#include <QImage>
#include <QString>
#include <QStringList>

#include <ostream>

class QWidget;

/// GoogleTest shows a QString as its text.
inline void PrintTo(const QString& text, std::ostream* out)
{
    *out << '"' << text.toStdString() << '"';
}

namespace halfcell::test {

/// Widgets under `root` (itself included) that Tab or a click focuses and whose accessible name is empty, as
/// "ClassName objectName". Looks at hidden ones too.
[[nodiscard]] QStringList namelessFocusables(QWidget* root);
/// Focusable widgets without an object name of the form screen.region.control, as the class name and what is found.
/// Inner parts that Qt makes itself (qt_...) belong to their owner and are left out.
[[nodiscard]] QStringList unnamedObjects(QWidget* root);

/// The largest difference between red, green and blue of any pixel, and where.
struct HueFound {
    int spread = 0;
    int x = 0;
    int y = 0;
};
[[nodiscard]] HueFound strongestHue(const QImage& image);

/// Mean absolute difference of two pictures of equal size in greyscale, 0 to 255, alpha over white.
[[nodiscard]] double greyDifference(const QImage& a, const QImage& b);

/// Shows a widget offscreen at a size, lets layouts settle, and grabs it.
[[nodiscard]] QImage picture(QWidget& widget, int width, int height);

/// Saves a picture under the folder named by HALFCELL_PICTURES; does nothing when the variable is not set.
void keepPicture(const QImage& image, const QString& name);

}  // namespace halfcell::test
