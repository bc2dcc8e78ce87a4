#include "app/desktop/first_run_page.h"

#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>
#include <QVBoxLayout>

#include <utility>

namespace halfcell::app {

FirstRunPage::FirstRunPage(QWidget* parent) : QWidget(parent)
{
    setObjectName(QStringLiteral("first"));
    const Metrics metrics = Metrics::of(this);
    auto* outer = new QVBoxLayout(this);
    outer->setContentsMargins(metrics.margin() * 3, metrics.margin() * 3, metrics.margin(), metrics.margin());
    auto* column = new QWidget(this);
    column->setMaximumWidth(metrics.px(640));
    auto* layout = new QVBoxLayout(column);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(metrics.spacing());
    auto* head = new QLabel(tr("No book is open."), column);
    setTextRole(head, TextRole::KeyFigure, Weight::Heavy);
    layout->addWidget(head);
    auto* what = new QLabel(tr("A book is one file with your shop's sensors, visits and standards."), column);
    what->setWordWrap(true);
    setTextRole(what, TextRole::Body);
    layout->addWidget(what);
    layout->addSpacing(metrics.margin());

    m_demo = choice(layout, QStringLiteral("first.demo"), tr("Open the &demo plant"),
                    tr("Invented, 30 months of history; nothing you do there touches a real book."));
    connect(m_demo, &QPushButton::clicked, this, [this] {
        m_takesIn = false;
        Q_EMIT demoAsked();
    });
    QPushButton* create =
        choice(layout, QStringLiteral("first.create"), tr("&Start a book"), tr("Asks for a file, the shop's name and its first site."));
    buildCreateForm(layout);
    connect(create, &QPushButton::clicked, this, [this] { askForBook(false); });
    QPushButton* takeIn = choice(layout, QStringLiteral("first.import"), tr("&Take in an old spreadsheet"),
                                 tr("Starts a book first; then shows what would be taken and what refused, before anything is written."));
    connect(takeIn, &QPushButton::clicked, this, [this] { askForBook(true); });
    QPushButton* open = choice(layout, QStringLiteral("first.open"), tr("&Open a book"), tr("Asks for the file."));
    connect(open, &QPushButton::clicked, this, &FirstRunPage::openAsked);

    m_sentence = new QLabel(column);
    m_sentence->setObjectName(QStringLiteral("first.sentence"));
    m_sentence->setWordWrap(true);
    setTextRole(m_sentence, TextRole::Body, Weight::Heavy);
    m_sentence->hide();
    layout->addWidget(m_sentence);

    m_recent = new QWidget(column);
    m_recentLayout = new QVBoxLayout(m_recent);
    m_recentLayout->setContentsMargins(0, metrics.margin(), 0, 0);
    layout->addWidget(m_recent);
    outer->addWidget(column);
    outer->addStretch(1);
}

QPushButton* FirstRunPage::choice(QVBoxLayout* layout, const QString& name, const QString& text, const QString& happens)
{
    const Metrics metrics = Metrics::of(this);
    auto* button = new QPushButton(text, this);
    button->setObjectName(name);
    button->setAccessibleDescription(happens);
    button->setAutoDefault(true);
    button->setFixedWidth(metrics.px(260));
    layout->addWidget(button);
    auto* line = new QLabel(happens, this);
    line->setWordWrap(true);
    setTextRole(line, TextRole::Hint);
    layout->addWidget(line);
    layout->addSpacing(metrics.grid(1));
    return button;
}

void FirstRunPage::buildCreateForm(QVBoxLayout* layout)
{
    const Metrics metrics = Metrics::of(this);
    m_createForm = new QWidget(this);
    auto* form = new QFormLayout(m_createForm);
    form->setContentsMargins(metrics.margin(), 0, 0, metrics.spacing());
    const auto field = [&](const QString& label, const QString& name, const QString& text) {
        auto* edit = new QLineEdit(text, m_createForm);
        edit->setObjectName(name);
        edit->setAccessibleName(label);
        form->addRow(label, edit);
        return edit;
    };
    m_file = field(tr("File"), QStringLiteral("first.create.file"), QDir::homePath() + QStringLiteral("/shop.halfcell"));
    m_shopName = field(tr("Shop"), QStringLiteral("first.create.shop"), QString());
    m_site = field(tr("First site"), QStringLiteral("first.create.site"), QString());
    auto* go = new QPushButton(tr("Start it"), m_createForm);
    go->setObjectName(QStringLiteral("first.create.go"));
    go->setAutoDefault(true);
    form->addRow(QString(), go);
    const auto create = [this] {
        if (m_file->text().trimmed().isEmpty() || m_site->text().trimmed().isEmpty()) {
            say(tr("A book needs a file and a first site."));
            return;
        }
        Q_EMIT createAsked(m_file->text().trimmed(), m_shopName->text().trimmed(), m_site->text().trimmed());
    };
    connect(go, &QPushButton::clicked, this, create);
    connect(m_site, &QLineEdit::returnPressed, this, create);
    m_createForm->hide();
    layout->addWidget(m_createForm);
}

void FirstRunPage::askForBook(bool thenTakeIn)
{
    m_takesIn = thenTakeIn;
    say(thenTakeIn
            ? tr("First the book that the rows go into: these three fields start one, or open one below. The spreadsheet comes next.")
            : QString());
    m_createForm->show();
    m_file->setFocus();
    m_file->selectAll();
}

bool FirstRunPage::takesInNext()
{
    return std::exchange(m_takesIn, false);
}

void FirstRunPage::setRecent(const std::vector<std::filesystem::path>& books)
{
    while (QLayoutItem* item = m_recentLayout->takeAt(0)) {
        delete item->widget();
        delete item;
    }
    if (books.empty())
        return;
    auto* head = new QLabel(tr("Recent books"), m_recent);
    setTextRole(head, TextRole::Hint, Weight::Heavy);
    m_recentLayout->addWidget(head);
    int n = 0;
    for (const auto& book : books) {
        const QFileInfo info(QString::fromStdString(book.string()));
        const QString detail = info.exists() ? tr("%1, %2").arg(QLocale().toString(info.lastModified().date(), QLocale::ShortFormat),
                                                                QLocale().formattedDataSize(info.size(), 1, QLocale::DataSizeSIFormat))
                                             : tr("not found");
        auto* button = new QPushButton(tr("%1   (%2)").arg(info.filePath(), detail), m_recent);
        button->setObjectName(QStringLiteral("first.recent.%1").arg(++n));
        button->setEnabled(info.exists());
        button->setAutoDefault(true);
        connect(button, &QPushButton::clicked, this, [this, book] { Q_EMIT bookAsked(book); });
        m_recentLayout->addWidget(button);
    }
}

void FirstRunPage::say(const QString& sentence)
{
    m_sentence->setText(sentence);
    m_sentence->setVisible(!sentence.isEmpty());
}

void FirstRunPage::start()
{
    m_demo->setFocus();
}

}  // namespace halfcell::app
