#include "app/cabinet/audit_page.h"

#include "app/cabinet/chain_words.h"
#include "app/cabinet/page_parts.h"
#include "app/panels/plain_words.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"

#include <QAbstractItemView>
#include <QButtonGroup>
#include <QClipboard>
#include <QComboBox>
#include <QFontMetrics>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QLineEdit>
#include <QProgressBar>
#include <QRadioButton>
#include <QVBoxLayout>

#include <algorithm>
#include <set>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

/// The three lists, made off the GUI thread.
struct AuditPage::Lines {
    std::vector<AuditLine> changes, journal;
    std::vector<StandingLine> standing;
};

AuditPage::AuditPage(Shop& shop, QWidget* parent) : QWidget(parent), m_shop(shop)
{
    build();
    connect(&m_shop, &Shop::chainChanged, this, &AuditPage::showChain);
    connect(&m_shop, &Shop::asKnownChanged, this, &AuditPage::showMoment);
    const auto stale = [this] {
        m_stale = true;
        if (isVisible())
            refresh();
    };
    connect(&m_shop, &Shop::overviewChanged, this, stale);
    connect(&m_shop, &Shop::bookOpened, this, [this] { m_chain->clear(), m_answer->clear(), m_noted->clear(), showMoment(), showChain(); });
    showMoment();
    showChain();
}

AuditModel* AuditPage::model(AuditModel::Kind kind) const
{
    return m_models[static_cast<int>(kind)];
}

void AuditPage::showEvent(QShowEvent* event)
{
    QWidget::showEvent(event);
    if (m_stale)
        refresh();
}

// --- the page --------------------------------------------------------------------------------------------------------

QLineEdit* AuditPage::field(const QString& label, const QString& name, const QString& spoken, QBoxLayout* row)
{
    auto* words = new QLabel(label, this);
    auto* edit = new QLineEdit(this);
    edit->setObjectName(name);
    edit->setAccessibleName(spoken);
    words->setBuddy(edit);
    row->addWidget(words);
    row->addWidget(edit);
    return edit;
}

void AuditPage::build()
{
    setObjectName(u"cabinet.audit"_s);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(headingLabel(tr("Audit"), this));
    buildMoment(layout);
    buildChain(layout);
    buildList(layout);
    applyMetrics();
}

void AuditPage::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    layout()->setContentsMargins(metrics.margin(), metrics.margin(), metrics.margin(), metrics.margin());
    layout()->setSpacing(metrics.spacing());
    m_progress->setMaximumWidth(metrics.px(160));
    m_view->setMinimumHeight(3 * metrics.row());
    // As wide as the longest thing that is typed there.
    const auto wide = [&](QLineEdit* edit, const QString& longest) {
        edit->setFixedWidth(QFontMetrics(fontOf(TextRole::Field, Weight::Regular, metrics.scale)).horizontalAdvance(longest) +
                            metrics.px(24));
    };
    wide(m_date, u"2025-11-12 16:00"_s);
    for (QLineEdit* edit : {m_since, m_until})
        wide(edit, u"2025-11-12"_s);
}

void AuditPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_view != nullptr)
        applyMetrics();
}

void AuditPage::buildMoment(QVBoxLayout* layout)
{
    auto* row = new QHBoxLayout;
    m_subject = field(tr("S&how"), u"cabinet.audit.subject"_s, tr("Show: serial, tag, bottle, visit or word"), row);
    m_subject->setPlaceholderText(tr("serial, tag, bottle, visit; empty: all"));
    m_date = field(tr("&as known on"), u"cabinet.audit.date"_s, tr("As known on: date, or date and time; empty for now"), row);
    m_date->setPlaceholderText(tr("now"));
    auto* go = new QPushButton(tr("Sho&w  (Enter)"), this);
    go->setObjectName(u"cabinet.audit.show"_s);
    row->addWidget(go);
    layout->addLayout(row);
    m_then = sentenceLabel({}, this);
    m_then->setObjectName(u"cabinet.audit.then"_s);
    m_then->setAccessibleName(tr("How it stood"));
    layout->addWidget(m_then);

    const auto apply = [this] {
        const auto now = m_shop.now();
        const auto moment = parseAsKnown(m_date->text(), now);
        if (!moment) {
            say(m_then, tr("\"%1\" is no moment: a date as 2025-11-12 or 12 Nov 2025, with a time as 16:00 after it if it matters.")
                            .arg(m_date->text()));
            return;
        }
        if (now < *moment && !m_date->text().trimmed().isEmpty()) {
            say(m_then, tr("That is later than now. The book can be shown as it was known, not as it will be."));
            return;
        }
        const auto wanted = *moment == now || m_date->text().trimmed().isEmpty() ? std::nullopt : std::optional(*moment);
        if (wanted == m_shop.asKnown()) {
            saySensor();
            return;
        }
        m_then->setText(tr("Reading the book as known then."));
        m_shop.setAsKnown(wanted);
    };
    connect(m_subject, &QLineEdit::returnPressed, this, apply);
    connect(m_date, &QLineEdit::returnPressed, this, apply);
    connect(go, &QPushButton::clicked, this, apply);
    connect(m_subject, &QLineEdit::textChanged, this, &AuditPage::filter);
}

