//! The bottom line of the car in hand, on every screen; hidden, the clock.

use super::Look;
use super::line::Paint;
use crate::engine::Appraisal;
use crate::tui::app::App;
use crate::tui::data::{CarEntry, Figures};
use crate::tui::draw::sheet::Sheet;
use crate::tui::forms::read;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let margin = u16::from(layout::width_class(area.width) > Width::Narrow);
    let width = area.width.saturating_sub(margin);
    let pieces = if app.hidden {
        let now = app.data.now;
        vec![vec![(
            Meaning::Plain,
            format!(
                "{:02}:{:02}  {}",
                now.hour(),
                now.minute(),
                read::weekday(now.date())
            ),
        )]]
    } else if let Some(moved) = &app.said.moved {
        let (before, after, by) = &moved.limit;
        let mut pieces = vec![vec![
            (Meaning::Plain, "limit ".to_owned()),
            (Meaning::Plain, format!("{before} → ")),
            (Meaning::Limit, after.clone()),
            (
                Meaning::Plain,
                if by.is_empty() {
                    String::new()
                } else {
                    format!(" ({by})")
                },
            ),
        ]];
        if let Some((before, after)) = &moved.open {
            pieces.push(vec![
                (Meaning::Plain, format!("open {before} → ")),
                (Meaning::Mine, after.clone()),
            ]);
        }
        pieces
    } else {
        match app.data.car() {
            None => vec![vec![(Meaning::Plain, "no car yet".to_owned())]],
            Some(car) => match &car.error {
                // All of it stands on Cars; here as much as fits.
                Some(why) => vec![vec![(Meaning::Plain, say::clip(why, usize::from(width)))]],
                None => line(car, layout::width_class(area.width)),
            },
        }
    };
    let mut paint = Paint::new(look);
    for piece in pieces {
        let gap = if paint.cells() == 0 { 0 } else { 2 };
        let cells: usize = piece.iter().map(|(_, text)| say::width(text)).sum();
        if paint.cells() + gap + cells > usize::from(width) {
            continue;
        }
        paint = paint.gap(gap);
        for (meaning, text) in piece {
            paint = paint.put(meaning, text);
        }
    }
    paint.draw(buffer, area.x + margin, area.y, width);
}

type Piece = Vec<(Meaning, String)>;

/// Pieces of the line, most needed first; each leaves whole.
fn line(car: &CarEntry, class: Width) -> Vec<Piece> {
    let rough = if car.state == Figures::Rough { "~" } else { "" };
    let asks = car
        .car()
        .listing
        .asking
        .map_or_else(|| "··".to_owned(), say::money);
    let mut pieces = vec![vec![
        (Meaning::Plain, "asks ".to_owned()),
        (Meaning::Theirs, asks),
    ]];
    let Some(figures) = car.figures.as_deref() else {
        pieces.push(vec![(Meaning::Plain, "limit ··".to_owned())]);
        return pieces;
    };
    let shown = |value: Option<crate::car::Money>| {
        value.map_or_else(
            || "··".to_owned(),
            |value| format!("{rough}{}", say::money(value)),
        )
    };
    let mut limit = vec![
        (Meaning::Plain, "limit ".to_owned()),
        (Meaning::Limit, shown(figures.limit.price)),
    ];
    if class > Width::Narrow
        && let (Some(low), Some(high)) = (figures.limit.low, figures.limit.high)
    {
        limit.push((
            Meaning::Plain,
            format!(" ({})", say::range(say::to_f64(low), say::to_f64(high))),
        ));
    }
    pieces.push(limit);
    if let Some(words) = say::too_dear(figures) {
        let words = if class == Width::Narrow {
            "work over worth"
        } else {
            words
        };
        pieces.push(vec![(Meaning::Plain, words.to_owned())]);
    }
    let opened = car
        .car()
        .talks
        .iter()
        .any(|said| said.who == crate::car::Who::You);
    let open = if opened { "next " } else { "open " };
    pieces.push(vec![
        (Meaning::Plain, open.to_owned()),
        (Meaning::Mine, shown(figures.offer.open)),
    ]);
    pieces.push(vec![
        (Meaning::Plain, "settle ".to_owned()),
        (Meaning::Mine, shown(figures.offer.settle)),
    ]);
    pieces.extend(wider(figures, class));
    pieces
}

fn wider(figures: &Appraisal, class: Width) -> Vec<Piece> {
    let plain = |text: String| vec![(Meaning::Plain, text)];
    let hours = &figures.repair.hours;
    let stops = figures
        .stops
        .iter()
        .filter(|stop| stop.waived.is_none())
        .count();
    let stop = match stops {
        0 => plain("no stop".to_owned()),
        1 => vec![(Meaning::Stop, "■ STOP".to_owned())],
        many => vec![(Meaning::Stop, format!("■ STOP ×{many}"))],
    };
    let (before, after) = (&figures.chances.before, &figures.chances.after);
    if class < Width::Wide {
        return vec![plain(format!("{} h", say::hours(hours.p50))), stop];
    }
    let mut pieces = vec![plain(format!(
        "{} h ({}–{})",
        say::hours(hours.p50),
        say::hours(hours.p10),
        say::hours(hours.p90)
    ))];
    if stops > 0 {
        pieces.push(stop.clone());
    }
    pieces.push(plain(format!(
        "cheap {}",
        say::before_after(None, after.cheap)
    )));
    pieces.push(plain(format!(
        "reliable {}",
        say::before_after(before.reliable, after.reliable)
    )));
    pieces.push(plain(format!(
        "fast {}",
        say::before_after(None, after.fast)
    )));
    if stops == 0 {
        pieces.push(stop);
    }
    pieces.push(plain(format!(
        "{} not seen",
        figures.unseen.checks_not_seen
    )));
    pieces
}
