#pragma once

#include "app/bench/bench_model.h"
#include "app/bench/live_readings.h"

#include <QWidget>

class QLabel;
class QPushButton;

namespace halfcell::app::bench {

class BenchPresenter;
class EntryField;
class NoteLine;

/// One dip: standard, what it read last and should read, mV, °C, seconds; as left also what the analyser then shows.
/// Under it what is to be said about it. GUI thread only.
class DipRow : public QWidget {
    Q_OBJECT
public:
    /// `wide`: with the field for the analyser's own display.
    DipRow(BenchPresenter& presenter, core::Phase phase, std::size_t dip, bool wide, QWidget* parent = nullptr);

    void refresh(const Dip& dip, const LiveDip& live, const QString& change, const QString& said, bool asks);
    [[nodiscard]] EntryField* field(StopKind kind) const;

Q_SIGNALS:
    void standardAsked();

private:
    BenchPresenter& m_presenter;
    core::Phase m_phase;
    std::size_t m_dip;
    QPushButton* m_standard;
    QLabel* m_last;
    QLabel* m_ideal;
    EntryField* m_mv;
    EntryField* m_temp;
    EntryField* m_wait;
    EntryField* m_shown = nullptr;
    QLabel* m_change;
    NoteLine* m_note;
};

}  // namespace halfcell::app::bench
