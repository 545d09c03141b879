//! A new car in a few questions, and the particulars.

use super::{Field, Form, Kind, Purpose, Wrong, read};
use crate::car::entry;
use crate::car::{
    CarRecord, Drive, Fuel, Gearbox, Particulars, SaltWinters, SizeClass, Steering, TimingDrive,
};
use crate::tui::app::{App, Effect};
use crate::tui::typed;

/// Five lines: make; model and year; miles; what they ask; worth.
pub fn new_car() -> Form {
    let fields = vec![
        Field::line("make", "make", Kind::Text, "", "such as Zorrel"),
        Field::line(
            "model",
            "model, year",
            Kind::Text,
            "",
            "such as Dabchick 1.8 2009",
        ),
        Field::line(
            "miles",
            "miles",
            Kind::Miles(entry::ODOMETER),
            "",
            "146k, or 235000km",
        ),
        Field::line(
            "asks",
            "they ask",
            Kind::Money(entry::ASKING),
            "",
            "1850; empty if not known",
        ),
        Field::line(
            "worth",
            "worth, right",
            Kind::Spread(entry::WORTH),
            "",
            "low likely high: 2800 3250 3700",
        ),
    ];
    Form::new(Purpose::NewCar, "new car", fields)
        .stepwise()
        .with_note(
            "Worth: what it would bring once right, as you know such cars. Empty: costs only.",
        )
}

/// A file to read in: a car, or the text of an advert.
pub fn read_in() -> Form {
    let fields = vec![Field::line(
        "file",
        "file",
        Kind::Text,
        "",
        "its path, such as ~/Downloads/advert.txt",
    )];
    Form::new(Purpose::ReadIn, "read a file in", fields).with_note(
        "A car file comes in as it is, any other text as an advert. The file stays where it is.",
    )
}

pub fn keep_read_in(form: &Form) -> Result<Vec<Effect>, Wrong> {
    let path = form.text("file");
    if path.is_empty() {
        return Err(Wrong::at("file", "which file?"));
    }
    Ok(vec![Effect::ReadIn(path)])
}

/// A model with its year at the end or the start.
fn model_and_year(typed: &str) -> (String, Option<u16>) {
    let words: Vec<&str> = typed.split_whitespace().collect();
    let is_year = |word: &&str| word.len() == 4 && typed::year(word).is_ok();
    if let Some((last, rest)) = words.split_last()
        && is_year(last)
    {
        return (rest.join(" "), typed::year(last).ok());
    }
    if let Some((first, rest)) = words.split_first()
        && is_year(first)
    {
        return (rest.join(" "), typed::year(first).ok());
    }
    (words.join(" "), None)
}

pub fn keep_new_car(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let make = form.text("make");
    let (model, year) = model_and_year(&form.text("model"));
    if make.is_empty() && model.is_empty() {
        return Err(Wrong::at(
            "make",
            "a make or a model, so that you know it again.",
        ));
    }
    let mut car = CarRecord::default();
    let name = if model.is_empty() { &make } else { &model };
    car.name = match year {
        Some(year) => format!("{name} {year}"),
        None => name.clone(),
    };
    car.particulars.odometer_miles = form.miles("miles")?;
    car.listing.asking = form.money("asks")?;
    car.worth.own = form.money_range("worth")?;
    car.particulars.make = make;
    car.particulars.model = model;
    car.particulars.year = year;
    Ok(app.add_car(car))
}

fn shown<T: Copy + PartialEq>(
    all: &[T],
    words: fn(T) -> &'static str,
    value: Option<T>,
) -> (Vec<&'static str>, Option<usize>) {
    let picked = value.and_then(|value| all.iter().position(|known| *known == value));
    (all.iter().map(|known| words(*known)).collect(), picked)
}

macro_rules! words_field {
    ($id:literal, $label:literal, $kind:ident, $value:expr, $hint:literal) => {{
        let (words, picked) = shown($kind::ALL, $kind::shown, $value);
        Field::choice($id, $label, words, picked, $hint)
    }};
}

pub fn particulars(app: &App) -> Form {
    let empty = CarRecord::default();
    let car = app.data.record().unwrap_or(&empty);
    let facts = &car.particulars;
    let mut fields = named(car);
    fields.extend(built(facts));
    fields.extend(measured(facts));
    fields.extend(lived(facts));
    Form::new(Purpose::Particulars, "particulars", fields)
}

fn text(value: Option<String>) -> String {
    value.unwrap_or_default()
}

/// What it is called, how old, how far it went.
fn named(car: &CarRecord) -> Vec<Field> {
    let facts = &car.particulars;
    vec![
        Field::line("name", "name", Kind::Text, &car.name, "as it is listed"),
        Field::line("make", "make", Kind::Text, &facts.make, ""),
        Field::line("model", "model", Kind::Text, &facts.model, ""),
        Field::line(
            "year",
            "year",
            Kind::Year,
            &text(facts.year.map(|year| year.to_string())),
            "2009",
        ),
        Field::line(
            "miles",
            "odometer",
            Kind::Miles(entry::ODOMETER),
            &text(facts.odometer_miles.map(|miles| miles.to_string())),
            "146k, or 235000km",
        ),
    ]
}

