//! You: the buyer's numbers as tiles; what was never touched is marked `ours`.

use super::Look;
use super::line::{Paint, Rows};
use super::tiles;
use crate::car::{System, WishKind};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout;
use crate::tui::say;
use crate::tui::screens::you::{self, LIMITS, MONEY, PURPOSE, RULES, SKILL, TIME, TOOLS, WISHES};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let columns = tiles::for_width(
        area,
        &[&[PURPOSE, MONEY, TIME, RULES, SKILL, TOOLS, WISHES]],
        &[&[PURPOSE, MONEY, TIME, RULES], &[SKILL, TOOLS, WISHES]],
        &[&[PURPOSE, MONEY, TIME], &[SKILL, RULES, WISHES], &[TOOLS]],
    );
    let shares: &[u16] = match columns.len() {
        1 => &[1],
        2 => &[1, 1],
        _ => &[1, 1, 1],
    };
    let mut trouble = Rows::default();
    if let Some(why) = &app.data.buyer_trouble {
        let width = usize::from(area.width).saturating_sub(2);
        trouble.words(look, Meaning::Heading, why, width);
        let words =
            "The plain buyer is in force, and changes here are not kept until that file is mended.";
        trouble.words(look, Meaning::Plain, words, width);
    }
    let high = u16::try_from(trouble.len()).unwrap_or(u16::MAX);
    let (top, area) = layout::split_top(area, high.min(area.height / 2));
    trouble.draw(look, top, buffer, None, false);
    tiles::draw(app, look, area, buffer, columns, shares, listing);
}

fn listing(app: &App, look: &Look, part: usize, width: usize) -> Rows {
    let mut rows = Rows::default();
    match part {
        PURPOSE => purpose(app, look, width, &mut rows),
        MONEY => money(app, look, width, &mut rows),
        TIME => time(app, look, width, &mut rows),
        RULES => rules(app, look, width, &mut rows),
        SKILL => skill(app, look, width, &mut rows),
        TOOLS => tools(app, look, width, &mut rows),
        _ => wishes(app, look, width, &mut rows),
    }
    rows
}

fn row(
    rows: &mut Rows,
    at: usize,
    look: &Look,
    width: usize,
    label: &str,
    value: &str,
    ours: bool,
) {
    let ours = if ours { "  ours" } else { "" };
    let paint = Paint::new(look).gap(1).left(Meaning::Quiet, label, 15);
    let room = width.saturating_sub(paint.cells());
    let value = if say::width(value) + ours.len() <= room {
        format!("{value}{ours}")
    } else {
        say::clip(value, room)
    };
    rows.row(at, paint.put(Meaning::Plain, value));
}

fn touched(app: &App, field: &str) -> bool {
    app.data.buyer.touched.contains(field)
}

fn purpose(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let buyer = &app.data.buyer;
    let Some(purpose) = app.data.tables.purpose(&buyer.purpose) else {
        rows.words(
            look,
            Meaning::Plain,
            &format!("{}: not in the tables. o takes another.", buyer.purpose),
            width,
        );
        return;
    };
    row(
        rows,
        0,
        look,
        width,
        "for",
        &purpose.name,
        !touched(app, "purpose"),
    );
    let mut fact = |label: &str, value: String| {
        let paint = Paint::new(look).gap(1).left(Meaning::Quiet, label, 15);
        let room = width.saturating_sub(paint.cells());
        rows.text(paint.put(Meaning::Plain, say::clip(&value, room)));
    };
    fact(
        "covers",
        format!("{} mi", say::whole(purpose.horizon_miles)),
    );
    let share = purpose.margin.share_of_worth * 100.0;
    fact(
        "margin",
        format!(
            "{share:.0}% of worth, or {}",
            say::whole(purpose.margin.least)
        ),
    );
    fact(
        "be right",
        format!("{} times in 100", say::whole(purpose.confidence * 100.0)),
    );
    fact("stops", purpose.stops.join(", "));
    let ours = !touched(app, "rule_set");
    row(
        rows,
        LIMITS,
        look,
        width,
        "limits by",
        you::rule_set(app),
        ours,
    );
    if !purpose.ignores.is_empty() {
        rows.words(
            look,
            Meaning::Quiet,
            &format!("ignores {}", purpose.ignores),
            width,
        );
    }
}

