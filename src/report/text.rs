//! Plain linear text for people: 72 columns, no drawing, no color, labels before values; read well aloud.

mod derived;
mod faults;
mod findings;
mod full;
mod look_up;
mod next;
mod page;
mod sections;
mod side;

use super::WeighedCar;
pub use derived::derived;
pub use full::report;
pub use look_up::look_up;
pub use next::{next, unseen};
use page::Page;
pub use side::compare;

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// No columns: every figure follows its label.
    pub plain: bool,
    /// Signs in ASCII.
    pub ascii: bool,
}

/// Weighed cars, one after another.
#[must_use]
pub fn weigh(cars: &[WeighedCar<'_>], style: Style) -> String {
    let mut page = Page::new(style);
    for (at, car) in cars.iter().enumerate() {
        if at > 0 {
            page.blank();
            page.blank();
        }
        one_car(&mut page, car);
    }
    page.finish()
}

fn one_car(page: &mut Page, car: &WeighedCar<'_>) {
    sections::title(page, car);
    sections::stops(page, car);
    findings::waived(page, car);
    sections::figures(page, car);
    sections::ladder(page, car);
    faults::section(page, car);
    findings::readings(page, car);
    findings::papers(page, car);
    findings::scan(page, car);
    sections::unseen(page, car);
    sections::chances(page, car);
    sections::cautions(page, car);
    sections::assumptions(page, car);
}
