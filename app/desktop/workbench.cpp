#include "app/desktop/workbench.h"

#include "app/bench/bench_desk.h"
#include "app/desktop/cabinet_desk.h"
#include "app/desktop/first_run_page.h"
#include "app/desktop/hold_box.h"
#include "app/panels/plain_words.h"
#include "app/panels/working_panel.h"
#include "app/plots/plot_base.h"
#include "app/record/record_view.h"
#include "app/register/register_desk.h"
#include "app/review/review_desk.h"
#include "app/rounds/rounds_desk.h"

#include <QApplication>
#include <QDateTime>
#include <QDir>
#include <QRegularExpression>
#include <QStandardPaths>

#include <algorithm>

namespace halfcell::app {

namespace {

constexpr int kRecentBooks = 5;

QString localTime(const core::Instant& instant)
{
    return QDateTime::fromSecsSinceEpoch(instant.utcSeconds).toString(QStringLiteral("HH:mm"));
}

}  // namespace

Workbench::Workbench(Shop& shop, Prompts& prompts, Theme& theme, QSettings& settings, QObject* parent)
    : QObject(parent), m_shop(shop), m_prompts(prompts), m_theme(theme), m_settings(settings), m_frame(std::make_unique<Frame>())
{
    makeDesks();
    connectShop();
    connectFrame();
    m_frame->setKeyTable(keyTable());
    m_minute.setInterval(20000);
    connect(&m_minute, &QTimer::timeout, this, [this] { refreshHolds(); });
    m_minute.start();
    const QByteArray geometry = m_settings.value(QStringLiteral("window/geometry")).toByteArray();
    m_frame->resize(1280, 800);
    if (!geometry.isEmpty())
        m_frame->restoreGeometry(geometry);
    if (const QVariant scale = m_settings.value(QStringLiteral("window/scale")); scale.isValid())
        m_theme.setScale(scale.toDouble());
    m_register->remember(m_settings.value(QStringLiteral("register/shown")).toMap());
    m_frame->setPerson(m_shop.person());
    bookClosed();
}

Workbench::~Workbench()
{
    m_shop.disconnect(this);
}

void Workbench::makeDesks()
{
    QWidget* parent = m_frame.get();
    const auto askSave = [this](const QString& title, const QString& suggested) {
        return [this, title, suggested](QWidget* w) { return m_prompts.saveFile(w, title, suggested); };
    };
    m_register = new RegisterDesk(m_shop, parent);
    m_benchPresenter = new bench::BenchPresenter(m_shop, {}, this);
    m_bench = new bench::BenchDesk(*m_benchPresenter, parent);
    m_rounds = new RoundsDesk(m_shop, askSave(tr("Write the round sheets to"), QStringLiteral("round-sheets.pdf")), parent);
    m_review = new ReviewDesk(m_shop, parent);
    m_cabinet = new CabinetDesk(m_shop, m_prompts, parent);
    m_record = new RecordView(m_shop, parent);
    m_first = new FirstRunPage(parent);
    m_working = new WorkingPanel(parent);
    m_working->hide();

    m_registerIndex = m_frame->addDesk({.widget = m_register,
                                        .name = tr("Register"),
                                        .sentence = [this] { return m_register->sentence(); },
                                        .shown = [this] { m_register->takeFocus(); },
                                        .regions = [this] { return m_register->regions(); },
                                        .link = [this](const QString& link) { m_register->follow(link); }});
    m_benchIndex = m_frame->addDesk({.widget = m_bench,
                                     .name = tr("Bench"),
                                     .sentence = [this] { return m_benchPresenter->shopLine(); },
                                     .shown = [this] { m_bench->takeFocus(); },
                                     .regions = {},
                                     .link = {}});
    m_roundsIndex = m_frame->addDesk({.widget = m_rounds,
                                      .name = tr("Rounds"),
                                      .sentence = [this] { return m_rounds->sentence(); },
                                      .shown =
                                          [this] {
                                              if (auto* due = m_rounds->findChild<QWidget*>(QStringLiteral("rounds.due")))
                                                  due->setFocus();
                                          },
                                      .regions = {},
                                      .link = {}});
    m_reviewIndex = m_frame->addDesk({.widget = m_review,
                                      .name = tr("Review"),
                                      .sentence = [this] { return m_review->sentence(); },
                                      .shown =
                                          [this] {
                                              if (auto* table = m_review->findChild<QWidget*>(QStringLiteral("review.table")))
                                                  table->setFocus();
                                          },
                                      .regions = {},
                                      .link = {}});
    m_cabinetIndex = m_frame->addDesk({.widget = m_cabinet,
                                       .name = tr("Cabinet"),
                                       .sentence = [this] { return m_cabinet->sentence(); },
                                       .shown = [this] { m_cabinet->shown(); },
                                       .regions = [this] { return m_cabinet->regions(); },
                                       .link = {},
                                       .cabinet = true});
    m_recordIndex = m_frame->addPage({.widget = m_record,
                                      .name = {},
                                      .sentence = [this] { return m_record->sentence(); },
                                      .shown = [this] { m_record->takeFocus(); },
                                      .regions = [this] { return m_record->regions(); },
                                      .link = {}});
    m_firstIndex = m_frame->addPage({.widget = m_first,
                                     .name = {},
                                     .sentence = [] { return Workbench::tr("Halfcell keeps pH and ORP sensors healthy."); },
                                     .shown = [this] { m_first->start(); },
                                     .regions = {},
                                     .link = {}});

    const auto showWorking = [this](const WorkingPage& page) {
        if (m_working->setPage(page))
            m_frame->showPanel(m_working, tr("Working"));
    };
    connect(m_working, &WorkingPanel::closeAsked, m_frame.get(), &Frame::hidePanel);
    connect(m_working, &WorkingPanel::readingAsked, this, [this](const QString& visit, const QString& reading) {
        m_frame->showPage(m_recordIndex);
        m_record->showReading(visit, reading);
    });
    connect(m_register, &RegisterDesk::recordAsked, this, &Workbench::openRecord);
    connect(m_register, &RegisterDesk::visitAsked, this, &Workbench::startVisit);
    connect(m_register, &RegisterDesk::typed, this, [this](QWidget* giver, const QString& text) { m_frame->box()->typeFrom(giver, text); });
    connect(m_register, &RegisterDesk::sentenceChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_register, &RegisterDesk::workingReady, this, showWorking);
    connect(m_record, &RecordView::sentenceChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_record, &RecordView::workingReady, this, showWorking);
    connect(m_record, &RecordView::visitAsked, this, &Workbench::startVisit);
    connect(m_record, &RecordView::backAsked, m_frame.get(), &Frame::goBack);
    connect(m_record, &RecordView::said, this, [this](const QString& sentence) { m_frame->strip()->setWritten(sentence, false); });
    connect(m_record, &RecordView::moveAsked, this, [this](const QString& serial) {
        m_frame->showDesk(m_registerIndex);
        m_register->choose(serial);
        m_register->openMove();
    });
    connect(m_benchPresenter, &bench::BenchPresenter::shopLineChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_benchPresenter, &bench::BenchPresenter::pageChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_rounds, &RoundsDesk::sentenceChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_rounds, &RoundsDesk::recordAsked, this, [this](const QString& serial) { openRecord(serial); });
    connect(m_cabinet, &CabinetDesk::workingReady, this, showWorking);
    connect(m_cabinet, &CabinetDesk::sentenceChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_cabinet, &CabinetDesk::recordAsked, this, [this](const QString& serial, const QString& visit) {
        openRecord(serial);
        if (!visit.isEmpty())
            m_record->openVisit(visit);
    });
    connect(m_benchPresenter, &bench::BenchPresenter::elsewhereAsked, this, [this](const QString& suggested) {
        if (const auto file = m_prompts.saveFile(m_frame.get(), tr("Save the visit in"), suggested))
            m_benchPresenter->saveElsewhere(*file);
    });
    connect(m_review, &ReviewDesk::sentenceChanged, m_frame.get(), &Frame::refreshSentence);
    connect(m_review, &ReviewDesk::recordAsked, this, [this](const QString& serial) { openRecord(serial); });
    connect(m_review, &ReviewDesk::workingAsked, this, [this, showWorking](const core::Working& working, const QString& title) {
        WorkingPage page;
        page.figure = QString::fromStdString(working.figure);
        page.title = title;
        page.stamp = tr("engine %1, rules %2").arg(QString::fromLatin1(db::kEngineVersion), QString::fromStdString(m_shop.rules().id()));
        page.steps = working.steps;
        if (page.steps.empty())
            page.missing = tr("too little is known of this sensor for a cost");
        showWorking(page);
    });

    connect(m_benchPresenter, &bench::BenchPresenter::pageChanged, this, &Workbench::connectPlots);
    connectPlots();

    connect(m_first, &FirstRunPage::demoAsked, this, [this] {
        const std::filesystem::path file = demoPath();
        std::error_code ec;
        m_first->say(tr("Opening the demo plant."));
        if (std::filesystem::exists(file, ec)) {
            m_shop.open(file);
            return;
        }
        std::filesystem::create_directories(file.parent_path(), ec);
        m_shop.makeDemo(file);
    });
    connect(m_first, &FirstRunPage::openAsked, this, [this] {
        const auto files = m_prompts.openFiles(m_frame.get(), tr("Open a book"), tr("Books (*.halfcell);;All files (*)"));
        if (!files.empty())
            m_shop.open(files.front());
    });
    connect(m_first, &FirstRunPage::bookAsked, this, [this](const std::filesystem::path& file) { m_shop.open(file); });
    connect(m_first, &FirstRunPage::createAsked, this, [this](const QString& file, const QString& name, const QString& site) {
        m_shop.create(std::filesystem::path(file.toStdString()), name, site);
    });
}

void Workbench::connectPlots()
{
    for (PlotBase* plot : m_frame->findChildren<PlotBase*>()) {
        if (m_cabinet->isAncestorOf(plot))
            continue;            // its pages write their plots themselves
        plot->disconnect(this);  // the Bench makes its plots anew for each visit; the others are met again
        connect(plot, &PlotBase::exportAsked, this, [this, plot] { exportPlot(*plot); });
    }
}

void Workbench::exportPlot(PlotBase& plot)
{
    // "Life line of K7-0412" as life-line-of-K7-0412.svg.
    QString name = plot.accessibleName();
    name.replace(QRegularExpression(QStringLiteral("[^\\w-]+")), QStringLiteral("-"));
    if (!name.isEmpty())
        name[0] = name[0].toLower();
    const auto file = m_prompts.saveFile(m_frame.get(), tr("Write the plot as PDF, SVG, PNG or CSV"), name + QStringLiteral(".svg"));
    if (!file)
        return;
    const QString path = QString::fromStdString(file->string());
    const auto written = plot.exportTo(path);
    m_frame->strip()->setWritten(written ? tr("The plot is written to %1.").arg(path) : userText(written.error()), false);
}

void Workbench::connectShop()
{
    connect(&m_shop, &Shop::bookOpened, this, &Workbench::bookOpened);
    connect(&m_shop, &Shop::bookClosed, this, &Workbench::bookClosed);
    connect(&m_shop, &Shop::holdsChanged, this, &Workbench::refreshHolds);
    connect(&m_shop, &Shop::referenceChanged, this, &Workbench::refreshHolds);
    connect(&m_shop, &Shop::personChanged, this, [this] { m_frame->setPerson(m_shop.person()); });
    connect(&m_shop, &Shop::asKnownChanged, this, [this] {
        const auto moment = m_shop.asKnown();
        m_frame->setAsKnown(moment ? asKnownWords(*moment) : QString());
    });
    connect(&m_shop, &Shop::chainChanged, this, [this] {
        m_frame->setWarning(m_shop.chain().broken()
                                ? tr("The book's chain is broken: read in it, don't log in it. Cabinet (F10), Audit says where.")
                                : QString());
    });
    connect(&m_shop, &Shop::wrote, this, [this](const QString& line, const QString& visit) {
        m_lastVisit = visit;
        m_frame->strip()->setWritten(line, !visit.isEmpty());
    });
    connect(&m_shop, &Shop::failed, this, [this](const core::Error& error) {
        const QString text = userText(error);
        if (m_shop.isOpen())
            m_frame->strip()->setWritten(text, false);
        else
            m_first->say(text);
    });
    connect(&m_shop, &Shop::background, m_frame->strip(), &WorkStrip::setBackground);
}

void Workbench::connectFrame()
{
    Frame* frame = m_frame.get();
    connect(frame, &Frame::personAsked, this, &Workbench::askPerson);
    connect(frame, &Frame::asKnownAsked, this, &Workbench::askMoment);
    connect(frame, &Frame::nowAsked, this, [this] { m_shop.setAsKnown(std::nullopt); });
    connect(frame, &Frame::holdAsked, this, &Workbench::askHold);
    connect(frame, &Frame::scanned, this, &Workbench::scanned);
    connect(frame, &Frame::visitAsked, this, [this] {
        const QString serial = chosenSerial();
        if (!serial.isEmpty())
            startVisit(serial);
        else
            showDesk(QStringLiteral("Bench"));
    });
    connect(frame, &Frame::correctAsked, this, [this] {
        if (m_frame->current() == m_recordIndex) {
            m_record->correct();
        } else if (!m_lastVisit.isEmpty()) {
            m_frame->showPage(m_recordIndex);
            m_record->openVisit(m_lastVisit);
        }
    });
    connect(frame, &Frame::scaleAsked, &m_theme, &Theme::stepScale);
    connect(frame->strip(), &WorkStrip::stopAsked, &m_shop, &Shop::stopBackground);
    connect(frame, &Frame::closing, this, [this](bool&) {
        // A visit that is being typed is kept as a draft at every Enter; nothing is lost by closing.
        m_settings.setValue(QStringLiteral("window/geometry"), m_frame->saveGeometry());
        m_settings.setValue(QStringLiteral("window/scale"), m_theme.metrics().scale);
        m_settings.setValue(QStringLiteral("register/shown"), m_register->remembered());
    });
    frame->box()->setSource([this](const QString& fragment, const FindBox::Answer& answer) { find(fragment, answer); });
    connect(frame->box(), &FindBox::openAsked, this, &Workbench::open);
    connect(frame->box(), &FindBox::visitAsked, this, [this](const FindHit& hit) {
        if (!hit.serial.isEmpty())
            startVisit(hit.serial);
    });
    connect(frame->box(), &FindBox::nothingFound, this,
            [this](const QString& text) { m_frame->strip()->setWritten(tr("Nothing here matches %1.").arg(text), false); });
}

void Workbench::start(const std::filesystem::path& book)
{
    if (!book.empty()) {
        m_first->say(tr("Reading the book."));
        m_shop.open(book);
        return;
    }
    m_frame->showPage(m_firstIndex);
}

void Workbench::bookOpened()
{
    remember(m_shop.file());
    m_frame->setBookOpen(true);
    m_frame->setWindowTitle(tr("%1 – Halfcell").arg(QString::fromStdString(m_shop.file().filename().string())));
    m_first->say(QString());
    refreshHolds();
    if (m_first->takesInNext()) {
        m_frame->showDesk(m_cabinetIndex);
        m_cabinet->showImport();
        m_cabinet->importPage()->takeFocus();
    } else {
        m_frame->showDesk(m_registerIndex);
    }
}

void Workbench::bookClosed()
{
    m_frame->setBookOpen(false);
    m_frame->setAsKnown({});
    m_frame->setWarning({});
    m_frame->setWindowTitle(tr("Halfcell"));
    m_first->setRecent(recentBooks());
    m_frame->showPage(m_firstIndex);
}

void Workbench::refreshHolds()
{
    std::vector<HeldLoop> held;
    const core::Instant now = m_shop.now();
    if (m_shop.isOpen())
        for (const core::Hold& hold : m_shop.openHolds()) {
            const QDateTime from = QDateTime::fromSecsSinceEpoch(hold.from.utcSeconds);
            const bool today = from.date() == QDateTime::fromSecsSinceEpoch(now.utcSeconds).date();
            held.push_back({QString::fromStdString(hold.point),
                            from.toString(today ? QStringLiteral("HH:mm") : QStringLiteral("ddd HH:mm")),
                            std::max<qint64>(0, (now.utcSeconds - hold.from.utcSeconds) / 60)});
        }
    m_frame->strip()->setHolds(held, m_shop.isOpen() ? localTime(now) : QString());
}

void Workbench::askPerson()
{
    const auto answer = m_prompts.line(m_frame.get(), tr("Who works"), tr("Initials (a name on records, not a lock)"), m_shop.person());
    if (answer)
        m_shop.setPerson(answer->trimmed().left(12));
}

void Workbench::askMoment()
{
    if (!m_shop.isOpen())
        return;
    const auto shown = m_shop.asKnown();
    const auto answer =
        m_prompts.line(m_frame.get(), tr("As known on"), tr("Date, or date and time: 2025-11-12, 12 Nov 2025 16:00; empty for now"),
                       shown ? QString(asKnownWords(*shown)).remove(QLatin1Char(',')) : QString());
    if (!answer)
        return;
    const auto moment = parseAsKnown(*answer, m_shop.now());
    if (!moment)
        m_frame->strip()->setWritten(
            tr("\"%1\" is no moment: a date as 2025-11-12 or 12 Nov 2025, with a time as 16:00 after it if it matters.").arg(*answer),
            false);
    else if (m_shop.now() < *moment && !answer->trimmed().isEmpty())
        m_frame->strip()->setWritten(tr("That is later than now. The book can be shown as it was known, not as it will be."), false);
    else
        m_shop.setAsKnown(*moment == m_shop.now() ? std::nullopt : std::optional(*moment));
}

void Workbench::askHold()
{
    if (!m_shop.isOpen())
        return;
    QString point;
    if (m_benchPresenter->hasVisit())
        point = QString::fromStdString(m_benchPresenter->model().draft().tag);
    HoldBox box(m_shop, point, m_frame.get());
    box.exec();
}

void Workbench::scanned(const QString& code)
{
    if (!m_shop.isOpen())
        return;
    if (m_benchPresenter->hasVisit() || m_frame->current() == m_benchIndex) {
        m_frame->showDesk(m_benchIndex);
        m_benchPresenter->scan(code);
        return;
    }
    m_frame->box()->typeFrom(QApplication::focusWidget(), code);
}

void Workbench::find(const QString& fragment, const FindBox::Answer& answer) const
{
    // Serials, tags and lots are in memory; the book is asked for words in remarks.
    std::vector<FindHit> hits;
    const auto reference = m_shop.reference();
    const auto latest = m_shop.latest();
    if (!reference || !latest) {
        answer({});
        return;
    }
    constexpr std::size_t kBest = 8;
    const QString key = foldedKey(fragment);
    const auto matches = [&](const std::string& text) { return foldedKey(QString::fromStdString(text)).contains(key); };
    for (const db::LatestState& s : *latest) {
        if (hits.size() >= kBest)
            break;
        if (matches(s.serial))
            hits.push_back({tr("Sensors"), tr("%1  %2").arg(QString::fromStdString(s.serial), QString::fromStdString(s.place)),
                            QStringLiteral("sensor"), QString::fromStdString(s.serial), QString::fromStdString(s.serial)});
    }
    for (const core::Point& p : reference->points) {
        if (hits.size() >= kBest + 4)
            break;
        if (!matches(p.tag) && !(p.description && matches(*p.description)) && !(p.area && matches(*p.area)))
            continue;
        QString serial;
        for (const db::LatestState& s : *latest)
            if (s.tag == p.tag)
                serial = QString::fromStdString(s.serial);
        hits.push_back({tr("Points"),
                        tr("%1  %2").arg(QString::fromStdString(p.tag), QString::fromStdString(p.description.value_or(std::string()))),
                        QStringLiteral("point"), QString::fromStdString(p.tag), serial});
    }
    for (const core::Lot& lot : reference->lots)
        if (hits.size() < kBest + 8 && matches(lot.lot))
            hits.push_back({tr("Lots"),
                            tr("%1  %2").arg(QString::fromStdString(lot.lot), standardWords(lot.standard)),
                            QStringLiteral("lot"),
                            QString::fromStdString(lot.lot),
                            {}});
    if (!hits.empty() || fragment.size() < 3) {
        answer(std::move(hits));
        return;
    }
    m_shop.search(fragment, m_frame.get(), [answer](core::Result<std::vector<FoundRecord>> found) {
        std::vector<FindHit> remarks;
        if (found)
            for (const FoundRecord& record : *found)
                remarks.push_back({tr("Records"), QString::fromStdString(record.hit.text), QString::fromStdString(record.hit.kind),
                                   QString::fromStdString(record.hit.key), QString::fromStdString(record.serial)});
        answer(std::move(remarks));
    });
}

void Workbench::open(const FindHit& hit)
{
    if (!hit.serial.isEmpty()) {
        openRecord(hit.serial);
        if (hit.kind == QStringLiteral("visit") || hit.kind == QStringLiteral("remark"))
            m_record->openVisit(hit.key);
    } else {
        m_frame->strip()->setWritten(hit.text, false);
    }
}

void Workbench::showDesk(const QString& name)
{
    const std::pair<const char*, int> desks[] = {{"Register", m_registerIndex},
                                                 {"Bench", m_benchIndex},
                                                 {"Rounds", m_roundsIndex},
                                                 {"Review", m_reviewIndex},
                                                 {"Cabinet", m_cabinetIndex}};
    for (const auto& [desk, index] : desks)
        if (name == QLatin1String(desk))
            m_frame->showDesk(index);
}

void Workbench::openRecord(const QString& serial, const QStringList& list)
{
    m_frame->showPage(m_recordIndex);
    m_record->open(serial, list);
}

void Workbench::startVisit(const QString& serial)
{
    if (m_shop.asKnown()) {
        m_frame->strip()->setWritten(tr("Nothing can be logged while an earlier date is shown. Esc returns to now."), false);
        return;
    }
    if (m_shop.person().isEmpty())
        askPerson();
    m_frame->showDesk(m_benchIndex);
    if (!serial.isEmpty() && !m_benchPresenter->hasVisit())
        m_benchPresenter->scan(serial);
}

QString Workbench::chosenSerial() const
{
    if (m_frame->current() == m_registerIndex)
        return m_register->chosenSerial();
    if (m_frame->current() == m_recordIndex)
        return m_record->presenter().serial();
    return {};
}

void Workbench::remember(const std::filesystem::path& book)
{
    QStringList books = m_settings.value(QStringLiteral("books/recent")).toStringList();
    const QString name = QString::fromStdString(book.string());
    books.removeAll(name);
    books.prepend(name);
    while (books.size() > kRecentBooks)
        books.removeLast();
    m_settings.setValue(QStringLiteral("books/recent"), books);
}

std::vector<std::filesystem::path> Workbench::recentBooks() const
{
    std::vector<std::filesystem::path> books;
    for (const QString& name : m_settings.value(QStringLiteral("books/recent")).toStringList())
        books.emplace_back(name.toStdString());
    return books;
}

std::filesystem::path Workbench::demoPath()
{
    const QString data = QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation);
    return std::filesystem::path(data.toStdString()) / "halfcell" / "demo.halfcell";
}

