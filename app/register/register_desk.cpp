#include "app/register/register_desk.h"

#include "app/register/register_delegate.h"
#include "app/register/register_forms.h"
#include "app/register/register_peek.h"
#include "app/style/ink_style.h"
#include "app/style/type.h"

#include <QBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QResizeEvent>
#include <QStackedWidget>

#include <algorithm>
#include <utility>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

RegisterDesk::RegisterDesk(Shop& shop, QWidget* parent) : QWidget(parent), m_presenter(shop)
{
    setObjectName(u"register.desk.page"_s);
    setAccessibleName(tr("Register"));
    setSurface(this, Role::Ground);
    buildLayout();
    connectParts();
    showRows();
    arrange();
}

void RegisterDesk::buildLayout()
{
    m_places = new PlacesTree(m_placesModel, this);
    m_placeButton = new QPushButton(this);
    m_placeButton->setObjectName(u"register.places.chosen"_s);
    m_table = new RegisterTable(m_model, this);
    auto* empty = new QWidget(this);
    setSurface(empty, Role::Ground);
    m_emptyWords = new QLabel(empty);
    m_emptyWords->setObjectName(u"register.empty.sentence"_s);
    m_emptyWords->setWordWrap(true);
    setTextRole(m_emptyWords, TextRole::Finding);
    m_clear = new QPushButton(tr("&Clear"), empty);
    m_clear->setObjectName(u"register.empty.clear"_s);
    auto* emptyColumn = new QVBoxLayout(empty);
    emptyColumn->addWidget(m_emptyWords);
    emptyColumn->addWidget(m_clear, 0, Qt::AlignLeft);
    emptyColumn->addStretch(1);
    m_center = new QStackedWidget(this);
    m_center->addWidget(m_table);
    m_center->addWidget(empty);
    m_note = new QLabel(this);
    m_note->setObjectName(u"register.list.note"_s);
    m_note->setWordWrap(true);
    m_note->setContentsMargins(Metrics::of(this).margin(), Metrics::of(this).grid(1), Metrics::of(this).margin(),
                               Metrics::of(this).grid(1));
    setTextRole(m_note, TextRole::Body, Weight::Heavy);
    m_note->hide();
    m_peek = new RegisterPeek(this);
    m_move = new MoveForm(this);
    m_new = new NewSensorForm(this);
    m_side = new QStackedWidget(this);
    m_side->addWidget(m_peek);
    m_side->addWidget(m_move);
    m_side->addWidget(m_new);
    auto* list = new QVBoxLayout;
    list->setSpacing(0);
    list->setContentsMargins(0, 0, 0, 0);
    list->addWidget(m_placeButton);
    list->addWidget(m_center, 1);
    list->addWidget(m_note);
    m_middle = new QBoxLayout(QBoxLayout::TopToBottom);
    m_middle->setSpacing(1);
    m_middle->setContentsMargins(0, 0, 0, 0);
    m_middle->addLayout(list, 1);
    m_middle->addWidget(m_side);
    auto* row = new QHBoxLayout(this);
    row->setSpacing(1);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(m_places);
    row->addLayout(m_middle, 1);
    setTabOrder(m_places, m_placeButton);
    setTabOrder(m_placeButton, m_table);
}

