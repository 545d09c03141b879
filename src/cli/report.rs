//! `report CAR…`.

use super::args::{AudienceWord, Global, ReportArgs};
use super::compare::{Records, SideBySide, load, odd_currency};
use super::failure::Failure;
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, style_of};
use crate::car::Buyer;
use crate::engine::findings::findings;
use crate::engine::preference::EVEN;
use crate::engine::{Knowledge, Run};
use crate::report::full::{Audience, Compared, Document, ReportWish, report};
use crate::report::{WeighedCar, html, markdown, text};
use std::io::Write;

/// Most cars that are set side by side.
const MOST: usize = 4;

/// Writes a report of the cars, each weighed for its own buyer; two to four cars of one buyer and one currency stand side by side first.
///
/// # Errors
/// The first file that cannot be used, a name that is taken, or standard output gone.
pub fn run(wanted: &ReportArgs, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    if global.json {
        return Err(Failure::Usage(
            "a report is a page to read; “wrenchworth weigh --json” gives its figures.".to_owned(),
        ));
    }
    if let Some(path) = &wanted.out {
        out_file::must_be_free(path)?;
    }
    let (knowledge, run) = (knowledge(global)?, run_of(global));
    let records = load(&wanted.cars)?;
    let mut buyers = Vec::with_capacity(records.len());
    for path in &wanted.cars {
        buyers.push(buyer_for(path, global, knowledge.tables())?);
    }
    let wish = ReportWish {
        audience: match wanted.audience {
            AudienceWord::Me => Audience::Me,
            AudienceWord::Scrutineer => Audience::Scrutineer,
            AudienceWord::Seller => Audience::Seller,
        },
        with_names: wanted.with_names,
    };
    let document = document(&knowledge, &records, &buyers, &run, wish);
    let written = if wanted.form.html {
        html::page(&document)
    } else if wanted.form.markdown {
        markdown::written(&document)
    } else {
        text::report(&document, style_of(global))
    };
    out_file::put(wanted.out.as_deref(), &written, out)
}

fn document(
    knowledge: &Knowledge,
    records: &Records,
    buyers: &[(Buyer, String)],
    run: &Run,
    wish: ReportWish,
) -> Document {
    let alike = (2..=MOST).contains(&records.len())
        && odd_currency(records).is_none()
        && buyers.windows(2).all(|pair| pair[0].0 == pair[1].0);
    if let (true, Some((buyer, name))) = (alike, buyers.first()) {
        let done = SideBySide::weigh(knowledge, records, buyer, name, run);
        let preference = done.comparison.preferred(EVEN);
        let compared = Compared {
            comparison: &done.comparison,
            preference: &preference,
        };
        let cars = done.cars(records);
        return report(&cars, Some(compared), knowledge.tables(), wish);
    }
    let weighed: Vec<_> = (records.iter().zip(buyers))
        .map(|((slug, record), (buyer, name))| {
            let mut appraisal = knowledge.appraise(record, buyer, run);
            knowledge.explain(&mut appraisal, record, buyer, run);
            appraisal.assumptions.buyer.clone_from(name);
            let found = findings(record, knowledge.tables(), buyer, run.today);
            (slug, record, appraisal, found)
        })
        .collect();
    let cars: Vec<WeighedCar<'_>> = weighed
        .iter()
        .map(|(slug, record, appraisal, found)| WeighedCar {
            slug,
            name: &record.name,
            record,
            appraisal,
            findings: Some(found),
        })
        .collect();
    report(&cars, None, knowledge.tables(), wish)
}