std::vector<KeyLine> Workbench::keyTable()
{
    return {{tr("Ctrl+1 … 4"), tr("Register, Bench, Rounds, Review")},
            {tr("F10"), tr("Cabinet")},
            {tr("Ctrl+F"), tr("the box: find a tag, serial or place")},
            {tr("Enter"), tr("open the record of the chosen row")},
            {tr("Alt+Left"), tr("back")},
            {tr("Ctrl+L"), tr("start or go on with a visit to the chosen sensor")},
            {tr("Ctrl+Enter"), tr("log the form; plan; take in")},
            {tr("Ctrl+E"), tr("the working of the chosen figure")},
            {tr("Ctrl+Shift+E"), tr("correct a record")},
            {tr("Ctrl+M"), tr("move the sensor")},
            {tr("Ctrl+N"), tr("new sensor")},
            {tr("Ctrl+T"), tr("as known on a date; Esc returns to now")},
            {tr("Ctrl+I"), tr("who works")},
            {tr("F9"), tr("loops in manual: back in auto, or handed over")},
            {tr("F6, Shift+F6"), tr("next, previous region")},
            {tr("Ctrl+P"), tr("print")},
            {tr("Ctrl+C, Ctrl+Shift+C"), tr("copy the value; with uncertainty, unit and date")},
            {tr("Ctrl+Plus, Minus, 0"), tr("scale")},
            {tr("F11"), tr("full screen")},
            {tr("Esc"), tr("close the panel; never discards what was typed")}};
}

}  // namespace halfcell::app
