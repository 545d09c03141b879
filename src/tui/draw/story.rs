//! Story: parts as tiles; without proof a claim in the car's favor changes no figure, and it says so.

use super::Look;
use super::line::{Paint, Rows};
use super::tiles;
use crate::car::{CarRecord, Known, PriceKind, Stamp, WishKind};
use crate::report::words;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::say;
use crate::tui::screens::story::{
    self, ADVERT, CLAIMS, Fact, NOTES, PAPERS, PARTICULARS, PaperRow, SELLER, SIGNS, WISHES, WORTH,
};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let columns = tiles::for_width(
        area,
        &[&[
            PARTICULARS,
            SELLER,
            CLAIMS,
            SIGNS,
            WORTH,
            WISHES,
            ADVERT,
            NOTES,
            PAPERS,
        ]],
        &[
            &[PARTICULARS, SELLER, PAPERS, NOTES],
            &[CLAIMS, SIGNS, WORTH, WISHES, ADVERT],
        ],
        &[
            &[PARTICULARS, PAPERS, NOTES],
            &[SELLER, ADVERT, WORTH],
            &[CLAIMS, SIGNS, WISHES],
        ],
    );
    let shares: &[u16] = match columns.len() {
        1 => &[1],
        2 => &[2, 3],
        _ => &[5, 6, 7],
    };
    tiles::draw(app, look, area, buffer, columns, shares, listing);
}

fn listing(app: &App, look: &Look, part: usize, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(car) = app.data.record() else {
        return rows;
    };
    match part {
        PARTICULARS => facts(look, &story::particulars(car), width, &mut rows),
        SELLER => facts(
            look,
            &story::seller(car, app.data.now.date()),
            width,
            &mut rows,
        ),
        CLAIMS => claims(look, car, width, &mut rows),
        SIGNS => signs(app, look, car, width, &mut rows),
        WORTH => worth(app, look, car, width, &mut rows),
        WISHES => wishes(app, look, car, width, &mut rows),
        ADVERT => advert(look, car, width, &mut rows),
        PAPERS => papers(app, look, width, &mut rows),
        _ => notes(look, car, width, &mut rows),
    }
    rows
}

/// Facts as label and value.
pub fn facts(look: &Look, facts: &[Fact], width: usize, rows: &mut Rows) {
    for (at, fact) in facts.iter().enumerate() {
        let known = fact.value != "not known";
        let meaning = match (known, fact.field) {
            (false, _) => Meaning::Unseen,
            (true, "asks" | "was") => Meaning::Theirs,
            _ => Meaning::Plain,
        };
        let paint = Paint::new(look)
            .gap(1)
            .left(Meaning::Quiet, fact.label, 19.min(width / 2));
        let room = width.saturating_sub(paint.cells() + 1);
        rows.row(at, paint.gap(1).put(meaning, say::clip(&fact.value, room)));
    }
}

/// A proof in words.
pub fn proof(proof: Option<Known>) -> &'static str {
    match proof {
        None => "none",
        Some(Known::Said) => "said",
        Some(Known::Paper) => "paper",
        Some(Known::Seen) => "seen",
        Some(Known::Measured) => "measured",
    }
}

fn stamp(stamp: Stamp) -> &'static str {
    match stamp {
        Stamp::Open => "open",
        Stamp::Proved => "true",
        Stamp::Contradicted => "false",
        Stamp::Unseen => "unseen",
    }
}

/// What is claimed, with when the part was new.
fn told(claim: &crate::car::Claim) -> String {
    match &claim.replaced {
        Some(new) if new.at_miles <= 0.0 => format!("first part: {}", claim.text),
        Some(new) => format!("new at {}: {}", words::whole(new.at_miles), claim.text),
        None => claim.text.clone(),
    }
}

fn claims(look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    if car.claims.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "No claims. a adds one, for or against.",
            width,
        );
        return;
    }
    let name = width.saturating_sub(16);
    rows.text(
        Paint::new(look)
            .gap(2)
            .left(Meaning::Quiet, "claim", name.saturating_sub(2))
            .put(Meaning::Quiet, "  proof  stamp"),
    );
    for (at, claim) in car.claims.iter().enumerate() {
        let side = if claim.pro { "+" } else { "−" };
        let paint = Paint::new(look)
            .put(Meaning::Plain, side)
            .gap(1)
            .left(Meaning::Theirs, &told(claim), name.saturating_sub(2))
            .gap(2)
            .left(Meaning::Plain, proof(claim.proof), 7)
            .left(Meaning::Plain, stamp(claim.stamp), 7);
        rows.row(at, paint);
    }
    let bare = car
        .claims
        .iter()
        .any(|claim| claim.pro && matches!(claim.proof, None | Some(Known::Said)));
    if bare {
        rows.words(
            look,
            Meaning::Unseen,
            "+ without proof it changes no figure",
            width,
        );
    }
}

