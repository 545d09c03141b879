//! Facts of the car and of the seller as rows: label, value, and the form's field that edits each.

use crate::car::{CarRecord, Drive, Fuel, Gearbox, Particulars, SellerKind, Steering, TimingDrive};
use crate::tui::forms::read;
use crate::tui::say;
use jiff::civil::Date;

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// Field of the form.
    pub field: &'static str,
    /// Label.
    pub label: &'static str,
    /// Value, or `not known`.
    pub value: String,
    /// A money figure stands in it: not shown while money is hidden.
    pub money: bool,
}

fn fact(field: &'static str, label: &'static str, value: Option<String>) -> Fact {
    Fact {
        field,
        label,
        value: value.unwrap_or_else(|| "not known".to_owned()),
        money: false,
    }
}

fn yes(value: Option<bool>) -> Option<String> {
    value.map(|yes| if yes { "yes" } else { "no" }.to_owned())
}

fn words(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

/// Miles, gearbox and such in one line.
#[must_use]
pub fn summary(car: &CarRecord) -> String {
    let facts = &car.particulars;
    let parts = [
        facts
            .odometer_miles
            .map(|miles| format!("{} mi", say::whole(miles))),
        facts.gearbox.map(|gearbox| gearbox.shown().to_owned()),
        facts.fuel.map(|fuel| fuel.shown().to_owned()),
    ];
    let known: Vec<String> = parts.into_iter().flatten().collect();
    if known.is_empty() {
        "little is known".to_owned()
    } else {
        known.join(", ")
    }
}

/// Every particular.
#[must_use]
pub fn particulars(car: &CarRecord) -> Vec<Fact> {
    let mut rows = named(car);
    rows.extend(built(&car.particulars));
    rows.extend(lived(&car.particulars));
    rows
}

/// What it is called, how old, how far it went.
fn named(car: &CarRecord) -> Vec<Fact> {
    let facts = &car.particulars;
    let miles = facts
        .odometer_miles
        .map(|miles| format!("{} mi", say::whole(miles)));
    vec![
        fact("name", "name", words(&car.name)),
        fact("make", "make", words(&facts.make)),
        fact("model", "model", words(&facts.model)),
        fact("year", "year", facts.year.map(|year| year.to_string())),
        fact("miles", "odometer", miles),
    ]
}

/// How it is built.
fn built(facts: &Particulars) -> Vec<Fact> {
    let count = |value: Option<u8>| value.map(|value| value.to_string());
    let shown = |word: Option<&'static str>| word.map(str::to_owned);
    let with =
        |value: Option<f64>, unit: &str| value.map(|value| format!("{} {unit}", say::whole(value)));
    vec![
        fact("fuel", "fuel", shown(facts.fuel.map(Fuel::shown))),
        fact(
            "gearbox",
            "gearbox",
            shown(facts.gearbox.map(Gearbox::shown)),
        ),
        fact("drive", "drive", shown(facts.drive.map(Drive::shown))),
        fact(
            "timing",
            "timing",
            shown(facts.timing.map(TimingDrive::shown)),
        ),
        fact(
            "steering",
            "steering",
            shown(facts.steering.map(Steering::shown)),
        ),
        fact("turbo", "turbo", yes(facts.turbo)),
        fact("hybrid", "hybrid", yes(facts.hybrid)),
        fact("ac", "AC fitted", yes(facts.air_conditioning)),
        fact("sunroof", "sunroof", yes(facts.sunroof)),
        fact("cylinders", "cylinders", count(facts.cylinders)),
        fact("banks", "banks", count(facts.banks)),
        fact("power", "power", with(facts.power_hp, "hp")),
        fact("mass", "curb weight", with(facts.curb_mass_lb, "lb")),
    ]
}

/// Its class, its life, its number.
fn lived(facts: &Particulars) -> Vec<Fact> {
    let class = facts.size_class.map(|class| class.shown().to_owned());
    let salt = facts.salt_winters.map(|salt| salt.shown().to_owned());
    let mut rows = vec![
        fact("class", "class", class),
        fact("salt", "salt winters", salt),
        fact("vin", "VIN", facts.vin.as_ref().map(ToString::to_string)),
    ];
    rows.extend(facts.vin.as_ref().map(|vin| {
        let fits = if vin.check_digit_fits() {
            "check digit fits"
        } else {
            "check digit does not fit: read it again, then suspect it"
        };
        fact("vin", "", Some(fits.to_owned()))
    }));
    rows.push(fact("runs", "runs", yes(Some(!facts.non_runner))));
    rows.push(fact(
        "in_use",
        "in use, proven",
        yes(Some(facts.in_use_proven)),
    ));
    rows
}

/// Asking price, seller and manner.
#[must_use]
pub fn seller(car: &CarRecord, today: Date) -> Vec<Fact> {
    let listing = &car.listing;
    let kind = match listing.seller_kind {
        SellerKind::Private => "private",
        SellerKind::Dealer => "dealer",
        SellerKind::Auction => "auction",
    };
    let was: Vec<String> = listing
        .asked_before
        .iter()
        .map(|price| say::money(price.amount))
        .collect();
    let up = listing.listed_on.map(|on| {
        let days = (today - on).get_days();
        format!("{days} days, since {}", read::day(on))
    });
    let manner = match (listing.open_to_offers, listing.firm) {
        (true, false) => "open to offers",
        (false, true) => "firm",
        (true, true) => "open to offers, yet firm",
        (false, false) => "not said",
    };
    let mut rows = vec![
        fact("asks", "asks", listing.asking.map(say::money)),
        fact("was", "was", (!was.is_empty()).then(|| was.join(" · "))),
        fact("listed", "up", up),
        fact("kind", "seller", Some(kind.to_owned())),
        fact("seller", "name", words(&listing.seller)),
        fact("place", "where", words(&listing.place)),
        fact(
            "away",
            "away",
            listing
                .miles_away
                .map(|miles| format!("{} mi", say::whole(miles))),
        ),
        fact("manner", "offers", Some(manner.to_owned())),
        fact("certainty", "you bring cash", yes(Some(listing.certainty))),
        fact(
            "whole",
            "all said is on file",
            yes(Some(listing.whole_text_on_file)),
        ),
        fact("fees", "fees, transport", car.fees.map(say::money)),
    ];
    for row in rows
        .iter_mut()
        .filter(|row| matches!(row.field, "asks" | "was" | "fees"))
    {
        row.money = true;
    }
    rows
}
