//! The check in hand: what to do, its answers as whole rows, and what belongs to it. What does not fit leaves whole, the least needed first.

use super::clock;
use crate::car::Asked;
use crate::engine::held_back::held_back;
use crate::engine::readings::{ReadingVerdict, Yardstick};
use crate::engine::walkaround::{Check, STAGES, State};
use crate::report::readings as words;
use crate::trade::SignRow;
use crate::tui::app::{App, Target};
use crate::tui::draw::Look;
use crate::tui::draw::line::{Paint, put_line};
use crate::tui::draw::sheet::Sheet;
use crate::tui::keys::Key;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::walk;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Lines that stand or leave together, with what a tap on them presses.
struct Block {
    /// Lower stays longer.
    rank: u8,
    lines: Vec<(Line<'static>, Option<Key>)>,
}

struct Page<'a> {
    look: &'a Look,
    width: usize,
    blocks: Vec<Block>,
}

impl Page<'_> {
    fn block(&mut self, rank: u8, meaning: Meaning, text: &str, key: Option<Key>) {
        let lines = say::wrap(text, self.width)
            .into_iter()
            .map(|line| (Paint::new(self.look).put(meaning, line).line(), key))
            .collect();
        self.blocks.push(Block { rank, lines });
    }

    /// A blank row, only where there is room for everything else.
    fn blank(&mut self) {
        let lines = vec![(Line::default(), None)];
        self.blocks.push(Block { rank: 20, lines });
    }
}

pub(super) fn draw(app: &App, look: &Look, checks: &[Check], area: Rect, buffer: &mut Sheet<'_>) {
    let Some((check, sign)) = walk::in_hand(app) else {
        return;
    };
    let mut page = Page {
        look,
        width: usize::from(area.width).saturating_sub(1),
        blocks: Vec::new(),
    };
    if layout::width_class(app.size.0) == Width::Narrow {
        heading(app, checks, &check, &mut page);
    }
    page.block(0, Meaning::Heading, &sign.question, None);
    page.block(7, Meaning::Plain, &sign.how, None);
    page.blank();
    if let State::Withdrawn(why) = &check.state {
        let words = format!("! Withdrawn, {}. {}.", why.reason, why.because);
        page.block(0, Meaning::Caution, &words, None);
        page.block(
            1,
            Meaning::Plain,
            "x  waive it in words that stay on the file",
            Some(Key::Char('x')),
        );
    } else {
        levels(app, &check, sign, &mut page);
    }
    let not_seen = if check.state == State::NotSeen {
        "▸"
    } else {
        " "
    };
    page.block(
        0,
        Meaning::Plain,
        &format!("{not_seen}0  not seen"),
        Some(Key::Char('0')),
    );
    page.blank();
    beside(app, &check, sign, &mut page);
    put(&page, area, buffer);
}

fn heading(app: &App, checks: &[Check], check: &Check, page: &mut Page<'_>) {
    let of: Vec<&Check> = checks
        .iter()
        .filter(|other| other.stage == check.stage)
        .collect();
    let at = of
        .iter()
        .position(|other| other.sign == check.sign)
        .unwrap_or(0)
        + 1;
    let stage = STAGES
        .get(check.stage)
        .copied()
        .unwrap_or_default()
        .to_uppercase();
    let tail = format!("{at} of {} here, {}", of.len(), clock(app, checks));
    let room = page.width.saturating_sub(say::width(&tail) + 1);
    let line = Paint::new(page.look)
        .left(Meaning::Heading, &stage, room)
        .gap(1)
        .put(Meaning::Quiet, tail);
    page.blocks.push(Block {
        rank: 3,
        lines: vec![(line.line(), None)],
    });
}

/// The answers in their own words, benign first; the one on file has its mark.
fn levels(app: &App, check: &Check, sign: &SignRow, page: &mut Page<'_>) {
    let purpose = app.data.tables.purpose(&app.data.buyer.purpose);
    let stop = sign.stop.as_ref().filter(|stop| {
        !app.hidden && purpose.is_some_and(|purpose| purpose.stops.contains(&stop.group))
    });
    for (at, level) in sign.levels.iter().enumerate() {
        let here = if check.state == State::Answered(at) {
            "▸"
        } else {
            " "
        };
        let stops = stop.is_some_and(|stop| at >= stop.from_level);
        let words = if stops {
            format!("{here}{}  ■ {level}: STOP", at + 1)
        } else {
            format!("{here}{}  {level}", at + 1)
        };
        let digit = u32::try_from(at + 1)
            .ok()
            .and_then(|at| char::from_digit(at, 10));
        page.block(0, Meaning::Plain, &words, digit.map(Key::Char));
    }
}

