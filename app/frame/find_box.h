#pragma once

#include <QLineEdit>
#include <QPointer>
#include <QString>

#include <functional>
#include <vector>

class QListWidget;

namespace halfcell::app {

/// One hit of the box.
struct FindHit {
    QString group;     ///< "Sensors", "Points", "Lots", "Visits"
    QString text;
    QString kind;      ///< sensor, point, lot, visit
    QString key;
    QString serial;    ///< the sensor it leads to, empty if none
};

/// The one box: finds any fragment of tag, serial, place, lot or remark. Enter opens the chosen hit, Ctrl+Enter starts a
/// visit to it, Down walks, Esc gives the focus back. Results come through `setSource`, late answers are dropped.
class FindBox : public QLineEdit {
    Q_OBJECT
public:
    using Answer = std::function<void(std::vector<FindHit>)>;
    using Source = std::function<void(const QString& fragment, Answer answer)>;

    explicit FindBox(QWidget* parent = nullptr);
    ~FindBox() override;

    void setSource(Source source) { m_source = std::move(source); }
    /// Takes the focus; remembers who had it.
    void take();
    /// Types into the box from elsewhere (letters typed in a table).
    void typeFrom(QWidget* giver, const QString& text);
    [[nodiscard]] int hitCount() const;

Q_SIGNALS:
    void openAsked(const FindHit& hit);
    void visitAsked(const FindHit& hit);
    void nothingFound(const QString& text);

protected:
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void ask();
    void show(std::vector<FindHit> hits);
    void finish();
    void giveBack();
    void placeList();
    void sayChosen();
    [[nodiscard]] const FindHit* chosen() const;

    Source m_source;
    QListWidget* m_list = nullptr;
    std::vector<FindHit> m_hits;
    QPointer<QWidget> m_giver;
    quint64 m_generation = 0;
    bool m_openWhenFound = false;
    bool m_visitWhenFound = false;
};

}  // namespace halfcell::app