fn money(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let buyer = &app.data.buyer;
    let purpose = app.data.tables.purpose(&buyer.purpose);
    let wallet = buyer.wallet.map_or_else(
        || "not set: no ceiling but the limit".to_owned(),
        |wallet| format!("{}, all in", say::money(wallet)),
    );
    let ours = !touched(app, "wallet");
    let right = buyer.confidence.or(purpose.map(|row| row.confidence));
    let hour = buyer
        .hour_value
        .map(say::to_f64)
        .or(purpose.map(|row| row.hour_value));
    let values = [
        ("wallet", wallet, false),
        (
            "be right",
            right.map_or_else(
                || "··".to_owned(),
                |share| format!("{} times in 100", say::whole(share * 100.0)),
            ),
            buyer.confidence.is_none(),
        ),
        (
            "your hour",
            hour.map_or_else(|| "··".to_owned(), say::whole),
            buyer.hour_value.is_none(),
        ),
        ("garage hour", say::money(buyer.garage_rate), ours),
        (
            "garage parts",
            format!("+{:.0}%", buyer.garage_parts_markup * 100.0),
            ours,
        ),
        (
            "prices here",
            format!("×{:.2} of the table", buyer.price_index),
            ours,
        ),
        (
            "tax, fees",
            format!(
                "{:.1}%, {}",
                buyer.tax_on_price * 100.0,
                say::money(buyer.fees)
            ),
            ours,
        ),
        (
            "used parts",
            if buyer.uses_used_parts {
                "where safe"
            } else {
                "no"
            }
            .to_owned(),
            ours,
        ),
    ];
    for (at, (label, value, ours)) in values.iter().enumerate() {
        row(rows, at, look, width, label, value, *ours);
    }
}

fn time(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let buyer = &app.data.buyer;
    let ours = !touched(app, "time");
    row(
        rows,
        0,
        look,
        width,
        "a week",
        &format!("{} h", say::hours(buyer.hours_a_week)),
        ours,
    );
    let most = buyer.most_hours.map_or_else(
        || "no end".to_owned(),
        |most| format!("{} h", say::hours(most)),
    );
    row(rows, 1, look, width, "most", &most, ours);
    row(
        rows,
        2,
        look,
        width,
        "your pace",
        &format!("×{:.2}", buyer.pace),
        ours,
    );
}

fn rules(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let Some(rules) = &app.data.buyer.house_rules else {
        rows.words(
            look,
            Meaning::Plain,
            "None. e sets those of a capped event: cap, step, exempt, sales.",
            width,
        );
        return;
    };
    let exempt: Vec<&str> = rules.exempt_classes.iter().map(String::as_str).collect();
    let yes = |value: bool| if value { "yes" } else { "no" }.to_owned();
    let values = [
        ("cap", say::money(rules.cap)),
        ("penalty step", say::money(rules.penalty_step)),
        ("laps accepted", rules.accepted_steps.to_string()),
        ("started counts", yes(rules.started_steps_count)),
        ("exempt", exempt.join(", ")),
        ("sales count", yes(rules.sales_count_back)),
        (
            "treadwear",
            rules
                .least_treadwear
                .map_or_else(|| "no rule".to_owned(), |least| least.to_string()),
        ),
    ];
    for (at, (label, value)) in values.iter().enumerate() {
        row(rows, at, look, width, label, value, false);
    }
}

fn skill(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let ours = if touched(app, "skill") { "" } else { "  ours" };
    for (at, system) in System::ALL.iter().enumerate() {
        let level = usize::from(app.data.buyer.skill.get(system).copied().unwrap_or(1)).min(5);
        let bar = format!("{}{}", "━".repeat(level), "─".repeat(5 - level));
        rows.row(
            at,
            Paint::new(look)
                .gap(1)
                .left(
                    Meaning::Plain,
                    system.shown(),
                    19.min(width.saturating_sub(10)),
                )
                .put(Meaning::Mine, bar)
                .put(Meaning::Plain, format!(" {level}{ours}")),
        );
    }
    if width >= 34 {
        rows.words(look, Meaning::Quiet, "1 never did it  2 once, with help  3 alone, with the book  4 often, alone  5 could teach it", width);
    }
}

fn tools(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    for (at, tool) in app.data.tables.tools.iter().enumerate() {
        let owned = app.data.buyer.tools.contains(&tool.id);
        let price = match (owned, tool.buy, tool.hire) {
            (true, _, _) | (false, None, None) => String::new(),
            (false, Some(buy), _) => format!("buy {}", say::range(buy.low(), buy.high())),
            (false, None, Some(hire)) => format!("hire {}", say::range(hire.low(), hire.high())),
        };
        let room = width.saturating_sub(3 + say::width(&price));
        rows.row(
            at,
            Paint::new(look)
                .put(Meaning::Heading, if owned { "x " } else { "– " })
                .left(Meaning::Plain, &tool.name, room)
                .put(Meaning::Quiet, price),
        );
    }
    rows.text(Paint::new(look));
    rows.words(
        look,
        Meaning::Plain,
        "! Stands, on hard level ground; never under a car held by a jack alone.",
        width,
    );
}

fn wishes(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    if app.data.buyer.wishes.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "None. a adds what you must have, would like, or will not have.",
            width,
        );
    }
    for (at, wish) in app.data.buyer.wishes.iter().enumerate() {
        let kind = match wish.kind {
            WishKind::MustHave => "must have".to_owned(),
            WishKind::Never => "never".to_owned(),
            WishKind::NiceToHave => wish.amount.map_or_else(
                || "nice".to_owned(),
                |amount| format!("nice, {}", say::money(amount)),
            ),
        };
        let room = width.saturating_sub(14);
        rows.row(
            at,
            Paint::new(look)
                .left(Meaning::Plain, &wish.words, room)
                .gap(1)
                .left(Meaning::Quiet, &kind, 13),
        );
    }
}