void AuditPage::buildChain(QVBoxLayout* layout)
{
    auto* row = new QHBoxLayout;
    m_chain = sentenceLabel({}, this);
    m_chain->setObjectName(u"cabinet.audit.chain"_s);
    m_chain->setAccessibleName(tr("Chain of the journal"));
    row->addWidget(m_chain, 1);
    m_progress = new QProgressBar(this);
    m_progress->setObjectName(u"cabinet.audit.progress"_s);
    m_progress->setAccessibleName(tr("Checking, share done"));
    row->addWidget(m_progress);
    m_stop = new QPushButton(tr("S&top"), this);
    m_stop->setObjectName(u"cabinet.audit.stop"_s);
    m_stop->setAccessibleName(tr("Stop checking"));
    row->addWidget(m_stop);
    m_verify = new QPushButton(tr("&Verify now"), this);
    m_verify->setObjectName(u"cabinet.audit.verify"_s);
    row->addWidget(m_verify);
    layout->addLayout(row);

    auto* headRow = new QHBoxLayout;
    m_head = sentenceLabel({}, this);
    m_head->setObjectName(u"cabinet.audit.head"_s);
    m_head->setAccessibleName(tr("Head of the journal"));
    headRow->addWidget(m_head, 1);
    m_copy = new QPushButton(tr("&Copy head"), this);
    m_copy->setObjectName(u"cabinet.audit.copy"_s);
    m_copy->setToolTip(tr("Number and hash of the last entry, to be noted on paper and checked later"));
    headRow->addWidget(m_copy);
    layout->addLayout(headRow);

    auto* notedRow = new QHBoxLayout;
    m_noted =
        field(tr("Head that was &noted"), u"cabinet.audit.noted"_s, tr("Head that was noted: hash, or entry, colon and hash"), notedRow);
    m_noted->setPlaceholderText(tr("hash, or entry:hash; 12 digits are enough"));
    m_check = new QPushButton(tr("Chec&k"), this);
    m_check->setObjectName(u"cabinet.audit.check"_s);
    m_check->setAccessibleName(tr("Check the noted head"));
    notedRow->addWidget(m_check);
    layout->addLayout(notedRow);
    m_answer = sentenceLabel({}, this);
    m_answer->setObjectName(u"cabinet.audit.answer"_s);
    m_answer->setAccessibleName(tr("Answer on the noted head"));
    m_answer->hide();
    layout->addWidget(m_answer);

    connect(m_verify, &QPushButton::clicked, &m_shop, &Shop::checkChain);
    connect(m_stop, &QPushButton::clicked, &m_shop, &Shop::stopBackground);
    connect(m_copy, &QPushButton::clicked, this, [this] {
        QGuiApplication::clipboard()->setText(m_copy->property("head").toString());
        Q_EMIT announced(tr("Head copied: %1").arg(m_copy->property("head").toString()));
    });
    connect(m_noted, &QLineEdit::returnPressed, this, &AuditPage::checkNoted);
    connect(m_check, &QPushButton::clicked, this, &AuditPage::checkNoted);
}