void RegisterDesk::connectParts()
{
    m_peekSoon.setSingleShot(true);
    m_peekSoon.setInterval(0);
    connect(&m_peekSoon, &QTimer::timeout, this, &RegisterDesk::showPeek);
    connect(&m_presenter, &RegisterPresenter::rowsChanged, this, &RegisterDesk::showRows);
    connect(&m_presenter, &RegisterPresenter::shopLineChanged, this, &RegisterDesk::sentenceChanged);
    connect(&m_presenter, &RegisterPresenter::workingReady, this, &RegisterDesk::workingReady);
    connect(&m_presenter, &RegisterPresenter::refused, this, [this](const QString& sentence) {
        if (m_side->currentWidget() == m_move)
            m_move->say(sentence);
        else if (m_side->currentWidget() == m_new)
            m_new->say(sentence);
        else
            say(sentence);
    });
    connect(&m_presenter, &RegisterPresenter::moved, this, [this](const QString& sentence) {
        closeForms();
        say(sentence);
    });
    connect(&m_presenter, &RegisterPresenter::added, this, [this](const QString&, const QString& sentence) {
        closeForms();
        say(sentence);
    });
    connect(m_move, &MoveForm::moveAsked, this,
            [this](const QString& serial, const QString& place, const QString& when, std::optional<core::RemovalReason> reason) {
                m_presenter.move(serial, place, when, reason);
            });
    connect(m_new, &NewSensorForm::addAsked, &m_presenter, &RegisterPresenter::addSensor);
    connect(m_move, &MoveForm::closed, this, &RegisterDesk::closeForms);
    connect(m_new, &NewSensorForm::closed, this, &RegisterDesk::closeForms);
    connect(&m_model, &RegisterModel::waitingMovesChanged, this, [this](int moves) {
        if (moves == 0)
            say({});
        else
            say(moves == 1 ? tr("1 row would move. F5 sorts") : tr("%1 rows would move. F5 sorts").arg(moves));
    });
    connect(&m_model, &QAbstractItemModel::modelReset, this, &RegisterDesk::showEmpty);
    connect(&m_model, &QAbstractItemModel::rowsRemoved, this, &RegisterDesk::showEmpty);
    connect(m_table, &RegisterTable::opened, this, &RegisterDesk::openRecord);
    connect(m_table, &RegisterTable::typed, this, [this](const QString& letters) { Q_EMIT typed(m_table, letters); });
    connect(m_table, &RegisterTable::peekAsked, this, [this] { setPeekShown(!m_side->isVisible()); });
    connect(m_table, &RegisterTable::rowChosen, this, [this] {
        m_peekSoon.start();
        Q_EMIT chosenChanged(chosenSerial());
    });
    connect(m_places, &PlacesTree::typed, this, [this](const QString& letters) { Q_EMIT typed(m_places, letters); });
    connect(m_places, &PlacesTree::placeChosen, this, [this](const Place& place) {
        RegisterFilter filter = m_model.filter();
        filter.place = place;
        setFilter(filter);
        showPlaceButton();
    });
    connect(m_places, &PlacesTree::opened, this, [this] {
        m_placesWanted = false;
        arrange();
        takeFocus();
    });
    connect(m_placeButton, &QPushButton::clicked, this, [this] {
        m_placesWanted = !m_placesWanted;
        arrange();
        if (m_placesWanted)
            m_places->setFocus();
    });
    connect(m_clear, &QPushButton::clicked, this, [this] {
        follow(u"clear"_s);
        takeFocus();
    });
}

void RegisterDesk::showRows()
{
    const QString chosen = m_table->currentRow() != nullptr ? m_table->currentRow()->key : QString();
    m_placesModel.setRows(*m_presenter.rows());
    if (!m_places->currentIndex().isValid() && m_placesModel.rowCount() > 0)
        m_places->setCurrentIndex(m_placesModel.index(0, 0));
    chooseWantedPlace();
    m_model.setRows(m_presenter.rows());
    // Expected losses come in a moment after the book: nobody has laid a hand on the list yet, so it may still settle.
    if (m_presenter.outlineKnown() && !m_settled) {
        m_settled = true;
        if (!m_table->touched())
            m_model.resort();
    }
    if (!m_presenter.ready())
        m_settled = false;
    if (!chosen.isEmpty())
        m_table->choose(chosen);
    else if (m_model.rowCount() > 0 && m_table->currentRow() == nullptr)
        m_table->setCurrentIndex(m_model.index(0, RegisterModel::Sensor));
    m_peekSoon.start();
    showEmpty();
    showPlaceButton();
}

void RegisterDesk::showEmpty()
{
    const bool none = m_model.rowCount() == 0;
    m_center->setCurrentIndex(none ? 1 : 0);
    if (!none)
        return;
    const QString filter = filterWords();
    if (!m_presenter.ready())
        m_emptyWords->setText(tr("Reading the book."));
    else if (m_presenter.rows()->empty())
        m_emptyWords->setText(tr("No sensors here. Ctrl+N adds one; Cabinet > Import takes a list."));
    else if (!filter.isEmpty())
        m_emptyWords->setText(tr("Nothing here matches %1.").arg(filter));
    else
        m_emptyWords->setText(tr("No sensors in this place. Ctrl+N adds one; Ctrl+M in another list moves one here."));
    m_clear->setVisible(!filter.isEmpty());
}

void RegisterDesk::showPeek()
{
    const RegisterRow* row = m_table->currentRow();
    if (row != nullptr)
        m_peek->setPage(m_presenter.peek(*row));
    else
        m_peek->clear();
}

void RegisterDesk::showPlaceButton()
{
    const QModelIndex at = m_places->currentIndex();
    m_placeButton->setText(tr("%1, %2").arg(m_placesModel.placeOf(at).words(), countText(m_placesModel.countOf(at))));
    m_placeButton->setAccessibleName(tr("Chosen place: %1").arg(m_placeButton->text()));
}

