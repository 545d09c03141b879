//! The buyer's money, time, house rules and wishes.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::car::entry;
use crate::car::{HouseRules, Money, Wish, WishKind};
use crate::tui::app::{App, Effect};
use crate::tui::say;

fn share(value: f64) -> String {
    let percent = (value * 1000.0).round() / 10.0;
    percent.to_string()
}

pub fn money(app: &App) -> Form {
    let buyer = &app.data.buyer;
    let text = |value: Option<Money>| value.map_or_else(String::new, |value| value.to_string());
    let fields = vec![
        Field::line(
            "wallet",
            "wallet",
            Kind::Money(entry::WALLET),
            &text(buyer.wallet),
            "all there is, car and work; empty: no ceiling",
        ),
        Field::line(
            "spent",
            "spent already",
            Kind::Money(entry::SUM.named("spent")),
            &buyer.spent.to_string(),
            "out of the wallet",
        ),
        Field::line(
            "confidence",
            "be right",
            Kind::Percent(entry::CONFIDENCE),
            &buyer.confidence.map_or_else(String::new, share),
            "percent; empty: the purpose’s own",
        ),
        Field::line(
            "hour",
            "your hour",
            Kind::Money(entry::HOUR_VALUE),
            &text(buyer.hour_value),
            "empty: the purpose’s own",
        ),
        Field::line(
            "garage",
            "garage hour",
            Kind::Money(entry::GARAGE_RATE),
            &buyer.garage_rate.to_string(),
            "",
        ),
        Field::line(
            "markup",
            "garage parts +",
            Kind::Percent(entry::MARKUP),
            &share(buyer.garage_parts_markup),
            "percent",
        ),
        Field::line(
            "index",
            "prices here ×",
            Kind::Number(entry::PRICES_HERE),
            &buyer.price_index.to_string(),
            "1 is the table’s own",
        ),
        Field::line(
            "tax",
            "tax on price",
            Kind::Percent(entry::TAX),
            &share(buyer.tax_on_price),
            "percent",
        ),
        Field::line(
            "fees",
            "title, fees",
            Kind::Money(entry::FEES),
            &buyer.fees.to_string(),
            "with fetching and first service",
        ),
        Field::yes_no(
            "used",
            "used parts",
            Some(buyer.uses_used_parts),
            "where that is safe",
        ),
    ];
    Form::new(Purpose::BuyerMoney, "your money", fields)
}

pub fn keep_money(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let wallet = form.money("wallet")?;
    let spent = form.money("spent")?.unwrap_or(Money::ZERO);
    let confidence = form.percent("confidence")?;
    let hour = form.money("hour")?;
    let garage = form.money("garage")?;
    let markup = form.percent("markup")?;
    let index = form.number("index")?;
    let tax = form.percent("tax")?;
    let fees = form.money("fees")?;
    Ok(app.edit_buyer("your money", |buyer| {
        buyer.wallet = wallet;
        buyer.spent = spent;
        buyer.confidence = confidence;
        buyer.hour_value = hour;
        buyer.garage_rate = garage.unwrap_or(buyer.garage_rate);
        buyer.garage_parts_markup = markup.unwrap_or(buyer.garage_parts_markup);
        buyer.price_index = index.unwrap_or(buyer.price_index);
        buyer.tax_on_price = tax.unwrap_or(0.0);
        buyer.fees = fees.unwrap_or(Money::ZERO);
        buyer.uses_used_parts = form.choice("used") != Some(1);
        buyer.touched.insert("wallet".to_owned());
    }))
}

pub fn time(app: &App) -> Form {
    let buyer = &app.data.buyer;
    let fields = vec![
        Field::line(
            "week",
            "hours a week",
            Kind::Hours(entry::HOURS_A_WEEK),
            &buyer.hours_a_week.to_string(),
            "6",
        ),
        Field::line(
            "most",
            "most hours",
            Kind::Hours(entry::HOURS),
            &buyer
                .most_hours
                .map_or_else(String::new, |most| most.to_string()),
            "before it must be ready; empty: no end",
        ),
        Field::line(
            "pace",
            "your pace ×",
            Kind::Number(entry::PACE),
            &buyer.pace.to_string(),
            "1 is the table’s own, 1.2 is slower",
        ),
    ];
    Form::new(Purpose::BuyerTime, "your time", fields)
}

pub fn keep_time(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let week = form.hours("week")?;
    let most = form.hours("most")?;
    let pace = form.number("pace")?;
    Ok(app.edit_buyer("your time", |buyer| {
        buyer.hours_a_week = week.unwrap_or(buyer.hours_a_week);
        buyer.most_hours = most;
        buyer.pace = pace.unwrap_or(buyer.pace);
        buyer.touched.insert("time".to_owned());
    }))
}