void AuditPage::buildList(QVBoxLayout* layout)
{
    auto* row = new QHBoxLayout;
    m_lists = new QButtonGroup(this);
    const std::pair<QString, QString> lists[] = {{tr("Changed &figures"), u"cabinet.audit.list.changes"_s},
                                                 {tr("&Journal"), u"cabinet.audit.list.journal"_s},
                                                 {tr("How it st&ood"), u"cabinet.audit.list.standing"_s}};
    for (int i = 0; i < 3; ++i) {
        auto* button = new QRadioButton(lists[i].first, this);
        button->setObjectName(lists[i].second);
        m_lists->addButton(button, i);
        row->addWidget(button);
        m_models[i] = new AuditModel(static_cast<AuditModel::Kind>(i), this);
    }
    row->addStretch(1);
    m_count = new QLabel(this);
    m_count->setObjectName(u"cabinet.audit.count"_s);
    row->addWidget(m_count);
    layout->addLayout(row);

    auto* filters = new QHBoxLayout;
    const auto combo = [&](const QString& label, const QString& name, const QString& spoken) {
        auto* words = new QLabel(label, this);
        auto* box = new QComboBox(this);
        box->setObjectName(name);
        box->setAccessibleName(spoken);
        box->view()->setObjectName(name + u".list"_s);
        box->view()->setAccessibleName(tr("Choices of %1").arg(spoken));
        box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
        box->setMinimumContentsLength(12);
        words->setBuddy(box);
        filters->addWidget(words);
        filters->addWidget(box, 1);
        connect(box, &QComboBox::currentIndexChanged, this, &AuditPage::filter);
        return box;
    };
    m_what = combo(tr("K&ind"), u"cabinet.audit.kind"_s, tr("Kind of record"));
    m_who = combo(tr("&Person"), u"cabinet.audit.person"_s, tr("Person"));
    m_since = field(tr("f&rom"), u"cabinet.audit.since"_s, tr("Written from: date"), filters);
    m_until = field(tr("&until"), u"cabinet.audit.until"_s, tr("Written until: date"), filters);
    for (QLineEdit* edit : {m_since, m_until}) {
        edit->setPlaceholderText(u"2025-11-12"_s);
        connect(edit, &QLineEdit::textChanged, this, &AuditPage::filter);
    }
    layout->addLayout(filters);

    m_view = new PageTable(m_models[0], u"cabinet.audit.table"_s, tr("Changed figures"), this);
    layout->addWidget(m_view, 1);
    connect(m_lists, &QButtonGroup::idClicked, this, [this](int id) { showList(static_cast<AuditModel::Kind>(id)); });
    connect(m_view, &QTableView::activated, this, [this](const QModelIndex& index) { openRow(index.row()); });
    m_lists->button(0)->setChecked(true);
    showList(AuditModel::Kind::Changes);
}

void AuditPage::say(QLabel* where, const QString& sentence)
{
    where->setText(sentence);
    speak(where);
    Q_EMIT announced(sentence);
}

// --- what it shows ---------------------------------------------------------------------------------------------------

QString AuditPage::sentence() const
{
    if (!m_book)
        return tr("Reading the journal.");
    const auto overdue =
        std::ranges::count_if(m_book->due, [this](const core::DueTask& t) { return t.latest < core::dayNumber(m_book->moment); });
    return tr("%1 journal entries by then, %2 changed figures; %3 tasks overdue; rule set %4 in force.")
        .arg(countText(static_cast<qint64>(m_book->entries.size())), countText(model(AuditModel::Kind::Changes)->total()),
             countText(overdue), plain(m_book->overview->rules.id()));
}

void AuditPage::showMoment()
{
    const auto moment = m_shop.asKnown();
    m_date->setText(moment ? QString(asKnownWords(*moment)).remove(u',') : QString());
}

void AuditPage::refresh()
{
    if (!m_shop.isOpen())
        return;
    if (m_shop.overview() == nullptr) {
        m_stale = true;  // read once that is there
        m_then->setText(tr("What was due is still being worked out."));
        return;
    }
    m_stale = false;
    const quint64 reading = ++m_reading;
    m_shop.audit(this, [this, reading](core::Result<std::shared_ptr<const AuditBook>> book) {
        if (reading == m_reading)
            showBook(book);
    });
}

void AuditPage::showBook(const core::Result<std::shared_ptr<const AuditBook>>& book)
{
    if (!book) {
        say(m_then, userText(book.error()));
        return;
    }
    m_jobs.read(
        this,
        [audit = *book] {
            return std::make_shared<Lines>(Lines{changedFields(*audit), journalLines(*audit), standingThen(*audit)});
        },
        [this, audit = *book, reading = m_reading](const std::shared_ptr<Lines>& lines) {
            if (reading != m_reading)
                return;
            m_book = audit;
            showLines(std::move(*lines));
        });
}

void AuditPage::showLines(Lines lines)
{
    model(AuditModel::Kind::Changes)->setLines(std::move(lines.changes));
    model(AuditModel::Kind::Journal)->setLines(std::move(lines.journal));
    model(AuditModel::Kind::Standing)->setStanding(std::move(lines.standing));
    fillChoices();
    filter();
    m_view->fitColumns();
    saySensor();
    showChain();
    Q_EMIT sentenceChanged();
}

void AuditPage::saySensor()
{
    if (!m_book)
        return;
    const QString subject = m_subject->text().trimmed();
    QString text = sensorThen(*m_book, subject);
    if (text.isEmpty() && !subject.isEmpty())
        text = tr("No sensor or point is called %1 then; the lists show what names it.").arg(subject);
    else if (text.isEmpty())
        text = sentence();
    say(m_then, text);
}

