#pragma once

#include "app/register/register_presenter.h"
#include "app/register/register_table.h"
#include "app/style/metrics.h"

#include <QTimer>
#include <QVariantMap>
#include <QWidget>

class QBoxLayout;
class QLabel;
class QPushButton;
class QStackedWidget;

namespace halfcell::app {

class MoveForm;
class NewSensorForm;
class RegisterPeek;

/// The Register: who needs someone, and where is everything. Places at the left, the table, the peek under it (a right
/// column in a wide window), forms for moving and adding in the place of the peek.
///
/// Keys: letters go to the box; Enter the Record, Space the peek, F5 sorts, Ctrl+E the working of the current figure,
/// Ctrl+G groups by area, Ctrl+L a visit, Ctrl+M moves, Ctrl+N a new sensor, Esc closes a form or lets a filter go.
/// GUI thread only.
class RegisterDesk : public QWidget {
    Q_OBJECT
public:
    explicit RegisterDesk(Shop& shop, QWidget* parent = nullptr);

    [[nodiscard]] RegisterPresenter& presenter() { return m_presenter; }
    [[nodiscard]] const RegisterModel& model() const { return m_model; }

    /// What stands in the shop line, with the filter that is on and its way out.
    [[nodiscard]] std::vector<ShopLinePart> shopLine() const;
    /// The same as text with links.
    [[nodiscard]] QString sentence() const;
    /// A link of the shop line: filters, or clears.
    void follow(const QString& link);
    /// Places, table, form: what F6 walks.
    [[nodiscard]] QList<QWidget*> regions() const;
    /// Shows only rows that hold a fragment; empty shows all.
    void setTextFilter(const QString& text);
    void setFilter(RegisterFilter filter);
    /// Chooses a sensor (its place too, if it is not among the rows shown) and puts the focus on it.
    void choose(const QString& serial);
    [[nodiscard]] QString chosenSerial() const;
    /// Puts the focus where the next key acts: the table.
    void takeFocus();

    void openMove();
    void openNew();
    /// Peek shown or hidden; Space toggles it.
    void setPeekShown(bool shown);

    /// Place, sort, grouping and peek, to be remembered between sessions; no filters.
    [[nodiscard]] QVariantMap remembered() const;
    void remember(const QVariantMap& state);

Q_SIGNALS:
    void sentenceChanged();
    /// Open the Record; the list is the order shown.
    void recordAsked(const QString& serial, const QStringList& list);
    void visitAsked(const QString& serial);
    /// Letters typed where nothing takes letters: they belong in the box; the giver gets the focus back.
    void typed(QWidget* giver, const QString& letters);
    void workingReady(const halfcell::app::WorkingPage& page);
    void chosenChanged(const QString& serial);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void buildLayout();
    void connectParts();
    void arrange();
    void showRows();
    void showPeek();
    void showEmpty();
    void showPlaceButton();
    void chooseWantedPlace();
    void say(const QString& sentence);
    void openRecord();
    void askWorking();
    void closeForms();
    [[nodiscard]] bool peekAllowed() const;
    [[nodiscard]] QString filterWords() const;

    RegisterPresenter m_presenter;
    RegisterModel m_model;
    PlacesModel m_placesModel;
    PlacesTree* m_places = nullptr;
    QPushButton* m_placeButton = nullptr;
    RegisterTable* m_table = nullptr;
    QStackedWidget* m_center = nullptr;
    QLabel* m_emptyWords = nullptr;
    QPushButton* m_clear = nullptr;
    QLabel* m_note = nullptr;
    QStackedWidget* m_side = nullptr;
    RegisterPeek* m_peek = nullptr;
    QTimer m_peekSoon;  ///< the peek follows once the list stands: rows are gone through faster than it is drawn
    MoveForm* m_move = nullptr;
    NewSensorForm* m_new = nullptr;
    QBoxLayout* m_middle = nullptr;  ///< table and peek: beside or below each other
    WidthClass m_class = WidthClass::Normal;
    std::optional<bool> m_peekWanted;
    bool m_placesWanted = false;
    std::optional<QString> m_placeWanted;  ///< key of the remembered place, until there are places
    bool m_settled = false;                ///< the order as first seen has taken in the expected losses
};

}  // namespace halfcell::app