void RegisterDesk::say(const QString& sentence)
{
    m_note->setText(sentence);
    m_note->setVisible(!sentence.isEmpty());
}

// --- layout ----------------------------------------------------------------------------------------------------------

bool RegisterDesk::peekAllowed() const
{
    return m_peekWanted.value_or(m_class == WidthClass::Wide || m_class == WidthClass::Normal);
}

void RegisterDesk::arrange()
{
    const Metrics metrics = Metrics::of(this);
    m_class = metrics.widthClass(width());
    const bool wide = m_class == WidthClass::Wide;
    const bool folded = m_class == WidthClass::Narrow || m_class == WidthClass::Single;
    m_places->setVisible(!folded || m_placesWanted);
    m_placeButton->setVisible(folded);
    m_places->setFixedWidth(metrics.leftColumn());
    const bool form = m_side->currentWidget() != m_peek;
    m_side->setVisible(form || peekAllowed());
    m_middle->setDirection(wide ? QBoxLayout::LeftToRight : QBoxLayout::TopToBottom);
    m_peek->setColumn(wide);
    const int left = m_places->isHidden() ? 0 : metrics.leftColumn() + 1;
    int room = width() - left;
    if (wide) {
        int needed = metrics.px(24);
        for (int i = 0; i < RegisterModel::PlaceColumn; ++i)
            needed += metrics.px(RegisterDelegate::widthOf(static_cast<RegisterModel::Column>(i)));
        // The table's own columns first; what is left is the peek's, up to its full width.
        const int column = std::clamp(room - needed, metrics.px(320), metrics.rightColumn());
        m_side->setFixedWidth(column);
        m_side->setMinimumHeight(0);
        m_side->setMaximumHeight(QWIDGETSIZE_MAX);
        if (!m_side->isHidden())
            room -= column + 1;
    } else {
        m_side->setMinimumWidth(0);
        m_side->setMaximumWidth(QWIDGETSIZE_MAX);
        m_side->setFixedHeight(metrics.peek());
    }
    m_table->fitColumns(room - metrics.px(4));
}

void RegisterDesk::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    arrange();
}

void RegisterDesk::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_middle != nullptr)
        arrange();
}

void RegisterDesk::setPeekShown(bool shown)
{
    m_peekWanted = shown;
    arrange();
}

QVariantMap RegisterDesk::remembered() const
{
    QVariantMap state{{u"place"_s, m_model.filter().place.key()}, {u"grouped"_s, m_model.grouped()}};
    if (const auto column = m_model.sortColumn()) {
        state.insert(u"sort"_s, static_cast<int>(*column));
        state.insert(u"descending"_s, m_model.sortOrder() == Qt::DescendingOrder);
    }
    if (m_peekWanted)
        state.insert(u"peek"_s, *m_peekWanted);
    return state;
}

void RegisterDesk::remember(const QVariantMap& state)
{
    m_model.setGrouped(state.value(u"grouped"_s).toBool());
    if (const int column = state.value(u"sort"_s, -1).toInt(); column >= 0 && column < RegisterModel::kColumnCount) {
        const Qt::SortOrder order = state.value(u"descending"_s).toBool() ? Qt::DescendingOrder : Qt::AscendingOrder;
        m_model.sortBy(static_cast<RegisterModel::Column>(column), order);
        m_table->horizontalHeader()->setSortIndicator(column, order);
    }
    if (state.contains(u"peek"_s))
        setPeekShown(state.value(u"peek"_s).toBool());
    m_placeWanted = state.value(u"place"_s).toString();
    chooseWantedPlace();
}

/// Places come with the rows: the remembered one is chosen as soon as it is there.
void RegisterDesk::chooseWantedPlace()
{
    if (!m_placeWanted || m_presenter.rows()->empty())
        return;
    const QString place = *std::exchange(m_placeWanted, std::nullopt);
    for (int i = 0; i < m_placesModel.rowCount(); ++i) {
        const QModelIndex top = m_placesModel.index(i, 0);
        if (m_placesModel.placeOf(top).key() == place)
            m_places->setCurrentIndex(top);
        for (int j = 0; j < m_placesModel.rowCount(top); ++j)
            if (const QModelIndex inner = m_placesModel.index(j, 0, top); m_placesModel.placeOf(inner).key() == place)
                m_places->setCurrentIndex(inner);
    }
}

}  // namespace halfcell::app
