//! A report as one page that stands alone: inline drawings, no script, nothing fetched, all text escaped. Well-formed as XML too.
//!
//! For the seller it holds proven faults alone, and no limit, offer, wallet or chance.

mod drawings;
mod markup;
mod sections;

use super::WeighedCar;
use super::words::clean;
use crate::trade::Tables;
use markup::Markup;

/// For whom a report is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Audience {
    /// The user: everything.
    #[default]
    Me,
    /// Who looks the car over: everything but the money of the talks.
    Scrutineer,
    /// The seller: what was proven.
    Seller,
}

/// What is wished of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ReportWish {
    /// For whom.
    pub audience: Audience,
    /// With the seller's name, the place, and whole identification numbers.
    pub with_names: bool,
}

const LOOKS: &str = "body{font:16px/1.45 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#111;background:#fff}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;border-bottom:1px solid #ccc}\
th{font-weight:600}svg{width:100%;height:auto}svg.small{max-width:24rem}.stop{border-left:.4rem solid #111;padding-left:.6rem;font-weight:700}\
@media print{body{margin:0;max-width:none;font-size:11pt}section,tr,svg{break-inside:avoid}article+article{break-before:page}}";

/// The page of some cars.
#[must_use]
pub fn report(cars: &[WeighedCar<'_>], tables: &Tables, wish: ReportWish) -> String {
    let secrets = if wish.with_names {
        Vec::new()
    } else {
        cars.iter().flat_map(secrets).collect()
    };
    let mut page = Markup::new(secrets);
    page.raw("<!DOCTYPE html>\n");
    page.start("html", "xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\"");
    page.start("head", "");
    page.raw("<meta charset=\"utf-8\"/><meta name=\"viewport\" content=\"width=device-width\"/>");
    page.element("title", "", "wrenchworth: report");
    page.start("style", "");
    page.raw(LOOKS);
    page.end();
    page.end();
    page.start("body", "");
    for car in cars {
        page.start("article", "");
        sections::car(&mut page, car, tables, wish.audience);
        page.end();
    }
    page.finish()
}

/// What is left out unless it is asked for, and what stands in its place.
fn secrets(car: &WeighedCar<'_>) -> Vec<(String, String)> {
    let listing = &car.record.listing;
    let mut found = vec![
        (clean(&listing.seller), "the seller".to_owned()),
        (clean(&listing.place), "(place left out)".to_owned()),
    ];
    let vins = car.record.papers.vins.iter().map(|read| read.text.clone());
    let own = car.record.particulars.vin.as_ref().map(ToString::to_string);
    for vin in vins.chain(own) {
        let split = vin.chars().count().saturating_sub(6);
        let last: String = vin.chars().skip(split).collect();
        let first: String = vin.chars().take(split).collect();
        found.push((last, "······".to_owned()));
        found.push((vin, format!("{first}······")));
    }
    found
}
