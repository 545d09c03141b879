//! The row or part in hand as plain text, for the clipboard or a file: what is seen, and never while money is hidden.

use crate::engine::{Appraisal, FaultFigure};
use crate::tui::app::App;
use crate::tui::data::CarEntry;
use crate::tui::overlay::why::{self, Why};
use crate::tui::overlay::{Overlay, letter, mind};
use crate::tui::say;
use crate::tui::screens::{Screen, cars, faults, look, money, side, story};

/// A text and the word for it in a file's name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copied {
    /// What it is, as `dabchick-money`.
    pub name: String,
    /// The text, ended by a line end.
    pub text: String,
}

/// The text of what is in hand; `None` where there is nothing, or money is hidden.
#[must_use]
pub fn here(app: &App) -> Option<Copied> {
    if app.hidden {
        return None;
    }
    if app.screen == Screen::Look {
        return look_lines(app);
    }
    let slug = app.data.hand.clone()?;
    if let Some(Overlay::Why(open)) = &app.overlay {
        return made(&slug, "why", &why_lines(app, open));
    }
    if let Some(Overlay::Mind(_)) = &app.overlay {
        return mind::copied(app, &slug);
    }
    if let Some(Overlay::Letter(paper)) = &app.overlay {
        return letter::copied(app, &slug, paper);
    }
    let car = app.data.car()?;
    let (word, lines) = match app.screen {
        Screen::Cars => ("car", car_lines(car)),
        Screen::Story => ("story", story_lines(app)),
        Screen::Faults => (
            "fault",
            faults::in_hand(app).map(fault_lines).unwrap_or_default(),
        ),
        Screen::Money => ("money", money_lines(app)),
        Screen::Side => ("cars", side_lines(app)),
        Screen::Walk | Screen::You | Screen::Look => return None,
    };
    made(&slug, word, &lines)
}

fn made(slug: &str, word: &str, lines: &[String]) -> Option<Copied> {
    let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
    (!lines.is_empty()).then(|| Copied {
        name: format!("{slug}-{word}"),
        text,
    })
}

fn sum(amount: Option<crate::car::Money>) -> String {
    amount.map_or_else(|| "not known".to_owned(), say::money)
}

fn car_lines(car: &CarEntry) -> Vec<String> {
    if let Some(why) = &car.error {
        return vec![why.clone()];
    }
    let facts = &car.car().particulars;
    let mut head = vec![car.name().to_owned()];
    head.extend(
        facts
            .odometer_miles
            .map(|miles| format!("{} miles", say::whole(miles))),
    );
    head.push(cars::state(car));
    let mut lines = vec![
        head.join(", "),
        format!("asks {}", sum(car.car().listing.asking)),
    ];
    if let Some(figures) = car.figures.as_deref() {
        lines.extend(bottom_lines(figures));
    }
    lines
}

fn bottom_lines(figures: &Appraisal) -> Vec<String> {
    let range = figures
        .limit
        .low
        .zip(figures.limit.high)
        .map_or_else(String::new, |(low, high)| {
            format!(" ({})", say::range(say::to_f64(low), say::to_f64(high)))
        });
    let chance = |chance: Option<f64>| chance.map_or_else(|| "not known".to_owned(), say::percent);
    let after = &figures.chances.after;
    vec![
        format!("limit {}{range}", sum(figures.limit.price)),
        format!(
            "open {}, settle {}",
            sum(figures.offer.open),
            sum(figures.offer.settle)
        ),
        format!("hours {}", say::hours_spread(&figures.repair.hours)),
        format!(
            "cheap {}, reliable {}, fast {}",
            chance(after.cheap),
            say::before_after(figures.chances.before.reliable, after.reliable),
            chance(after.fast)
        ),
    ]
}

