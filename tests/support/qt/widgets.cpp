#include "tests/support/qt/widgets.h"

#include <QAccessible>
#include <QDir>
#include <QLabel>
#include <QPainter>
#include <QTest>
#include <QWidget>

#include <algorithm>
#include <cstdlib>

namespace halfcell::test {

using namespace Qt::Literals::StringLiterals;

namespace {

QList<QWidget*> focusables(QWidget* root)
{
    QList<QWidget*> all = root->findChildren<QWidget*>();
    all.prepend(root);
    QList<QWidget*> found;
    for (QWidget* w : all) {
        // Inner parts (the line edit of a spin box, a view's viewport) hand their focus to their owner.
        if (w->focusPolicy() == Qt::NoFocus || w->focusProxy() != nullptr || w->objectName().startsWith(u"qt_"))
            continue;
        found.append(w);
    }
    return found;
}

}  // namespace

QStringList namelessFocusables(QWidget* root)
{
    QStringList nameless;
    for (QWidget* w : focusables(root)) {
        // A line of text is its own name; an empty one takes no room.
        if (const auto* label = qobject_cast<const QLabel*>(w); label != nullptr && label->text().isEmpty())
            continue;
        const QAccessibleInterface* face = QAccessible::queryAccessibleInterface(w);
        if (face == nullptr || face->text(QAccessible::Name).trimmed().isEmpty())
            nameless.append(QString::fromLatin1(w->metaObject()->className()) + u' ' + w->objectName());
    }
    return nameless;
}

QStringList unnamedObjects(QWidget* root)
{
    QStringList unnamed;
    for (QWidget* w : focusables(root))
        if (w->objectName().count(u'.') < 2)
            unnamed.append(QString::fromLatin1(w->metaObject()->className()) + u' ' + w->objectName());
    return unnamed;
}

HueFound strongestHue(const QImage& image)
{
    const QImage rgb = image.convertToFormat(QImage::Format_RGB32);
    HueFound found;
    for (int y = 0; y < rgb.height(); ++y) {
        for (int x = 0; x < rgb.width(); ++x) {
            const QRgb pixel = rgb.pixel(x, y);
            const auto [low, high] = std::minmax({qRed(pixel), qGreen(pixel), qBlue(pixel)});
            if (high - low > found.spread)
                found = {high - low, x, y};
        }
    }
    return found;
}

double greyDifference(const QImage& a, const QImage& b)
{
    const auto grey = [](const QImage& image) {
        QImage paper(image.size(), QImage::Format_RGB32);
        paper.fill(Qt::white);
        QPainter painter(&paper);
        QImage flat = image;
        flat.setDevicePixelRatio(1.0);
        painter.drawImage(0, 0, flat);
        painter.end();
        return paper.convertToFormat(QImage::Format_Grayscale8);
    };
    const QImage first = grey(a);
    const QImage second = grey(b);
    double sum = 0;
    for (int y = 0; y < first.height(); ++y)
        for (int x = 0; x < first.width(); ++x)
            sum += std::abs(qGray(first.pixel(x, y)) - qGray(second.pixel(x, y)));
    return sum / (double(first.width()) * double(first.height()));
}

QImage picture(QWidget& widget, int width, int height)
{
    widget.resize(width, height);
    widget.show();
    if (!QTest::qWaitForWindowExposed(&widget))
        return {};
    QTest::qWait(30);  // one round of the event loop, so that plots know their size
    return widget.grab().toImage();
}

void keepPicture(const QImage& image, const QString& name)
{
    const QString folder = qEnvironmentVariable("HALFCELL_PICTURES");
    if (!folder.isEmpty())
        image.save(QDir(folder).filePath(name.contains(u'.') ? name : name + QStringLiteral(".png")));
}

}  // namespace halfcell::test
