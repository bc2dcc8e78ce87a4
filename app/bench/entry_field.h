#pragma once

#include "app/bench/bench_model.h"
#include "app/bench/number_entry.h"

#include <QLineEdit>

namespace halfcell::app::bench {

class BenchPresenter;

/// One field of the form. Numbers, signs and times are edited here; every other key goes to the presenter, so that the
/// hand stays on the number pad: Enter takes and goes on, Shift+Enter goes back, Up opens the field above, Space stamps.
/// Takes part in Tab order like any field. GUI thread only.
class EntryField : public QLineEdit {
    Q_OBJECT
public:
    enum class Mode { Number, Time, Serial, Words };

    EntryField(BenchPresenter& presenter, const Stop& stop, Mode mode, const NumberShape& shape, QWidget* parent = nullptr);

    [[nodiscard]] const Stop& stop() const { return m_stop; }
    /// Shows what the model holds; leaves cursor and selection alone when the text is the same.
    void showText(const std::string& ascii);
    /// Selects everything: the next digit replaces the text.
    void readAgain();
    /// Width in digits at the present scale.
    void setDigits(int digits);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool event(QEvent* event) override;
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

private:
    bool typeCharacter(QChar key);
    void pasteNumber();
    void setAscii(const std::string& ascii, int cursor);
    void takeOver();

    BenchPresenter& m_presenter;
    Stop m_stop;
    Mode m_mode;
    NumberShape m_shape;
    std::string m_ascii;
    int m_digits = 5;
    bool m_setting = false;
};

}  // namespace halfcell::app::bench