/// What belongs to the check beside its answers.
fn beside(app: &App, check: &Check, sign: &SignRow, page: &mut Page<'_>) {
    for caution in sign
        .cautions
        .iter()
        .filter_map(|id| app.data.tables.caution(id))
    {
        let words = format!("! {} ({})", caution.sentence, caution.source);
        page.block(2, Meaning::Caution, &words, None);
    }
    if let Some(ask) = check
        .ask
        .as_ref()
        .filter(|_| !matches!(check.state, State::Withdrawn(_)))
    {
        page.block(4, Meaning::Plain, &format!("Ask first: “{ask}”"), None);
    }
    told(app, check, sign, page);
    if let Some(verdict) = verdict(app, sign) {
        for one in &verdict.measured {
            page.block(5, Meaning::Plain, &words::measured(one), None);
        }
        for source in words::sources(&verdict) {
            page.block(6, Meaning::Quiet, &source, None);
        }
    } else if let Some(spec) = &sign.reading {
        page.block(
            6,
            Meaning::Quiet,
            &format!("r  number: {}", spec.hint),
            Some(Key::Char('r')),
        );
    }
    if sign.timer_seconds > 0 {
        let left = walk::remaining(app, &check.sign);
        page.block(
            3,
            Meaning::Plain,
            &timer(left, sign.timer_seconds),
            Some(Key::Enter),
        );
    }
    effort(app, check, sign, page);
    noted(app, check, page);
    if !app.views.walk.last.is_empty() {
        page.block(
            8,
            Meaning::Quiet,
            &format!("last: {}", app.views.walk.last),
            None,
        );
    }
}

/// What they said of it, what they hold back, and why it is worth knowing.
fn told(app: &App, check: &Check, sign: &SignRow, page: &mut Page<'_>) {
    if let Some(words) = check.said.and_then(|level| sign.levels.get(level)) {
        page.block(4, Meaning::Plain, &format!("They say: {words}"), None);
    }
    let held = match check.asked {
        Some(Asked::Missing) => "held back: asked for, and never came",
        Some(Asked::Refused) => "held back: they would not have it looked at",
        Some(Asked::Arrived) => "came from afar: look again on the spot",
        None => "",
    };
    if !held.is_empty() {
        page.block(4, Meaning::Plain, held, Some(Key::Char('m')));
    }
    if check.asked.is_some_and(Asked::held_back)
        && let Some(car) = app.data.record()
    {
        let words = held_back(car, &app.data.tables).words();
        page.block(6, Meaning::Quiet, &words, None);
    }
    if let Some(why) = walk::because(app, &check.sign).filter(|why| !why.is_empty()) {
        page.block(9, Meaning::Quiet, &format!("It {why}."), None);
    }
}

/// How it fools you, how long it takes, and with what.
fn effort(app: &App, check: &Check, sign: &SignRow, page: &mut Page<'_>) {
    page.block(11, Meaning::Quiet, &sign.fools_you, None);
    let seconds = if check.seconds < 90 {
        format!("About {} seconds.", check.seconds)
    } else {
        format!("About {} minutes.", check.seconds.div_ceil(60))
    };
    let tools: Vec<&str> = sign
        .tools
        .iter()
        .filter_map(|id| app.data.tables.tool(id))
        .map(|tool| tool.name.as_str())
        .collect();
    let tools = if tools.is_empty() {
        "No tools.".to_owned()
    } else {
        format!("With {}.", tools.join(", "))
    };
    page.block(12, Meaning::Quiet, &format!("{seconds} {tools}"), None);
}

fn noted(app: &App, check: &Check, page: &mut Page<'_>) {
    let extras = app
        .data
        .record()
        .and_then(|car| car.checks.get(&check.sign));
    let Some(extras) = extras else { return };
    if !extras.note.is_empty() {
        page.block(
            9,
            Meaning::Plain,
            &format!("note: {}", extras.note),
            Some(Key::Char('n')),
        );
    }
    if !extras.photo.is_empty() {
        page.block(
            10,
            Meaning::Plain,
            &format!("photo: {}", extras.photo),
            Some(Key::Char('n')),
        );
    }
}

fn timer(left: Option<i64>, whole: u32) -> String {
    match left {
        None => format!("Enter starts the clock: {}", clock_words(i64::from(whole))),
        Some(left) if left > 0 => format!("{} left", clock_words(left)),
        Some(_) => "Time is up.".to_owned(),
    }
}

fn clock_words(seconds: i64) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// The verdict of the reading on file.
fn verdict(app: &App, sign: &SignRow) -> Option<ReadingVerdict> {
    let car = app.data.record()?;
    let reading = car.checks.get(&sign.id)?.reading.as_ref()?;
    let today = app.data.now.date();
    Yardstick::new(&app.data.tables, car, Some(&app.data.buyer), today).read(sign, reading)
}

/// Draws as many blocks as fit, by rank; those that stay keep their order.
fn put(page: &Page<'_>, area: Rect, buffer: &mut Sheet<'_>) {
    let mut room = usize::from(area.height);
    let mut order: Vec<usize> = (0..page.blocks.len()).collect();
    order.sort_by_key(|at| page.blocks[*at].rank);
    let mut stays = vec![false; page.blocks.len()];
    for at in order {
        let block = &page.blocks[at];
        if block.lines.len() <= room && !block.lines.is_empty() {
            room -= block.lines.len();
            stays[at] = true;
        } else if block.rank == 0 {
            // Answers stay, cut at the foot, rather than leave.
            stays[at] = true;
            room = 0;
        }
    }
    let shown = page.blocks.iter().zip(stays).filter(|(_, stays)| *stays);
    for (y, (line, key)) in (area.y..area.bottom()).zip(shown.flat_map(|(block, _)| &block.lines)) {
        put_line(buffer, area.x + 1, y, area.width.saturating_sub(1), line);
        if let Some(key) = key {
            let band = Rect {
                y,
                height: 1,
                ..area
            };
            buffer.hit(band, Target::Key(*key));
        }
    }
}
