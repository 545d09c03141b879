//! The content of a report, the same for every form it is written in: a page, Markdown, text. What is private leaves here.
//!
//! For the seller it holds proven faults alone, and no limit, offer, wallet or chance.

mod secrets;
mod sections;
mod side;
mod verdict;

use super::WeighedCar;
use crate::engine::preference::Preference;
use crate::engine::triangle::Shares;
use crate::engine::{Appraisal, Comparison, Rung};
use crate::trade::Tables;
pub use secrets::Secrets;

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

/// Cars set side by side, with the order by the weights in force.
#[derive(Debug, Clone, Copy)]
pub struct Compared<'a> {
    /// The comparison.
    pub comparison: &'a Comparison,
    /// The order by what matters to the user.
    pub preference: &'a Preference,
}

/// One piece of a report.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading: 1 names a car, 2 a part, 3 a part of a part.
    Heading(u8, String),
    /// A paragraph.
    Words(String),
    /// What must not be overlooked.
    Stop(String),
    /// Points.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// A drawing; the table stands in its place where nothing can be drawn.
    Drawing(Box<Drawing>, Option<Table>),
}

/// A table. The first cell of a row is its heading.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Headings of the columns; empty: none.
    pub head: Vec<String>,
    /// Rows.
    pub rows: Vec<Vec<String>>,
    /// Figures that stand in columns, on their right.
    pub figures: bool,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawing {
    /// Floor, opening, settling, limit and asking price on one thread.
    Rail {
        /// Marks with their words.
        marks: Vec<(&'static str, f64)>,
        /// Prices right 9 and 5 times in 10.
        range: Option<(f64, f64)>,
        /// From where to where it can be bought.
        ink: Option<(f64, f64)>,
        /// Belief over their lowest price, from and to.
        belief: (f64, f64, Vec<f64>),
        /// Mark of the currency.
        mark: String,
    },
    /// From worth to the limit.
    Ladder(Vec<Rung>, String),
    /// Places among cheap, reliable and fast: letter, before, after.
    Triangle(
        Vec<(String, Option<Shares>, Option<Shares>)>,
        Option<Shares>,
    ),
}

/// A report.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Its name.
    pub title: String,
    /// Cars, each on a page of its own.
    pub articles: Vec<Vec<Block>>,
    /// What is left out wherever it stands.
    pub secrets: Secrets,
}

/// The report of some cars. Side by side they stand on the first page, where they were compared and the reader may see it.
#[must_use]
pub fn report(
    cars: &[WeighedCar<'_>],
    compared: Option<Compared<'_>>,
    tables: &Tables,
    wish: ReportWish,
) -> Document {
    let secrets = Secrets::of(cars, wish.with_names);
    let mut articles = Vec::with_capacity(cars.len() + 1);
    if let (Some(compared), Audience::Me) = (compared, wish.audience) {
        articles.push(side::side(cars, compared, &secrets));
    }
    for car in cars {
        articles.push(sections::car(car, tables, wish.audience, &secrets));
    }
    Document {
        title: "wrenchworth: report".to_owned(),
        articles,
        secrets,
    }
}

/// The page of cars side by side alone.
#[must_use]
pub fn side_by_side(cars: &[WeighedCar<'_>], compared: Compared<'_>, wish: ReportWish) -> Document {
    let secrets = Secrets::of(cars, wish.with_names);
    Document {
        title: "wrenchworth: side by side".to_owned(),
        articles: vec![side::side(cars, compared, &secrets)],
        secrets,
    }
}

/// The place of a car among cheap, reliable and fast, as shares.
fn spot(figures: &Appraisal, after: bool) -> Option<Shares> {
    let chances = &figures.chances;
    let place = crate::engine::triangle::place(if after {
        &chances.after
    } else {
        &chances.before
    });
    place.map(Shares::at)
}