/// How it is built.
fn built(facts: &Particulars) -> Vec<Field> {
    vec![
        words_field!(
            "fuel",
            "fuel",
            Fuel,
            facts.fuel,
            "decides which faults it can have"
        ),
        words_field!(
            "gearbox",
            "gearbox",
            Gearbox,
            facts.gearbox,
            "decides which faults it can have"
        ),
        words_field!("drive", "drive", Drive, facts.drive, "also for its pace"),
        words_field!(
            "timing",
            "timing",
            TimingDrive,
            facts.timing,
            "belt or chain"
        ),
        words_field!("steering", "steering", Steering, facts.steering, ""),
        Field::yes_no("turbo", "turbo", facts.turbo, ""),
        Field::yes_no("hybrid", "hybrid", facts.hybrid, ""),
        Field::yes_no("ac", "AC fitted", facts.air_conditioning, ""),
        Field::yes_no("sunroof", "sunroof", facts.sunroof, ""),
    ]
}

/// What is counted and weighed.
fn measured(facts: &Particulars) -> Vec<Field> {
    vec![
        Field::line(
            "cylinders",
            "cylinders",
            Kind::Whole(entry::CYLINDERS),
            &text(facts.cylinders.map(|count| count.to_string())),
            "4: parts are counted by it",
        ),
        Field::line(
            "banks",
            "banks",
            Kind::Whole(entry::BANKS),
            &text(facts.banks.map(|count| count.to_string())),
            "1 in line, 2 in a V or flat",
        ),
        Field::line(
            "power",
            "power, hp",
            Kind::Number(entry::POWER),
            &text(facts.power_hp.map(|hp| hp.to_string())),
            "peak; for its pace",
        ),
        Field::line(
            "mass",
            "weight, lb",
            Kind::Number(entry::MASS),
            &text(facts.curb_mass_lb.map(|lb| lb.to_string())),
            "curb weight; for its pace",
        ),
    ]
}

/// Its class, its life, its number.
fn lived(facts: &Particulars) -> Vec<Field> {
    vec![
        words_field!(
            "class",
            "class",
            SizeClass,
            facts.size_class,
            "multiplies parts and hours"
        ),
        words_field!(
            "salt",
            "salt winters",
            SaltWinters,
            facts.salt_winters,
            "rust"
        ),
        Field::line(
            "vin",
            "VIN",
            Kind::Vin,
            &text(facts.vin.as_ref().map(ToString::to_string)),
            "17 characters",
        ),
        Field::yes_no(
            "runs",
            "runs",
            Some(!facts.non_runner),
            "no: it cannot be driven",
        ),
        Field::yes_no(
            "in_use",
            "in use, proven",
            Some(facts.in_use_proven),
            "receipts, or driven to you",
        ),
    ]
}

fn pick<T: Copy>(form: &Form, id: &str, all: &[T]) -> Option<T> {
    all.get(form.choice(id)?).copied()
}

fn yes(form: &Form, id: &str) -> Option<bool> {
    form.choice(id).map(|at| at == 0)
}

pub fn keep_particulars(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let name = form.text("name");
    let count = |id| {
        form.whole(id)
            .map(|count| count.and_then(|count| u8::try_from(count).ok()))
    };
    let (cylinders, banks) = (count("cylinders")?, count("banks")?);
    if let (Some(cylinders), Some(banks)) = (cylinders, banks)
        && banks > cylinders
    {
        let why = format!("{banks} banks for {cylinders} cylinders: 1 in line, 2 in a V or flat.");
        return Err(Wrong::at("banks", why));
    }
    let read = Particulars {
        make: form.text("make"),
        model: form.text("model"),
        year: form.year("year")?,
        odometer_miles: form.miles("miles")?,
        fuel: pick(form, "fuel", Fuel::ALL),
        gearbox: pick(form, "gearbox", Gearbox::ALL),
        drive: pick(form, "drive", Drive::ALL),
        timing: pick(form, "timing", TimingDrive::ALL),
        steering: pick(form, "steering", Steering::ALL),
        turbo: yes(form, "turbo"),
        hybrid: yes(form, "hybrid"),
        air_conditioning: yes(form, "ac"),
        sunroof: yes(form, "sunroof"),
        cylinders,
        banks,
        power_hp: form.number("power")?,
        curb_mass_lb: form.number("mass")?,
        size_class: pick(form, "class", SizeClass::ALL),
        salt_winters: pick(form, "salt", SaltWinters::ALL),
        vin: form.value("vin", read::vin)?,
        non_runner: yes(form, "runs") == Some(false),
        in_use_proven: yes(form, "in_use") == Some(true),
        ..Particulars::default()
    };
    Ok(app.edit("particulars", |car| {
        if !name.is_empty() {
            car.name = name;
        }
        let unknown_fields = std::mem::take(&mut car.particulars.unknown_fields);
        car.particulars = Particulars {
            unknown_fields,
            ..read
        };
    }))
}

#[cfg(test)]
mod tests {
    use super::model_and_year;

    #[test]
    fn a_year_is_taken_from_either_end_of_the_model() {
        assert_eq!(
            model_and_year("Dabchick 1.8 2009"),
            ("Dabchick 1.8".to_owned(), Some(2009))
        );
        assert_eq!(
            model_and_year("2009 Dabchick"),
            ("Dabchick".to_owned(), Some(2009))
        );
        assert_eq!(
            model_and_year("Dabchick 1.8"),
            ("Dabchick 1.8".to_owned(), None)
        );
    }
}