pub fn house_rules(app: &App) -> Form {
    let rules = app.data.buyer.house_rules.as_ref();
    let exempt = rules.map_or_else(String::new, |rules| {
        let classes: Vec<&str> = rules.exempt_classes.iter().map(String::as_str).collect();
        classes.join(" ")
    });
    let number = |value: Option<u32>| value.map_or_else(String::new, |value| value.to_string());
    let fields = vec![
        Field::line(
            "cap",
            "cap",
            Kind::Money(entry::SUM.named("cap of the rules")),
            &rules.map_or_else(String::new, |rules| rules.cap.to_string()),
            "most that may be counted",
        ),
        Field::line(
            "step",
            "penalty step",
            Kind::Money(entry::SUM.named("penalty step")),
            &rules.map_or_else(String::new, |rules| rules.penalty_step.to_string()),
            "dollars over for one lap",
        ),
        Field::line(
            "accepted",
            "laps accepted",
            Kind::Whole(entry::LAPS),
            &number(rules.map(|rules| rules.accepted_steps)),
            "0",
        ),
        Field::yes_no(
            "started",
            "started counts",
            Some(rules.is_some_and(|rules| rules.started_steps_count)),
            "a started step counts whole",
        ),
        Field::line(
            "exempt",
            "exempt",
            Kind::Text,
            &exempt,
            "safety tires brakes",
        ),
        Field::yes_no(
            "sales",
            "sales count back",
            Some(rules.is_some_and(|rules| rules.sales_count_back)),
            "",
        ),
        Field::line(
            "treadwear",
            "least treadwear",
            Kind::Whole(entry::TREADWEAR),
            &number(rules.and_then(|rules| rules.least_treadwear)),
            "empty: no rule",
        ),
    ];
    Form::new(Purpose::HouseRules, "house rules of a capped event", fields)
}

pub fn keep_house_rules(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let Some(cap) = form.money("cap")? else {
        return Err(Wrong::at("cap", "the most that may be counted."));
    };
    let rules = HouseRules {
        cap,
        penalty_step: form.money("step")?.unwrap_or(Money::ZERO),
        accepted_steps: form.whole("accepted")?.unwrap_or(0),
        started_steps_count: form.choice("started") == Some(0),
        exempt_classes: form
            .text("exempt")
            .split([' ', ','])
            .filter(|class| !class.is_empty())
            .map(str::to_owned)
            .collect(),
        sales_count_back: form.choice("sales") == Some(0),
        least_treadwear: form.whole("treadwear")?,
    };
    Ok(app.edit_buyer("house rules", |buyer| {
        buyer.house_rules = Some(rules);
        buyer.touched.insert("house_rules".to_owned());
    }))
}

pub fn wish(app: &App, at: Option<usize>) -> Form {
    let known = at.and_then(|at| app.data.buyer.wishes.get(at));
    let kind = known.map(|wish| match wish.kind {
        WishKind::MustHave => 0,
        WishKind::NiceToHave => 1,
        WishKind::Never => 2,
    });
    let amount = known.and_then(|wish| wish.amount);
    let fields = vec![
        Field::line(
            "words",
            "wish",
            Kind::Text,
            known.map_or("", |wish| &wish.words),
            "such as: a tow bar",
        ),
        Field::choice(
            "kind",
            "it is a",
            ["must-have", "nice-to-have", "never"],
            kind,
            "a must-have missing, or a never met, is a stop",
        ),
        Field::line(
            "amount",
            "worth to you",
            Kind::Money(entry::SUM.named("worth of a wish")),
            &amount.map_or_else(String::new, |amount| amount.to_string()),
            "a nice-to-have only",
        ),
    ];
    Form::new(Purpose::Wish(at), "wish", fields).stepwise()
}

/// An id made of the words, unique among those in use.
fn fresh_id(words: &str, used: &[Wish]) -> String {
    let base: String = words
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .take(24)
        .collect();
    let base = if base.trim_matches('-').is_empty() {
        "wish".to_owned()
    } else {
        base.trim_matches('-').to_owned()
    };
    (1_u32..)
        .map(|at| {
            if at == 1 {
                base.clone()
            } else {
                format!("{base}-{at}")
            }
        })
        .find(|id| used.iter().all(|wish| wish.id != *id))
        .unwrap_or(base)
}

pub fn keep_wish(form: &Form, app: &mut App, at: Option<usize>) -> Result<Vec<Effect>, Wrong> {
    let words = form.text("words");
    if words.is_empty() {
        return Err(Wrong::at("words", "what do you want, or not want?"));
    }
    let kind = match form.choice("kind") {
        Some(0) => WishKind::MustHave,
        Some(1) => WishKind::NiceToHave,
        Some(2) => WishKind::Never,
        _ => return Err(Wrong::at("kind", "1 must-have, 2 nice-to-have, 3 never.")),
    };
    let amount = form.money("amount")?;
    let label = format!("wish “{}”", say::clip(&words, 28));
    Ok(app.edit_buyer(&label, |buyer| {
        match at.and_then(|at| buyer.wishes.get_mut(at)) {
            Some(known) => {
                known.words = words;
                known.kind = kind;
                known.amount = amount;
            }
            None => {
                let id = fresh_id(&words, &buyer.wishes);
                buyer.wishes.push(Wish {
                    id,
                    words,
                    kind,
                    amount,
                });
            }
        }
    }))
}
