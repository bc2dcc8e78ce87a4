// What keys and links do on the Register.
#include "app/panels/plain_words.h"
#include "app/register/register_desk.h"
#include "app/register/register_forms.h"
#include "app/register/register_peek.h"

#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QStackedWidget>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString needWords(Need need)
{
    switch (need) {
    case Need::Now: return RegisterDesk::tr("need someone now");
    case Need::Week: return RegisterDesk::tr("need work this week");
    case Need::Within: return RegisterDesk::tr("within limits");
    case Need::TooLittle: return RegisterDesk::tr("too little data");
    }
    return {};
}

}  // namespace

QString RegisterDesk::filterWords() const
{
    QStringList words;
    const RegisterFilter& filter = m_model.filter();
    if (filter.need)
        words.append(needWords(*filter.need));
    if (filter.overdue)
        words.append(tr("overdue"));
    if (!filter.text.isEmpty())
        words.append(u'"' + filter.text + u'"');
    return words.join(tr(" and "));
}

std::vector<ShopLinePart> RegisterDesk::shopLine() const
{
    std::vector<ShopLinePart> parts = m_presenter.shopLine();
    if (const QString words = filterWords(); !words.isEmpty()) {
        parts.push_back({.text = tr("   Only %1 shown. ").arg(words)});
        parts.push_back({.text = tr("Clear"), .link = u"clear"_s});
    }
    return parts;
}

QString RegisterDesk::sentence() const
{
    QString html;
    for (const ShopLinePart& part : shopLine()) {
        QString text = part.text.toHtmlEscaped();
        text.replace(u"   "_s, u" &nbsp; "_s);
        html += part.link.isEmpty() ? text : u"<a href=\"%1\">%2</a>"_s.arg(part.link, text);
    }
    return html;
}

void RegisterDesk::follow(const QString& link)
{
    RegisterFilter filter = m_model.filter();
    filter.need.reset();
    filter.overdue = link == u"overdue";
    if (link == u"clear")
        filter.text.clear();
    else if (link == u"need/now")
        filter.need = Need::Now;
    else if (link == u"need/week")
        filter.need = Need::Week;
    else if (link == u"need/within")
        filter.need = Need::Within;
    else if (link == u"need/few")
        filter.need = Need::TooLittle;
    // Counts of the shop line are of the whole shop.
    if (filter.need && filter.place.kind != Place::Kind::All)
        m_places->setCurrentIndex(m_placesModel.index(0, 0));
    if (filter.need)
        filter.place = Place{};
    setFilter(filter);
}

void RegisterDesk::setTextFilter(const QString& text)
{
    RegisterFilter filter = m_model.filter();
    filter.text = text;
    setFilter(filter);
}

void RegisterDesk::setFilter(RegisterFilter filter)
{
    const QString chosen = m_table->currentRow() != nullptr ? m_table->currentRow()->key : QString();
    m_model.setFilter(std::move(filter));
    if (chosen.isEmpty() || !m_table->choose(chosen))
        if (m_model.rowCount() > 0)
            m_table->setCurrentIndex(m_model.index(m_model.grouped() ? 1 : 0, RegisterModel::Sensor));
    m_peekSoon.start();
    Q_EMIT sentenceChanged();
}

void RegisterDesk::choose(const QString& serial)
{
    if (!m_table->choose(serial)) {
        const db::LatestState* state = m_presenter.stateOf(serial);
        RegisterFilter filter;
        if (state != nullptr && state->place == core::kScrap)
            filter.place.kind = Place::Kind::Scrapped;
        if (const QModelIndex place = m_placesModel.indexOf(filter.place); place.isValid())
            m_places->setCurrentIndex(place);
        setFilter(filter);
        m_table->choose(serial);
    }
    takeFocus();
}

QString RegisterDesk::chosenSerial() const
{
    const RegisterRow* row = m_table->currentRow();
    return row != nullptr && row->kind == RowKind::Sensor ? row->serial : QString();
}

void RegisterDesk::takeFocus()
{
    if (m_center->currentIndex() == 0)
        m_table->setFocus();
    else
        m_center->currentWidget()->setFocus();
}

void RegisterDesk::openRecord()
{
    const RegisterRow* row = m_table->currentRow();
    if (row == nullptr)
        return;
    if (row->kind == RowKind::Sensor)
        Q_EMIT recordAsked(row->serial, m_model.serials());
    else
        say(row->kind == RowKind::EmptyPoint
                ? tr("No sensor is in place at %1. Choose a spare on the shelf and move it here with Ctrl+M.").arg(row->tag)
                : tr("Look which one is at %1, then move the other with Ctrl+M.").arg(row->tag));
}

void RegisterDesk::askWorking()
{
    const RegisterRow* row = m_table->currentRow();
    if (row == nullptr || row->kind != RowKind::Sensor)
        return;
    QString figure = RegisterModel::figureKey(static_cast<RegisterModel::Column>(m_table->currentIndex().column()), *row);
    if (figure.isEmpty()) {
        // Elsewhere in the row: the figure that caused the signal, else the first one.
        if (row->offset.guilty)
            figure = RegisterModel::figureKey(RegisterModel::Offset, *row);
        else if (row->t90.guilty)
            figure = RegisterModel::figureKey(RegisterModel::T90, *row);
        else
            figure = RegisterModel::figureKey(RegisterModel::Efficiency, *row);
    }
    m_presenter.askWorking(row->serial, figure);
}

void RegisterDesk::openMove()
{
    const db::LatestState* state = m_presenter.stateOf(chosenSerial());
    if (state == nullptr) {
        say(tr("Choose a sensor first: this row is none."));
        return;
    }
    const bool leavesPoint = !state->place.empty() && !isStore(state->place);
    m_side->setCurrentWidget(m_move);
    arrange();
    m_move->open(plain(state->serial), state->place.empty() ? QString() : placeWord(state->place), leavesPoint,
                 placeChoices(*m_presenter.shop().reference()));
}

void RegisterDesk::openNew()
{
    if (!m_presenter.ready())
        return;
    QStringList models;
    for (const core::Model& model : m_presenter.shop().reference()->models)
        models.append(plain(model.model));
    models.sort();
    m_side->setCurrentWidget(m_new);
    arrange();
    m_new->open(placeChoices(*m_presenter.shop().reference()), models);
}

void RegisterDesk::closeForms()
{
    m_side->setCurrentWidget(m_peek);
    arrange();
    takeFocus();
}

QList<QWidget*> RegisterDesk::regions() const
{
    QList<QWidget*> regions;
    if (!m_places->isHidden())
        regions.append(m_places);
    regions.append(m_center->currentWidget());
    if (!m_side->isHidden() && m_side->currentWidget() != m_peek)
        regions.append(m_side->currentWidget());
    return regions;
}

void RegisterDesk::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers() == Qt::ControlModifier;
    switch (event->key()) {
    case Qt::Key_F5: m_model.resort(); return;
    case Qt::Key_E:
        if (control)
            return askWorking();
        break;
    case Qt::Key_G:
        if (control)
            return m_model.setGrouped(!m_model.grouped());
        break;
    case Qt::Key_L:
        if (control && !chosenSerial().isEmpty()) {
            Q_EMIT visitAsked(chosenSerial());
            return;
        }
        break;
    case Qt::Key_M:
        if (control)
            return openMove();
        break;
    case Qt::Key_N:
        if (control)
            return openNew();
        break;
    case Qt::Key_Escape:
        if (m_side->currentWidget() != m_peek)
            return closeForms();
        if (!filterWords().isEmpty())
            return follow(u"clear"_s);
        break;
    default: break;
    }
    QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app
