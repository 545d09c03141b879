//! The rail as lines: belief, thread, range, words; under 36 cells the thread and one line.

use super::Look;
use super::line::{Paint, Rows};
use crate::car::Who;
use crate::engine::Appraisal;
use crate::tui::data::CarEntry;
use crate::tui::geometry::rail::{self, Rail, RailValues};
use crate::tui::glyphs::HEIGHTS;
use crate::tui::say;
use crate::tui::theme::Meaning;

/// Values of the marks of a car.
pub fn values(car: &CarEntry, figures: &Appraisal) -> RailValues {
    RailValues {
        floor: (figures.floor.best > 0.0).then_some(figures.floor.best),
        open: figures.offer.open.map(say::to_f64),
        settle: figures.offer.settle.map(say::to_f64),
        limit: figures.limit.price.map(say::to_f64),
        asks: car.car().listing.asking.map(say::to_f64),
        worth: None,
    }
}

/// The whole rail on a width; a sentence where there is none, such as why the car cannot be read.
pub fn rows(look: &Look, car: &CarEntry, width: usize) -> Rows {
    let mut rows = Rows::default();
    let laid = car
        .figures
        .as_deref()
        .and_then(|figures| Some((figures, rail::lay(values(car, figures), width)?)));
    let Some((figures, rail)) = laid else {
        rows.words(
            look,
            Meaning::Plain,
            match (&car.error, &car.figures) {
                (Some(why), _) => why,
                (None, None) => "No rail yet: it is being worked out.",
                (None, Some(_)) => "No rail yet: neither asking price nor limit is known.",
            },
            width,
        );
        return rows;
    };
    let wide = width >= 36;
    if wide && !figures.offer.belief.is_empty() {
        rows.text(belief(look, &rail, figures));
    }
    rows.text(thread(look, &rail));
    if wide && let Some(range) = range(look, &rail, figures) {
        rows.text(range);
    }
    words(look, &rail, wide, &mut rows);
    talks(look, &rail, car, &mut rows);
    rows
}

/// Our belief over their lowest price, eight heights.
pub fn belief<'a>(look: &'a Look, rail: &Rail, figures: &Appraisal) -> Paint<'a> {
    let offer = &figures.offer;
    let heights = rail.heights(&offer.belief, offer.belief_from, offer.belief_to);
    let line: String = heights
        .iter()
        .map(|height| {
            height
                .checked_sub(1)
                .and_then(|at| HEIGHTS.get(at))
                .copied()
                .unwrap_or(" ")
        })
        .collect();
    Paint::new(look)
        .put(Meaning::Theirs, String::new())
        .put(Meaning::Plain, line)
}

fn mark_meaning(letter: char) -> Meaning {
    match letter {
        'L' => Meaning::Limit,
        'o' | 's' => Meaning::Mine,
        'a' => Meaning::Theirs,
        _ => Meaning::Plain,
    }
}

/// The thread with ink and letters.
pub fn thread<'a>(look: &'a Look, rail: &Rail) -> Paint<'a> {
    let asks = rail.mark('a').unwrap_or(rail.width);
    let mut paint = Paint::new(look);
    for cell in 0..rail.width {
        if let Some(mark) = rail.marks.iter().find(|mark| mark.cell == cell) {
            paint = paint.put(mark_meaning(mark.letter), mark.letter.to_string());
        } else if (rail.ink.0..rail.ink.1).contains(&cell) {
            paint = paint.put(Meaning::Mine, "━");
        } else if cell > asks && rail.mark('w').is_some() {
            paint = paint.put(Meaning::Unseen, "┄");
        } else {
            paint = paint.put(Meaning::Plain, "─");
        }
    }
    paint
}

/// The limit that is right 9, 7 and 5 times in 10.
pub fn range<'a>(look: &'a Look, rail: &Rail, figures: &Appraisal) -> Option<Paint<'a>> {
    let limit = rail.mark('L')?;
    let low = rail.cell(say::to_f64(figures.limit.low?)).min(limit);
    let high = rail.cell(say::to_f64(figures.limit.high?)).max(limit);
    let line: String = (low..=high)
        .map(|cell| match cell {
            cell if cell == limit => '┿',
            cell if cell == low => '╶',
            cell if cell == high => '╴',
            _ => '─',
        })
        .collect();
    Some(Paint::new(look).gap(low).put(Meaning::Mine, line))
}

/// Words and figures under the marks, or one line where they would stand too far off.
pub fn words(look: &Look, rail: &Rail, wide: bool, rows: &mut Rows) {
    let figures: Vec<String> = rail
        .marks
        .iter()
        .map(|mark| say::whole(mark.value))
        .collect();
    let wants: Vec<(usize, usize)> = rail
        .marks
        .iter()
        .zip(&figures)
        .map(|(mark, figure)| (mark.cell, say::width(mark.word).max(say::width(figure))))
        .collect();
    let starts = if wide {
        rail::place_words(&wants, rail.width)
    } else {
        None
    };
    let Some(starts) = starts else {
        let all: Vec<String> = rail
            .marks
            .iter()
            .zip(&figures)
            .map(|(mark, figure)| format!("{} {figure}", mark.word).replace(' ', "\u{a0}"))
            .collect();
        for line in say::wrap(&all.join("  "), rail.width) {
            rows.text(Paint::new(look).put(Meaning::Plain, line.replace('\u{a0}', " ")));
        }
        return;
    };
    let mut names = Paint::new(look);
    let mut sums = Paint::new(look);
    for (((mark, figure), start), (_, wide)) in
        rail.marks.iter().zip(&figures).zip(starts).zip(&wants)
    {
        let center = |text: &str| start + (wide - say::width(text)) / 2;
        names = names.to(center(mark.word)).put(Meaning::Plain, mark.word);
        sums = sums
            .to(center(figure))
            .put(mark_meaning(mark.letter), figure.clone());
    }
    rows.text(names);
    rows.text(sums);
}

/// One row for the talks: yours `1▸`, theirs `◂1`.
fn talks(look: &Look, rail: &Rail, car: &CarEntry, rows: &mut Rows) {
    let said = &car.car().talks;
    if said.is_empty() {
        return;
    }
    let mut marks: Vec<(usize, String)> = Vec::new();
    let (mut yours, mut theirs) = (0, 0);
    for word in said {
        let Some(amount) = word.amount else { continue };
        let cell = rail.cell(say::to_f64(amount));
        match word.who {
            Who::You => {
                yours += 1;
                marks.push((cell.saturating_sub(1), format!("{yours}▸")));
            }
            Who::They => {
                theirs += 1;
                marks.push((cell, format!("◂{theirs}")));
            }
        }
    }
    marks.sort();
    let mut paint = Paint::new(look);
    for (cell, mark) in marks {
        if cell >= paint.cells() {
            paint = paint.to(cell).put(Meaning::Plain, mark);
        }
    }
    rows.text(paint);
}
