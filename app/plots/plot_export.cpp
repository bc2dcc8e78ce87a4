// Export of a plot: SVG, PDF, PNG at 2x and the CSV of exactly what is drawn.
#include "app/plots/grammar.h"
#include "app/plots/plot_base.h"

#include <QBuffer>
#include <QPageSize>
#include <QPdfWriter>
#include <QPicture>
#include <QSaveFile>
#include <QSvgGenerator>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr int kCaptionHeight = 24;  // px at scale 1, under the drawing

}  // namespace

core::Result<void> PlotBase::writeBytes(const QString& path, const QByteArray& bytes) const
{
    QSaveFile file(path);
    if (!file.open(QIODevice::WriteOnly) || file.write(bytes) != bytes.size() || !file.commit())
        return core::failure(core::Errc::CannotWrite, path.toStdString() + ": " + file.errorString().toStdString(),
                             "choose another folder, or close the program that holds the file");
    return {};
}

void PlotBase::paintOn(QPainter& painter, const QSize& size)
{
    // Drawn in paper colours, then given its own back; the canvas itself is not shown in between.
    const PlotInk kept = *m_ink;
    m_ink->palette = Palette::of(Scheme::Paper);
    m_ink->scale = 1.0;
    m_paperHeight = size.height();
    restyle();
    showStop(std::nullopt);
    QPicture picture;
    {
        QCPPainter recorder;
        recorder.begin(&picture);
        recorder.setMode(QCPPainter::pmVectorized);
        recorder.setMode(QCPPainter::pmNoCaching);
        m_canvas->toPainter(&recorder, size.width(), size.height());
        recorder.end();
    }
    *m_ink = kept;
    m_paperHeight = 0;
    restyle();
    showStop(m_cursor);
    // A picture is played at the ratio of the two devices' resolutions; here one px stays one unit of the painter.
    painter.save();
    painter.scale(double(picture.logicalDpiX()) / painter.device()->logicalDpiX(),
                  double(picture.logicalDpiY()) / painter.device()->logicalDpiY());
    painter.drawPicture(0, 0, picture);
    painter.restore();
    drawLater();
}

core::Result<void> PlotBase::exportTo(const QString& path)
{
    const QString lower = path.toLower();
    if (lower.endsWith(u".csv"))
        return writeBytes(path, csv());
    const QSize drawing(std::max(320, m_canvas->width()), std::max(160, m_canvas->height()));
    const QSize sheet(drawing.width(), drawing.height() + kCaptionHeight);
    const auto draw = [&](QPainter& painter) {
        painter.fillRect(QRect(QPoint(0, 0), sheet), Qt::white);
        paintOn(painter, drawing);
        painter.setPen(Qt::black);
        painter.setFont(paperFontOf(TextRole::Axis));
        painter.drawText(QRectF(8, drawing.height(), sheet.width() - 16, kCaptionHeight), Qt::AlignLeft | Qt::AlignVCenter,
                         m_caption.text());
    };
    if (lower.endsWith(u".png")) {
        constexpr double kFactor = 2.0;
        QImage image(sheet * kFactor, QImage::Format_RGB32);
        image.setDevicePixelRatio(kFactor);
        QPainter painter(&image);
        draw(painter);
        painter.end();
        QByteArray bytes;
        QBuffer buffer(&bytes);
        buffer.open(QIODevice::WriteOnly);
        image.save(&buffer, "PNG");
        return writeBytes(path, bytes);
    }
    if (lower.endsWith(u".svg")) {
        QByteArray bytes;
        QBuffer buffer(&bytes);
        QSvgGenerator generator;
        generator.setOutputDevice(&buffer);
        generator.setSize(sheet);
        generator.setViewBox(QRect(QPoint(0, 0), sheet));
        generator.setTitle(accessibleName());
        generator.setDescription(accessibleDescription());
        QPainter painter(&generator);
        draw(painter);
        painter.end();
        return writeBytes(path, bytes);
    }
    if (lower.endsWith(u".pdf")) {
        QByteArray bytes;
        QBuffer buffer(&bytes);
        buffer.open(QIODevice::WriteOnly);
        QPdfWriter writer(&buffer);
        // 96 px at scale 1 are one inch; the page is as large as the drawing.
        constexpr double kPxPerInch = 96.0;
        writer.setResolution(1200);
        writer.setPageSize(QPageSize(QSizeF(sheet) / kPxPerInch, QPageSize::Inch, QString(), QPageSize::ExactMatch));
        writer.setPageMargins(QMarginsF(0, 0, 0, 0));
        writer.setTitle(accessibleName());
        QPainter painter(&writer);
        painter.scale(writer.resolution() / kPxPerInch, writer.resolution() / kPxPerInch);
        draw(painter);
        painter.end();
        return writeBytes(path, bytes);
    }
    return core::failure(core::Errc::BadInput, "a plot cannot be written as " + path.toStdString(),
                         "end the name in .svg, .pdf, .png or .csv");
}

}  // namespace halfcell::app