fn signs(app: &App, look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    if car.observations.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "No signs yet. a adds a noise, a smell, a lamp, a code.",
            width,
        );
        return;
    }
    let name = (width * 9 / 20).max(12);
    for (at, seen) in car.observations.iter().enumerate() {
        let row = app.data.tables.sign(&seen.sign);
        let known = match (seen.admitted, seen.known) {
            (true, _) => "they said",
            (false, known) => proof(Some(known)),
        };
        let words = story::answer_words(app, &seen.sign, seen.answer);
        let paint = Paint::new(look)
            .left(
                Meaning::Plain,
                row.map_or(&seen.sign, |row| &row.name),
                name,
            )
            .gap(1);
        let room = width.saturating_sub(name + 11);
        let words = if row.is_some() {
            words
        } else {
            "not in the tables, not priced".to_owned()
        };
        rows.row(
            at,
            paint
                .left(Meaning::Plain, &words, room)
                .gap(1)
                .left(Meaning::Quiet, known, 9),
        );
    }
}

fn worth(app: &App, look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    let own = car.worth.own.map_or_else(
        || "not given: e, low likely high".to_owned(),
        |own| {
            format!(
                "{} ({}–{})",
                say::money(own.likely),
                say::money(own.low),
                say::money(own.high)
            )
        },
    );
    let looks = if car.worth.as_it_looks {
        ", as it looks"
    } else {
        ""
    };
    rows.row(
        0,
        Paint::new(look).left(Meaning::Quiet, "your own", 10).put(
            Meaning::Plain,
            say::clip(&format!("{own}{looks}"), width.saturating_sub(10)),
        ),
    );
    for (at, like) in car.worth.comparables.iter().enumerate() {
        let kind = match like.kind {
            PriceKind::Asked => "asked",
            PriceKind::Sold => "sold",
        };
        let year = like.year.map_or_else(String::new, |year| year.to_string());
        let tail = format!("{kind:>5} {year:>4}");
        let name = width.saturating_sub(say::width(&tail) + 9);
        rows.row(
            at + 1,
            Paint::new(look)
                .left(Meaning::Plain, &like.name, name)
                .right(Meaning::Plain, &say::money(like.price), 8)
                .gap(1)
                .put(Meaning::Quiet, tail),
        );
    }
    let figures = app.data.figures();
    if let Some(worth) = figures.and_then(|figures| figures.worth.as_ref()) {
        let words = format!(
            "worth, once right {} ({})",
            say::about(worth.mean),
            say::range(say::fives(worth.p10), say::fives(worth.p90))
        );
        rows.words(look, Meaning::Plain, &words, width);
    } else {
        rows.words(look, Meaning::Plain, "Worth not known. Two or three like it, or your own low, likely, high. Until then: costs only.", width);
    }
}

fn wishes(app: &App, look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    if app.data.buyer.wishes.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "None of yours. a adds a must-have, nice-to-have or never.",
            width,
        );
        return;
    }
    for (at, wish) in app.data.buyer.wishes.iter().enumerate() {
        let met = match car.wishes_met.get(&wish.id) {
            Some(true) => "met",
            Some(false) => "not met",
            None => "not told",
        };
        let kind = match wish.kind {
            WishKind::MustHave => "must have",
            WishKind::NiceToHave => "nice",
            WishKind::Never => "never",
        };
        let name = width.saturating_sub(21);
        rows.row(
            at,
            Paint::new(look)
                .left(Meaning::Plain, &wish.words, name)
                .gap(1)
                .left(Meaning::Quiet, kind, 10)
                .left(Meaning::Plain, met, 9),
        );
    }
}

fn advert(look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    if car.listing.advert.is_empty() {
        rows.words(look, Meaning::Plain, "No advert. Paste it here.", width);
        return;
    }
    for line in car.listing.advert.lines() {
        rows.words(look, Meaning::Theirs, line, width.min(60));
    }
}

fn papers(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let found = story::paper_rows(app);
    if found.is_empty() {
        let words = "None. e takes VIN, title, tire dates; a adds a receipt.";
        rows.words(look, Meaning::Plain, words, width);
    }
    for (at, row) in found.iter().enumerate() {
        let (meaning, words) = match row {
            PaperRow::Fact(label, words) => (Meaning::Plain, format!("{label}: {words}")),
            PaperRow::Clash(sentence) => (Meaning::Caution, format!("! {sentence}")),
            PaperRow::Receipt(_, words) => (Meaning::Quiet, format!("receipt: {words}")),
        };
        for line in say::wrap(&words, width.min(72)) {
            rows.row(at, Paint::new(look).put(meaning, line));
        }
    }
}

fn notes(look: &Look, car: &CarRecord, width: usize, rows: &mut Rows) {
    if car.notes.is_empty() {
        rows.words(look, Meaning::Plain, "None. n writes one.", width);
    }
    for (at, note) in car.notes.iter().enumerate() {
        for line in say::wrap(note, width) {
            rows.row(at, Paint::new(look).put(Meaning::Plain, line));
        }
    }
}