fn story_lines(app: &App) -> Vec<String> {
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    let facts = |facts: Vec<story::Fact>| -> Vec<String> {
        facts
            .into_iter()
            .map(|fact| format!("{}: {}", fact.label, fact.value))
            .collect()
    };
    match app.views.cursor(Screen::Story).part {
        story::SELLER => facts(story::seller(car, app.data.now.date())),
        story::CLAIMS => car.claims.iter().map(|claim| claim.text.clone()).collect(),
        story::SIGNS => car
            .observations
            .iter()
            .map(|seen| {
                let name = app
                    .data
                    .tables
                    .sign(&seen.sign)
                    .map_or(seen.sign.as_str(), |row| &row.name);
                format!(
                    "{name}: {}",
                    story::answer_words(app, &seen.sign, seen.answer)
                )
            })
            .collect(),
        story::WORTH => {
            let own = car.worth.own.map(|own| {
                let (low, likely, high) = (
                    say::money(own.low),
                    say::money(own.likely),
                    say::money(own.high),
                );
                format!("own estimate {likely} ({low}–{high})")
            });
            let like = car
                .worth
                .comparables
                .iter()
                .map(|like| format!("{}: {}", like.name, say::money(like.price)));
            own.into_iter().chain(like).collect()
        }
        story::WISHES => app
            .data
            .buyer
            .wishes
            .iter()
            .map(|wish| wish.words.clone())
            .collect(),
        story::ADVERT => car.listing.advert.lines().map(str::to_owned).collect(),
        story::NOTES => car.notes.clone(),
        _ => facts(story::particulars(car)),
    }
}

fn fault_lines(fault: &FaultFigure) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: {}, takes {} off",
        fault.name,
        say::percent(fault.chance),
        say::whole(fault.takes)
    )];
    lines.extend(
        fault
            .reasons
            .iter()
            .map(|reason| format!("  {} {}", reason.words, say::times(reason.times))),
    );
    lines
}

fn money_lines(app: &App) -> Vec<String> {
    let Some(figures) = app.data.figures() else {
        return Vec::new();
    };
    match app.views.cursor(Screen::Money).part {
        money::LADDER => money::steps(app)
            .into_iter()
            .map(|step| format!("{}  {}", step.label, say::whole(step.amount)))
            .collect(),
        money::TALKS => app.data.record().map_or_else(Vec::new, |car| {
            car.talks
                .iter()
                .map(|said| {
                    let who = if said.who == crate::car::Who::You {
                        "you"
                    } else {
                        "they"
                    };
                    let amount = said.amount.map_or_else(|| "no".to_owned(), say::money);
                    format!("{who}: {amount} {}", said.words)
                        .trim_end()
                        .to_owned()
                })
                .collect()
        }),
        _ => money::plan(figures)
            .into_iter()
            .map(|row| {
                let chance = row.chance.map_or_else(String::new, |chance| {
                    format!(", {} they would take it", say::percent(chance))
                });
                format!("{} {}{chance}", row.label, say::whole(row.amount))
            })
            .collect(),
    }
}

fn side_lines(app: &App) -> Vec<String> {
    let mut lines = Vec::new();
    for car in side::marked(app) {
        let mark = cars::mark(app, &car.slug).unwrap_or(' ');
        lines.push(format!(
            "{mark} {}: asks {}",
            car.name(),
            sum(car.car().listing.asking)
        ));
        if let Some(figures) = side::figures(app, car) {
            lines.extend(
                bottom_lines(figures)
                    .into_iter()
                    .map(|line| format!("  {line}")),
            );
        }
    }
    for pair in side::pairs(app) {
        let share = say::whole(pair.share * 100.0);
        lines.push(format!("{} over {}: {share} of 100", pair.over, pair.under));
    }
    lines.extend(side::beaten(app));
    lines.extend(side::settle(app));
    lines.extend(side::balance(app));
    lines
}

/// The page that is open on Look up.
fn look_lines(app: &App) -> Option<Copied> {
    let (kind, id) = look::row(app)?;
    let mut lines = vec![format!("{}, {} {id}", "from the tables", kind.word())];
    lines.extend(look::page(app).iter().map(|row| match row {
        look::PageRow::Words(label, words) => format!("{label}: {words}"),
        look::PageRow::Figure(figure) => {
            format!("{}: {}", figure.label, look::figure_words(app, figure))
        }
        look::PageRow::Link(link) => format!("{}: {}", link.label, link.name),
    }));
    made(&crate::car::text::one_line(&id), "row", &lines)
}

fn why_lines(app: &App, open: &Why) -> Vec<String> {
    let Some(node) = open.node(app) else {
        return Vec::new();
    };
    let mut lines = vec![why::line(&node)];
    lines.extend((!node.sentence.is_empty()).then(|| node.sentence.clone()));
    let parts = node.parts.iter().filter_map(|id| why::node(app, id));
    lines.extend(parts.map(|part| format!("  {}", why::line(&part))));
    lines.extend((!node.source.is_empty()).then(|| node.source.clone()));
    lines
}
