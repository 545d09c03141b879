//! What can be written of the talks: the letter in three tones, the notice of what is unsafe, receipt and bill of sale. Each stands over the
//! screen, scrolls, and is copied as it may be sent; what each statement stands on is shown under it and never copied.

use crate::engine::findings::findings;
use crate::report::WeighedCar;
use crate::report::letter::{self, DeedKind, LetterWish, Statement, Tone};
use crate::tui::app::{App, Effect};
use crate::tui::copy::Copied;
use crate::tui::data::Figures;
use crate::tui::keys::Act;
use crate::tui::overlay::Overlay;
use crate::tui::screens::{Screen, asked, money};
use crate::tui::theme::Meaning;
use crate::tui::{layout, say};
use jiff::ToSpan;
use ratatui::layout::Rect;

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A letter.
    Letter(Tone),
    /// What makes the car unsafe, deal or no deal.
    Notice,
    /// Receipt or bill of sale.
    Deed(DeedKind),
    /// The letter at two prices, once they are worked out.
    TwoPrices,
}

/// The kinds in the order of their digits, with their names and the words for them in the name of a file.
pub const KINDS: [(Kind, &str, &str); 7] = [
    (Kind::Letter(Tone::Plain), "letter", "letter"),
    (Kind::Letter(Tone::Warm), "warm letter", "letter-warm"),
    (Kind::Letter(Tone::Brief), "for the phone", "phone"),
    (Kind::Notice, "notice of danger", "notice"),
    (Kind::Deed(DeedKind::Receipt), "receipt, a draft", "receipt"),
    (
        Kind::Deed(DeedKind::BillOfSale),
        "bill of sale, a draft",
        "bill-of-sale",
    ),
    (Kind::TwoPrices, "letter at two prices", "two-prices"),
];

/// The paper in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Paper {
    /// Place in [`KINDS`].
    pub kind: usize,
    /// Which of the offers still to make, from 1.
    pub round: usize,
    /// First line in sight.
    pub top: usize,
}

/// A paper as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// Title, with the count of words where it is bounded.
    pub title: String,
    /// Text that may be sent; empty where there is none.
    pub sent: String,
    /// Why there is none of it, or not all.
    pub why_not: Option<String>,
    /// What it stands on, for the user alone.
    pub grounds: String,
}

/// The letter of the offer in hand: of the row of the plan where that is the part in hand, else of the next offer.
#[must_use]
pub fn open(app: &App) -> Paper {
    let cursor = app.views.cursor(Screen::Money);
    let steps = app.data.figures().map_or(0, |out| out.offer.steps.len());
    let on_plan = cursor.part == money::PLAN && cursor.row() < steps;
    Paper {
        round: if on_plan { cursor.row() + 1 } else { 1 },
        ..Paper::default()
    }
}

/// The paper in words, wrapped to so many cells.
#[must_use]
pub fn shown(app: &App, paper: &Paper, cells: usize) -> Shown {
    let (kind, name, _) = KINDS.get(paper.kind).copied().unwrap_or(KINDS[0]);
    let none = |why: &str| Shown {
        title: name.to_owned(),
        sent: String::new(),
        why_not: Some(why.to_owned()),
        grounds: String::new(),
    };
    let Some(entry) = app.data.car() else {
        return none("no car in hand");
    };
    let (Some(figures), Figures::Settled) = (entry.figures.as_deref(), entry.state) else {
        return none("The figures are being worked out; what is written waits for them.");
    };
    let today = app.data.now.date();
    let found = findings(entry.car(), &app.data.tables, &app.data.buyer, today);
    let car = WeighedCar {
        slug: &entry.slug,
        name: entry.name(),
        record: entry.car(),
        appraisal: figures,
        findings: Some(&found),
    };
    match kind {
        Kind::Deed(kind) => match letter::deed(&car, &app.data.tables, kind, today) {
            Ok(deed) => Shown {
                title: name.to_owned(),
                sent: letter::deed_text(&deed, cells),
                why_not: None,
                grounds: letter::grounds(deed.statements(), cells),
            },
            Err(why) => none(&why),
        },
        Kind::TwoPrices if asked::two(app).is_none() => {
            none("No two prices are worked out: o on Money ties them to a check.")
        }
        Kind::Letter(_) | Kind::Notice | Kind::TwoPrices => {
            of_talks(app, &car, kind, (paper.round, cells), name)
        }
    }
}