void AuditPage::showChain()
{
    const ChainState& chain = m_shop.chain();
    m_progress->setVisible(chain.running);
    m_stop->setVisible(chain.running);
    m_verify->setEnabled(!chain.running && m_shop.isOpen());
    m_progress->setValue(static_cast<int>(chain.fraction * 100.0));
    const QString before = m_chain->text();
    m_chain->setText(chainWords(chain));
    QString head;
    if (m_book && !m_book->entries.empty())
        head = u"%1:%2"_s.arg(m_book->entries.back().seq).arg(plain(m_book->entries.back().hash));
    m_copy->setEnabled(!head.isEmpty());
    m_copy->setProperty("head", head);
    m_head->setText(head.isEmpty() ? QString() : tr("Head %1").arg(head));
    if (!chain.running && m_chain->text() != before && isVisible())
        say(m_chain, m_chain->text());
}

void AuditPage::checkNoted()
{
    const QString noted = m_noted->text().simplified().remove(u' ');
    m_answer->show();
    if (noted.isEmpty()) {
        say(m_answer, tr("Type the head as it was noted: the hash, or the entry's number, a colon and the hash."));
        return;
    }
    m_check->setEnabled(false);
    m_answer->setText(tr("Checking the chain against that head."));
    m_shop.checkHead(noted.toStdString(), this, [this, noted](const core::Result<db::VerifyReport>& report) {
        m_check->setEnabled(true);
        if (!report && report.error().code == core::Errc::Cancelled)
            m_answer->setText(tr("Stopped before the end; nothing is said about that head."));
        else if (!report)
            m_answer->setText(userText(report.error()));
        else if (report->ok)
            m_answer->setText(tr("Yes. The chain is whole and holds the noted head %1.").arg(noted));
        else
            m_answer->setText(
                tr("No. %1 Don't log in this book; restore the last backup beside it and compare.").arg(plain(report->firstBad)));
        say(m_answer, m_answer->text());
    });
}

void AuditPage::showList(AuditModel::Kind kind)
{
    m_kind = kind;
    m_lists->button(static_cast<int>(kind))->setChecked(true);
    m_view->setModel(model(kind));
    m_view->setAccessibleName(QString(m_lists->button(static_cast<int>(kind))->text()).remove(u'&'));
    m_view->fitColumns();
    const bool journal = kind != AuditModel::Kind::Standing;
    m_who->setEnabled(journal);
    m_since->setEnabled(journal);
    m_until->setEnabled(journal);
    fillChoices();
    filter();
}

void AuditPage::fillChoices()
{
    std::set<QString> kinds, people;
    if (m_kind == AuditModel::Kind::Standing)
        for (const StandingLine& line : model(m_kind)->standing())
            kinds.insert(line.group);
    else
        for (const AuditLine& line : model(m_kind)->lines()) {
            kinds.insert(line.what);
            if (!line.who.isEmpty())
                people.insert(line.who);
        }
    const auto fill = [](QComboBox* box, const QString& all, const std::set<QString>& choices) {
        const QString kept = box->currentIndex() > 0 ? box->currentText() : QString();
        const QSignalBlocker quiet(box);
        box->clear();
        box->addItem(all);
        for (const QString& choice : choices)
            box->addItem(choice);
        box->setCurrentIndex(std::max(0, kept.isEmpty() ? 0 : box->findText(kept)));
    };
    fill(m_what, tr("all kinds"), kinds);
    fill(m_who, tr("everybody"), people);
}

void AuditPage::filter()
{
    if (m_view == nullptr || m_count == nullptr)
        return;
    AuditFilter wanted;
    wanted.subject = m_subject->text().trimmed();
    if (m_what->currentIndex() > 0)
        wanted.what = m_what->currentText();
    QString wrong;
    if (m_kind != AuditModel::Kind::Standing) {
        if (m_who->currentIndex() > 0)
            wanted.who = m_who->currentText();
        const auto moment = [&](const QLineEdit* edit, bool endOfDay) -> std::optional<core::Instant> {
            const QString text = edit->text().trimmed();
            if (text.isEmpty())
                return std::nullopt;
            const auto typed = endOfDay ? parseAsKnown(text, m_shop.now()) : parseMoment(text, m_shop.now());
            if (!typed)
                wrong = text;
            return typed;
        };
        wanted.since = moment(m_since, false);
        wanted.until = moment(m_until, true);
    }
    AuditModel* shown = model(m_kind);
    shown->setFilter(wanted);
    m_count->setText(!wrong.isEmpty() ? tr("\"%1\" is no date yet").arg(wrong)
                     : shown->rowCount() == shown->total()
                         ? tr("%1 lines").arg(countText(shown->total()))
                         : tr("%1 of %2 lines").arg(countText(shown->rowCount()), countText(shown->total())));
}

void AuditPage::openRow(int row)
{
    const QString serial = model(m_kind)->serialOf(row);
    const AuditLine* line = model(m_kind)->line(row);
    if (serial.isEmpty()) {
        Q_EMIT announced(tr("This line belongs to no sensor; there is no record to open."));
        return;
    }
    Q_EMIT recordAsked(serial, line != nullptr ? line->visit : QString());
}

}  // namespace halfcell::app
