#pragma once

#include <QLabel>

namespace halfcell::app {

/// One line of text that is cut in the middle where it does not fit; the whole text is the tool tip and the accessible
/// name. GUI thread only.
class ElidedLabel : public QLabel {
    Q_OBJECT
public:
    explicit ElidedLabel(QWidget* parent = nullptr);

    void setFullText(const QString& text);
    [[nodiscard]] QString fullText() const { return m_full; }
    [[nodiscard]] QSize minimumSizeHint() const override;
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void fit();

    QString m_full;
};

}  // namespace halfcell::app
