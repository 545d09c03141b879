//! Papers and plates, and single receipts.

use super::{Field, Form, Kind, Purpose, Wrong, read};
use crate::car::entry;
use crate::car::{OdometerStatement, PaperFacts, Receipt, VinRead};
use crate::tui::app::{App, Effect};
use crate::tui::say;

/// Where numbers are read, with the field of each.
const PLACES: [(&str, &str, &str); 4] = [
    ("vin-title", "VIN, title", "title"),
    ("vin-dash", "VIN, dash", "dash"),
    ("vin-door", "VIN, door", "door"),
    ("vin-computer", "VIN, computer", "computer"),
];

/// What is said of the odometer, in the order of the choice.
const STATEMENTS: [(OdometerStatement, &str); 4] = [
    (OdometerStatement::Actual, "actual"),
    (OdometerStatement::OverLimits, "over its limits"),
    (OdometerStatement::NotActual, "not actual"),
    (OdometerStatement::Exempt, "exempt"),
];

pub fn papers(app: &App) -> Form {
    let facts = app
        .data
        .record()
        .map(|car| car.papers.clone())
        .unwrap_or_default();
    let vin = |place: &str| {
        let read = facts.vins.iter().find(|read| read.place == place);
        read.map_or_else(String::new, |read| read.text.clone())
    };
    let mut fields: Vec<Field> = PLACES
        .iter()
        .map(|(id, label, place)| {
            Field::line(id, label, Kind::Text, &vin(place), "all 17, as read")
        })
        .collect();
    fields.extend(title(&facts));
    fields.extend(tale(&facts));
    Form::new(Purpose::Papers, "papers and plates", fields)
        .with_note("A number read wrong is kept as read: the page says what would pass.")
}

/// What stands on the title.
fn title(facts: &PaperFacts) -> Vec<Field> {
    let statement = facts.odometer.and_then(|said| {
        STATEMENTS
            .iter()
            .position(|(statement, _)| *statement == said)
    });
    vec![
        Field::yes_no(
            "american",
            "North America",
            facts.north_american,
            "built for it: elsewhere a VIN has no check digit",
        ),
        Field::line(
            "title-on",
            "title of",
            Kind::Day,
            &facts.title_on.map(|on| on.to_string()).unwrap_or_default(),
            "2014-06-02",
        ),
        Field::line(
            "brands",
            "brands",
            Kind::Text,
            &facts.brands,
            "salvage, rebuilt, flood",
        ),
        Field::line(
            "lender",
            "lender",
            Kind::Text,
            &facts.lender,
            "as named on the title",
        ),
        Field::yes_no(
            "released",
            "release here",
            facts.released.then_some(true),
            "the lender's release is in hand",
        ),
        Field::yes_no(
            "owner",
            "seller is owner",
            facts.seller_is_owner,
            "the name on the title, and their ID",
        ),
        Field::choice(
            "odometer",
            "odometer",
            STATEMENTS.map(|(_, words)| words),
            statement,
            "as the title or the seller states it",
        ),
    ]
}

/// What they say of it, and the tires.
fn tale(facts: &PaperFacts) -> Vec<Field> {
    vec![
        Field::line(
            "owners",
            "owners so far",
            Kind::Whole(entry::OWNERS),
            &facts
                .owners
                .map(|count| count.to_string())
                .unwrap_or_default(),
            "as they say",
        ),
        Field::line(
            "since",
            "theirs since",
            Kind::Year,
            &facts
                .owned_since
                .map(|year| year.to_string())
                .unwrap_or_default(),
            "as they say: 2014",
        ),
        Field::line(
            "tires",
            "tire dates",
            Kind::Text,
            &facts.tires.join(" "),
            "last four of each DOT number: 3623 3623 1016",
        ),
    ]
}

pub fn keep_papers(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let vins: Vec<VinRead> = PLACES
        .iter()
        .filter_map(|(id, _, place)| {
            let text = form.text(id);
            (!text.is_empty()).then(|| VinRead {
                place: (*place).to_owned(),
                text,
            })
        })
        .collect();
    let yes = |id: &str| form.choice(id).map(|at| at == 0);
    let kept = PaperFacts {
        vins,
        north_american: yes("american"),
        title_on: form.value("title-on", read::day_typed)?,
        brands: form.text("brands"),
        lender: form.text("lender"),
        released: yes("released") == Some(true),
        seller_is_owner: yes("owner"),
        odometer: form
            .choice("odometer")
            .and_then(|at| STATEMENTS.get(at))
            .map(|(statement, _)| *statement),
        owners: form
            .whole("owners")?
            .and_then(|count| u8::try_from(count).ok()),
        owned_since: form.year("since")?,
        tires: form
            .text("tires")
            .split([' ', ','])
            .filter(|code| !code.is_empty())
            .map(str::to_owned)
            .collect(),
        receipts: Vec::new(),
    };
    Ok(app.edit("papers", |car| {
        let receipts = std::mem::take(&mut car.papers.receipts);
        car.papers = PaperFacts { receipts, ..kept };
    }))
}

pub fn receipt(app: &App, at: Option<usize>) -> Form {
    let known = at.and_then(|at| app.data.record()?.papers.receipts.get(at).cloned());
    let known = known.unwrap_or_default();
    let fields = vec![
        Field::line(
            "what",
            "what for",
            Kind::Text,
            &known.what,
            "battery, timing belt, four tires",
        ),
        Field::line(
            "on",
            "day",
            Kind::Day,
            &known.on.map(|on| on.to_string()).unwrap_or_default(),
            "2026-03-14",
        ),
        Field::line(
            "miles",
            "miles on it",
            Kind::Miles(entry::RECEIPT),
            &known
                .miles
                .map(|miles| miles.to_string())
                .unwrap_or_default(),
            "141k",
        ),
    ];
    Form::new(Purpose::Receipt(at), "receipt, sticker or sheet", fields)
        .with_note("Days and miles are held against the odometer, the counters and each other.")
}

pub fn keep_receipt(form: &Form, app: &mut App, at: Option<usize>) -> Result<Vec<Effect>, Wrong> {
    let receipt = Receipt {
        what: form.text("what"),
        on: form.value("on", read::day_typed)?,
        miles: form.miles("miles")?,
    };
    if receipt.on.is_none() && receipt.miles.is_none() {
        return Err(Wrong::at(
            "on",
            "a day or miles: without either it says nothing.",
        ));
    }
    let label = format!("receipt “{}”", say::clip(&receipt.what, 28));
    Ok(app.edit(&label, |car| {
        let receipts = &mut car.papers.receipts;
        match at.and_then(|at| receipts.get_mut(at)) {
            Some(known) => *known = receipt,
            None => receipts.push(receipt),
        }
    }))
}
