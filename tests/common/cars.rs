//! Seven invented cars and their buyer.

use jiff::civil::date;
use wrenchworth::car::*;

fn car(name: &str, year: u16, miles: f64, asks: i64, worth: [i64; 3]) -> CarFile {
    let mut file = CarFile {
        schema: SCHEMA,
        ..CarFile::default()
    };
    let car = &mut file.car;
    car.name = format!("{name} {year}");
    car.particulars.model = name.to_owned();
    car.particulars.year = Some(year);
    car.particulars.odometer_miles = Some(miles);
    car.listing.asking = Some(Money::whole(asks));
    car.listing.advert = "Runs and drives.".to_owned();
    car.worth.own = Some(MoneyRange {
        low: Money::whole(worth[0]),
        likely: Money::whole(worth[1]),
        high: Money::whole(worth[2]),
        reading: RangeReading::OneInTen,
    });
    file
}

fn claim(text: &str, pro: bool, proof: Known, stamp: Stamp) -> Claim {
    Claim {
        text: text.to_owned(),
        pro,
        proof: Some(proof),
        stamp,
        replaced: None,
        sign: None,
    }
}

fn dabchick() -> CarFile {
    let mut file = car("Dabchick 1.8", 2009, 146_200.0, 1850, [2750, 3250, 3650]);
    let car = &mut file.car;
    let facts = &mut car.particulars;
    facts.make = "Zorrel".to_owned();
    facts.gearbox = Some(Gearbox::Manual);
    facts.drive = Some(Drive::Front);
    facts.fuel = Some(Fuel::Petrol);
    facts.timing = Some(TimingDrive::Chain);
    facts.cylinders = Some(4);
    let listing = &mut car.listing;
    listing.seller = "Mrs Pennifold".to_owned();
    listing.place = "Lower Thrupping".to_owned();
    listing.miles_away = Some(9.0);
    listing.listed_on = Some(date(2026, 10, 21));
    listing.firm = true;
    listing.advert = "2009 Zorrel Dabchick 1.8, 146k. Runs and drives great, just needs a tune-up. Rattles a bit when cold, they all do. New battery last March. AC needs a recharge. Clean title in hand. No low offers.".to_owned();
    for (amount, day) in [(2100, date(2026, 10, 22)), (1950, date(2026, 11, 4))] {
        listing.asked_before.push(AskedPrice {
            amount: Money::whole(amount),
            on: Some(day),
        });
    }
    car.claims = vec![
        claim("clean title in hand", true, Known::Seen, Stamp::Proved),
        claim("new battery", true, Known::Paper, Stamp::Proved),
        claim("runs and drives great", true, Known::Said, Stamp::Open),
        claim("just needs a tune-up", false, Known::Said, Stamp::Open),
        claim("rattles a bit when cold", false, Known::Said, Stamp::Open),
        claim("AC needs a recharge", false, Known::Said, Stamp::Open),
    ];
    car.observations = vec![
        Observation {
            sign: "front-tires".to_owned(),
            answer: Answer::Level(1),
            known: Known::Seen,
            admitted: false,
            note: String::new(),
            at: None,
        },
        Observation {
            sign: "cold-rattle".to_owned(),
            answer: Answer::Level(1),
            known: Known::Said,
            admitted: true,
            note: String::new(),
            at: None,
        },
    ];
    for (name, price, kind, year, miles) in [
        (
            "Dabchick 1.8, Port Quill",
            3800,
            PriceKind::Asked,
            2009,
            131_000.0,
        ),
        (
            "Dabchick 1.8, Nether Muddle",
            2900,
            PriceKind::Sold,
            2008,
            150_300.0,
        ),
    ] {
        car.worth.comparables.push(Comparable {
            name: name.to_owned(),
            price: Money::whole(price),
            kind,
            year: Some(year),
            miles: Some(miles),
            alike: 1.0,
        });
    }
    car.notes.push("garaged, mom’s old car".to_owned());
    file
}

/// The driveway: slug and file.
pub fn driveway() -> Vec<(String, CarFile)> {
    let mut vintry = car("Vintry 3.0", 2004, 203_000.0, 900, [2000, 2400, 2800]);
    vintry.car.observations.push(Observation {
        sign: "brake-pedal".to_owned(),
        answer: Answer::Level(3),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    });
    let mut newt = car("Newt 1.2", 2010, 99_000.0, 1450, [2300, 2600, 2900]);
    newt.car.bought_at = Some(Money::whole(1450));
    newt.car.bought_on = Some(date(2026, 10, 12));
    let mut lamprey = car("Lamprey 2.0T", 2007, 171_000.0, 1750, [2600, 3300, 3900]);
    for (who, amount) in [(Who::You, 1000), (Who::They, 1650), (Who::You, 1100)] {
        lamprey.car.talks.push(Move {
            who,
            amount: Some(Money::whole(amount)),
            words: "cash today".to_owned(),
            at: Some(date(2026, 11, 14).at(10, 0, 0, 0)),
        });
    }
    vec![
        (
            "bittern".to_owned(),
            car("Bittern 2.2", 2001, 188_000.0, 700, [1700, 2300, 2900]),
        ),
        ("dabchick".to_owned(), dabchick()),
        ("lamprey".to_owned(), lamprey),
        (
            "marl".to_owned(),
            car("Marl 1.6 estate", 2011, 118_000.0, 2300, [3100, 3500, 4000]),
        ),
        ("newt".to_owned(), newt),
        (
            "teasel".to_owned(),
            car("Teasel van", 2012, 164_000.0, 2600, [3000, 3600, 4200]),
        ),
        ("vintry".to_owned(), vintry),
    ]
}

/// Their buyer.
pub fn buyer() -> Buyer {
    let mut buyer = Buyer {
        wallet: Some(Money::whole(3200)),
        ..Buyer::default()
    };
    for field in ["purpose", "wallet"] {
        buyer.touched.insert(field.to_owned());
    }
    buyer.wishes = vec![
        Wish {
            id: "tow-bar".to_owned(),
            words: "a tow bar".to_owned(),
            kind: WishKind::NiceToHave,
            amount: Some(Money::whole(80)),
        },
        Wish {
            id: "automatic".to_owned(),
            words: "an automatic gearbox".to_owned(),
            kind: WishKind::Never,
            amount: None,
        },
    ];
    buyer
}