fn of_talks(
    app: &App,
    car: &WeighedCar<'_>,
    kind: Kind,
    (round, cells): (usize, usize),
    name: &str,
) -> Shown {
    let tone = match kind {
        Kind::Letter(tone) => tone,
        _ => Tone::Plain,
    };
    let wish = LetterWish {
        round,
        tone,
        until: app.data.now.date().saturating_add(letter::DAYS_OPEN.days()),
        until_is_own: false,
    };
    let (buyer, tables) = (&app.data.buyer, &*app.data.tables);
    let two = asked::two(app).filter(|_| kind == Kind::TwoPrices);
    let written = match two {
        // They start from the next figure of the plan.
        Some((two, _)) => {
            letter::write_two(car, buyer, tables, &LetterWish { round: 1, ..wish }, two)
        }
        None => letter::write(car, buyer, tables, &wish),
    };
    let notice = letter::notice_text(&written.notice, cells);
    if kind == Kind::Notice {
        let why = "Nothing was seen that makes it unsafe; there is nothing to warn of.";
        return Shown {
            title: name.to_owned(),
            why_not: notice.is_empty().then(|| why.to_owned()),
            sent: notice,
            grounds: grounds(&written.notice.iter().collect::<Vec<_>>(), cells),
        };
    }
    let mut sent = written
        .letter
        .as_ref()
        .map_or_else(|_| String::new(), |one| letter::text(one, cells));
    if !sent.is_empty() && !notice.is_empty() {
        sent.push('\n');
    }
    sent.push_str(&notice);
    let told: Vec<&Statement> = (written.letter.iter())
        .flat_map(letter::Letter::statements)
        .chain(&written.notice)
        .collect();
    let title = match &written.letter {
        Ok(one) => format!("{name}, offer {}, {} words", one.round, one.words()),
        Err(_) => name.to_owned(),
    };
    Shown {
        title,
        sent,
        grounds: grounds(&told, cells),
        why_not: written.letter.err().map(|why| format!("No letter: {why}")),
    }
}

fn grounds(told: &[&Statement], cells: usize) -> String {
    if told.is_empty() {
        return String::new();
    }
    letter::grounds(told.iter().copied(), cells)
}

/// The lines that are shown.
#[must_use]
pub fn lines(shown: &Shown, cells: usize) -> Vec<(Meaning, String)> {
    let why_not = say::wrap(shown.why_not.as_deref().unwrap_or_default(), cells).join("\n");
    let mut lines = Vec::new();
    for (meaning, text) in [
        (Meaning::Heading, why_not.as_str()),
        (Meaning::Plain, shown.sent.trim_end()),
        (Meaning::Quiet, shown.grounds.trim_end()),
    ] {
        if text.trim().is_empty() {
            continue;
        }
        if !lines.is_empty() {
            lines.push((Meaning::Plain, String::new()));
        }
        lines.extend(text.lines().map(|line| (meaning, line.to_owned())));
    }
    lines
}

/// An act over the paper.
pub fn perform(app: &mut App, mut paper: Paper, act: Act) -> Vec<Effect> {
    let count = KINDS.len();
    match act {
        Act::Copy => {
            app.overlay = Some(Overlay::Letter(paper));
            return app.copy();
        }
        Act::Help => app.say("1-7 or Tab another kind, c copies, l closes".to_owned()),
        Act::Digit(digit) => {
            let kind = usize::from(digit).saturating_sub(1);
            paper = turned(paper, kind.min(count - 1));
        }
        Act::NextPart => paper = turned(paper, (paper.kind + 1) % count),
        Act::PartBefore => paper = turned(paper, (paper.kind + count - 1) % count),
        act => {
            let (cells, height) = room(app);
            let all = lines(&shown(app, &paper, cells), cells).len();
            let Some(top) = scrolled(paper.top, act, all, height) else {
                return Vec::new();
            };
            paper.top = top;
        }
    }
    app.open(Overlay::Letter(paper))
}

/// The first line in sight after an act; `None` if it is no act of scrolling.
#[must_use]
pub fn scrolled(top: usize, act: Act, lines: usize, height: usize) -> Option<usize> {
    let last = lines.saturating_sub(height);
    Some(match act {
        Act::Down => (top + 1).min(last),
        Act::Up => top.saturating_sub(1),
        Act::PageDown => (top + height).min(last),
        Act::PageUp => top.saturating_sub(height),
        Act::First => 0,
        Act::Last => last,
        _ => return None,
    })
}

/// Another kind, from its top.
fn turned(paper: Paper, kind: usize) -> Paper {
    Paper {
        kind,
        top: 0,
        ..paper
    }
}

/// Cells and rows that a paper has at this size.
#[must_use]
pub fn room(app: &App) -> (usize, usize) {
    let (width, height) = app.size;
    let regions = layout::regions(Rect::new(0, 0, width, height), false);
    if layout::width_class(width) == layout::Width::Narrow {
        let rows = regions.body.bottom().saturating_sub(regions.title.y + 1);
        return (
            usize::from(width).saturating_sub(1),
            usize::from(rows).max(1),
        );
    }
    let cells = usize::from(width.saturating_sub(2).min(WIDTH)).saturating_sub(4);
    (
        cells,
        usize::from(regions.body.height.saturating_sub(2)).max(1),
    )
}

/// Columns of the box.
pub const WIDTH: u16 = 78;

/// The text for the clipboard or a file: what may be sent alone.
#[must_use]
pub fn copied(app: &App, slug: &str, paper: &Paper) -> Option<Copied> {
    let (_, _, word) = KINDS.get(paper.kind).copied()?;
    let text = shown(app, paper, letter::WIDTH).sent;
    (!text.is_empty()).then(|| Copied {
        name: format!("{slug}-{word}"),
        text,
    })
}
